"""Rows of a query for a person: one column beside the other, addresses by their short names."""

from typing import Final

from wareontology.graph.prefixes import shortened
from wareontology.graph.query import Result, Term
from wareontology.technique.phrases import printable

_WIDEST: Final = 60
"""Letters a column may have; what is longer runs on to the right, and the last column has no end."""


def as_text(result: Result) -> str:
    """A result as columns, or yes or no.

    >>> print(as_text(Result(("a",), ((Term("literal", "x"),),))), end="")
    a
    ─
    x
    1 row
    """
    if result.boolean is not None:
        return "yes\n" if result.boolean else "no\n"
    rows = [[_cell(term) for term in row] for row in result.rows]
    head = list(result.variables)
    widths = [
        min(max([len(name), *(len(row[place]) for row in rows)]), _WIDEST) for place, name in enumerate(head)
    ]
    table = [head, ["─" * width for width in widths], *rows]
    count = f"{len(rows):,} row{'' if len(rows) == 1 else 's'}"
    return "".join(_line(row, widths) + "\n" for row in table) + count + "\n"


def _line(row: list[str], widths: list[int]) -> str:
    return "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()


def _cell(term: Term | None) -> str:
    if term is None:
        return ""
    if term.kind == "uri":
        return printable(shortened(term.value))
    return f"_:{term.value}" if term.kind == "bnode" else printable(term.value)
