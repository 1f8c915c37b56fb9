import io
from contextlib import suppress
from typing import Any, cast

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.errors import Unreadable
from wareontology.sherd.csv_rows import LONGEST_LINE, CsvRows
from wareontology.sherd.source import Source


def rows(content: bytes, encoding: str = "utf-8") -> CsvRows:
    return CsvRows(Source("t.csv", io.BytesIO(content), "csv", encoding))


@pytest.mark.parametrize(
    ("content", "delimiter", "decimal"),
    [
        (b"sherd,zone,layer\n", ",", "point"),
        (b"sherd;zone;layer\n", ";", "comma"),
        (b"sherd\tzone\tlayer\n", "\t", "either"),
        (b'"a,b,c,d";zone;layer\n', ";", "comma"),
        (b"sherd\n", ",", "point"),
        (b"sep=;\nsherd,zone,layer;\n", ";", "comma"),
    ],
)
def test_delimiter(content: bytes, delimiter: str, decimal: str) -> None:
    found = rows(content)
    assert (found.delimiter, found.decimal) == (delimiter, decimal)


def test_rows_are_counted_as_a_spreadsheet_counts() -> None:
    found = rows(b'# a remark\n\nsherd,zone\nk-1,"two\nlines"\n\nk-2,rim\n')
    assert (found.row, found.heading) == (3, ["sherd", "zone"])
    assert list(found) == [(4, ["k-1", "two\nlines"]), (6, ["k-2", "rim"])]


def test_rows_may_be_gone_through_again() -> None:
    found = rows(b"sherd,zone\nk-1,rim\n")
    first = iter(found)
    next(first)
    assert list(found) == list(found) == [(2, ["k-1", "rim"])]


def test_a_sherd_whose_name_starts_as_a_remark_is_a_sherd() -> None:
    assert list(rows(b"sherd,zone\n#1,rim\n")) == [(2, ["#1", "rim"])]


def test_a_byte_order_mark_is_no_letter_of_the_heading() -> None:
    assert rows(b"\xef\xbb\xbfsherd,zone\n", "utf-8-sig").heading == ["sherd", "zone"]


class LongLine(io.RawIOBase):
    """A 200 MB line, made as it is asked for; it can be gone back to its start."""

    SIZE = 200 * 10**6

    def __init__(self, head: bytes) -> None:
        self.head, self.at, self.taken = head, 0, 0

    def readable(self) -> bool:
        return True

    def seekable(self) -> bool:
        return True

    def seek(self, offset: int, whence: int = 0) -> int:
        self.at = offset + (self.at if whence == 1 else 0)
        return self.at

    def readinto(self, buffer: bytearray) -> int:  # type: ignore[override]
        size = min(len(buffer), self.SIZE - self.at)
        piece = (self.head[self.at : self.at + size] + b"x" * size)[:size]
        buffer[:size] = piece
        self.at += size
        self.taken += size
        return size


@pytest.mark.parametrize("head", [b"", b"sherd,zone,layer\n", b'sherd,zone,layer\nk-1,rim,"'])
def test_a_200_mb_line_is_refused_before_it_is_read(head: bytes) -> None:
    stream = LongLine(head)
    with pytest.raises(Unreadable, match="line of more than 1,048,576 characters"):
        list(CsvRows(Source("t.csv", io.BufferedReader(cast(Any, stream)), "csv", "utf-8")))
    assert stream.taken < 5 * LONGEST_LINE


def test_a_quotation_mark_that_is_never_closed_does_not_take_the_whole_file() -> None:
    content = b'sherd,zone\nk-1,"rim\n' + b"k-2,rim\n" * 40_000
    with pytest.raises(Unreadable, match="perhaps a quotation mark that is not closed"):
        list(rows(content))


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b'sherd,zone\nk-1,"rim\n', "line 2: found a quotation mark that is not closed"),
        (b'# remark\nsherd,zone\nk-1,"rim"x\n', "line 3: found text after a closing quotation mark"),
        (b"# only\n# remarks\n", "found no heading"),
        (b"sherd,zone\nk-1,rim\nk-2,r\xe4m\n", "line 3: found the byte E4, which is no UTF-8"),
        (b"sherd,zone\n" + b"k-1,rim\n" * 30_000 + b"k-2,r\xe4m\n", "line 30002: found the byte E4"),
    ],
)
def test_what_cannot_be_read_is_named_with_its_line(content: bytes, message: str) -> None:
    with pytest.raises(Unreadable, match=message):
        list(rows(content))


def test_broken_utf_16() -> None:
    with pytest.raises(Unreadable, match="no UTF-16"):
        list(rows("sherd,zone\n".encode("utf-16")[:-1], "utf-16"))


@given(st.binary(max_size=300))
def test_any_bytes_are_rows_or_unreadable(content: bytes) -> None:
    for mark, encoding in ((b"", "utf-8"), (b"\xff\xfe", "utf-16")):
        with suppress(Unreadable):
            for number, cells in rows(mark + content, encoding):
                assert number > 1
                assert cells
