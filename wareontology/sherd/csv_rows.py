"""The rows of a CSV table: any of three delimiters, UTF-8 or UTF-16, read as they come."""

import csv
import io
from collections.abc import Generator, Iterator
from contextlib import closing
from itertools import islice
from typing import Final

from wareontology.errors import Unreadable
from wareontology.sherd.cells import Decimal
from wareontology.sherd.source import Source, wrong_encoding

LONGEST_LINE: Final = 2**20
"""Most characters in a line. A longer one is refused before the rest of it is read."""
DELIMITERS: Final = (",", ";", "\t")
DECIMALS: Final[dict[str, Decimal]] = {",": "point", ";": "comma", "\t": "either"}

_CLOSED: Final = "every quotation mark closed"
_PLAIN_WORDS: Final = (
    ("field larger", "a cell that never ends, perhaps a quotation mark that is not closed", _CLOSED),
    ("unexpected end", "a quotation mark that is not closed", _CLOSED),
    ("expected after", "text after a closing quotation mark", "a quotation mark within a cell written twice"),
)


class CsvRows:
    """The rows of a CSV file, each with its number as a spreadsheet counts; may be gone through again.

    Lines that start with `#` above the heading are remarks, and `sep=;` there names the delimiter.
    """

    def __init__(self, source: Source) -> None:
        self._source = source
        self._above, self.delimiter = self._head()
        self.decimal = DECIMALS[self.delimiter]
        with closing(self._rows()) as rows:
            self.row, self.heading = next(rows)

    def __iter__(self) -> Iterator[tuple[int, list[str]]]:
        """(row number, cells) below the heading. Raises Unreadable at bytes or quoting it cannot read."""
        return islice(self._rows(), 1, None)

    def _rows(self) -> Generator[tuple[int, list[str]], None, None]:
        with closing(_lines(self._source)) as lines:
            reader = csv.reader(islice(lines, self._above, None), delimiter=self.delimiter, strict=True)
            try:
                for number, cells in enumerate(reader, start=self._above + 1):
                    if cells:
                        yield number, cells
            except csv.Error as error:
                raise _unreadable(self._source.name, self._above + reader.line_num, str(error)) from None

    def _head(self) -> tuple[int, str]:
        """How many lines stand above the heading, and the delimiter."""
        named = ""
        above = 0
        with closing(_lines(self._source)) as lines:
            for line in lines:
                start = line.strip(" \r\n")
                if start.startswith("sep=") and start[4:] in DELIMITERS:
                    named = start[4:]
                elif start and not start.startswith("#"):
                    bare = "".join(line.split('"')[::2])  # outside quotation marks
                    return above, named or max(DELIMITERS, key=bare.count)
                above += 1
        would_do = "a line of column names, then rows"
        raise Unreadable(f"{self._source.name}: found no heading; would do: {would_do}")


def _lines(source: Source) -> Generator[str, None, None]:
    source.file.seek(0)
    wrapper = io.TextIOWrapper(source.file, encoding=source.encoding, newline="")
    try:
        number = 0
        while line := wrapper.readline(LONGEST_LINE + 1):
            number += 1
            if len(line) > LONGEST_LINE:
                raise Unreadable(
                    f"{source.name}, line {number}: found a line of more than {LONGEST_LINE:,} characters;"
                    " would do: a table with a line for each row"
                )
            yield line
    except UnicodeDecodeError as error:
        raise _located(source, error) from None
    finally:
        wrapper.detach()  # else the file would be closed with it


def _located(source: Source, error: UnicodeDecodeError) -> Unreadable:
    """The line of the first wrong byte; the decoder itself only knows its place in a chunk."""
    byte = error.object[error.start]
    if not source.encoding.startswith("utf-8"):
        found = "text that breaks off or is no UTF-16"
        return Unreadable(f"{source.name}: found {found}; would do: the file saved again as UTF-8")
    source.file.seek(0)
    number = 0
    while line := source.file.readline(LONGEST_LINE):
        number += 1
        try:
            line.decode()
        except UnicodeDecodeError as wrong:
            return wrong_encoding(source.name, number, line[wrong.start])
    return wrong_encoding(source.name, None, byte)


def _unreadable(name: str, line: int, message: str) -> Unreadable:
    for part, found, would_do in _PLAIN_WORDS:
        if part in message:
            return Unreadable(f"{name}, line {line}: found {found}; would do: {would_do}")
    return Unreadable(f"{name}, line {line}: found no CSV ({message}); would do: a table saved as CSV UTF-8")
