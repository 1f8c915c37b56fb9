"""Sherds as a CSV table that reads back as the same sherds and that no spreadsheet takes for formulas."""

import csv
import io
import re
from collections.abc import Iterable, Mapping
from typing import Final

from wareontology.sherd.columns import FIELDS, REQUIRED, columns
from wareontology.sherd.record import Row, Seen, Sherd

_FORMULA: Final = re.compile(r"'*[=+\-@]")
"""Text a spreadsheet would work out, or that was guarded already and must not lose its own apostrophe."""


def to_csv(sherds: Iterable[Sherd]) -> str:
    """Sherds as CSV with commas, a row for each layer in each zone; only columns that are used are written.

    Text that starts with = + - or @ gets an apostrophe before it, which reading takes off again. Lines end
    as RFC 4180 has it, which also makes the writer quote a lone line end inside a cell.

    >>> from wareontology.sherd.cells import parse
    >>> from wareontology.sherd.columns import column
    >>> slip = Row("rim", "slip", None, {"colour": parse(column("colour"), "cream")})
    >>> to_csv([Sherd("=K14", None, {}, (slip,))]).splitlines()
    ['sherd,zone,layer,colour', "'=K14,rim,slip,cream"]
    """
    texts = frozenset(column.name for column in columns() if column.kind == "text")
    lines = [_line(sherd, row, texts) for sherd in sherds for row in sherd.rows]
    used = set(REQUIRED).union(*lines)
    heading = [column.name for column in columns() if column.name in used]
    out = io.StringIO()
    writer = csv.DictWriter(out, heading, restval="", lineterminator="\r\n")
    writer.writeheader()
    writer.writerows(lines)
    return out.getvalue()


def _line(sherd: Sherd, row: Row, texts: frozenset[str]) -> dict[str, str]:
    fields = dict(zip(FIELDS, (sherd.sherd, sherd.observer, row.zone, row.layer, row.name), strict=True))
    cells = {name: text for name, text in fields.items() if text is not None}
    cells |= _cells(sherd.seen) | _cells(row.seen)
    return {name: guarded(text) if name in texts else text for name, text in cells.items()}


def _cells(seen: Mapping[str, Seen]) -> dict[str, str]:
    return {name: cell.text for name, cell in seen.items()}


def guarded(text: str) -> str:
    """Text that no spreadsheet takes for a formula.

    >>> guarded("=1+1"), guarded("K-14")
    ("'=1+1", 'K-14')
    """
    return f"'{text}" if _FORMULA.match(text) else text
