"""A blank table to fill in: the heading, one invented sherd to show how, and what each column means."""

import io
import json
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal, get_args

from wareontology.errors import BreaksShape, Fault, Unreadable
from wareontology.sherd.columns import Column, allowed, as_text, columns
from wareontology.sherd.context import CONTEXT
from wareontology.sherd.whole_file import write_whole

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

Format = Literal["csv", "xlsx", "json"]
FORMATS: Final[tuple[Format, ...]] = get_args(Format)

INVENTED: Final = "invented example, no real sherd: take these rows out"

_OF_SHERD: Final[dict[str, str | float]] = {
    "sherd": "EXAMPLE-1", "site": "invented site", "form": "open", "wall_mm": 5.5, "hardness": "medium",
    "looked": "interior exterior break", "permission": "surface", "note": INVENTED,
}  # fmt: skip
_ROWS: Final[tuple[dict[str, str | float], ...]] = (
    {"zone": "break", "layer": "body", "colour": "grey", "core": "diffuse"},
    {"zone": "interior", "layer": "slip", "colour": "white-cream", "munsell": "10YR 8/2", "slip_mm": 0.2},
    {
        "zone": "interior", "layer": "paint", "name": "lines", "on": "slip", "colour": "black",
        "patches": "none", "edge": "sharp", "relief": "flat?", "lustre": "matte", "magnet": "weak",
    },
    {"zone": "exterior", "layer": "body", "colour": "grey", "patches": "none", "finish": "smoothed"},
)  # fmt: skip

_HEAD: Final = """\
A row for each layer in each zone. Blank: not looked at. none or no: looked at and absent.
cream? is in doubt; cream-buff is between two; <12 is below a detection limit of 12."""
_NUMBERS: Final = ("number", "measure")
_WIDEST_LIST: Final = 255
"""Most characters a spreadsheet takes in a list to choose from."""
_ROWS_TO_FILL: Final = 2_000


def content(kind: Format) -> bytes:
    """The blank table as a file's bytes: csv, xlsx or json. The CSV carries no explanation: see `companion`.

    >>> content("csv").decode().splitlines()[0][:21]
    'sherd,region,site,con'
    """
    if kind == "json":
        sherd = {"@context": CONTEXT, **_OF_SHERD, "rows": list(_ROWS)}
        return (json.dumps(sherd, indent=2, ensure_ascii=False) + "\n").encode()
    return _csv() if kind == "csv" else _xlsx()


def companion() -> str:
    """What to keep beside a CSV template: what each column means and how to see it."""
    return f"{_HEAD}\n\n{as_text()}\n"


def write(path: str | Path, kind: Format | None = None, *, overwrite: bool = False) -> Path:
    """Writes the blank table, whole or not at all. The kind is that of the name's ending where none is given.

    Raises BreaksShape for an ending that is none of ours and for a file that is there already (unless
    `overwrite`), Unreadable where it cannot be written.
    """
    path = Path(path)
    ending = kind or path.suffix.casefold().removeprefix(".")
    if ending not in FORMATS:
        would_do = "a name that ends in " + ", ".join(f".{each}" for each in FORMATS)
        raise BreaksShape([Fault(str(path), None, None, path.name, would_do)])
    try:
        if path.exists() and not overwrite:
            raise BreaksShape([Fault(str(path), None, None, "a file of that name", "another name")])
        write_whole(path, content(ending))
    except OSError as error:
        would_do = "a folder that is there and may be written to"
        raise Unreadable(f"{path}: cannot be written ({error.strerror}); would do: {would_do}") from None
    return path


def _lines() -> Iterator[list[str | float]]:
    for row in _ROWS:
        cells: dict[str, str | float] = {**_OF_SHERD, **row}
        yield [cells.get(column.name, "") for column in columns()]


def _csv() -> bytes:
    import csv

    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(column.name for column in columns())
    writer.writerows(_lines())
    return out.getvalue().encode()


def _xlsx() -> bytes:
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.worksheets[0])
    _fill_table(book.create_sheet("sherds"))
    _fill_explanation(book.create_sheet("columns"))
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _fill_table(sheet: "Worksheet") -> None:
    """Heading and example. All but numbers are formatted as text, or `3-4` is made a date."""
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter
    from openpyxl.worksheet.datavalidation import DataValidation

    sheet.append([column.name for column in columns()])
    for line in _lines():
        sheet.append([cell if cell != "" else None for cell in line])
    for at, column in enumerate(columns(), start=1):
        letter = get_column_letter(at)
        sheet.cell(1, at).font = Font(bold=True)
        sheet.column_dimensions[letter].width = max(10, len(column.name) + 2)
        if column.kind not in _NUMBERS:
            sheet.column_dimensions[letter].number_format = "@"
            for row in range(2, len(_ROWS) + 2):
                sheet.cell(row, at).number_format = "@"
        words = ",".join(column.choices)
        if words and len(words) < _WIDEST_LIST and column.kind in ("word", "colour"):
            choice = DataValidation(type="list", formula1=f'"{words}"', allow_blank=True)
            choice.showErrorMessage = False  # `cream?` and `cream-buff` may be typed as well
            choice.add(f"{letter}2:{letter}{_ROWS_TO_FILL}")
            sheet.add_data_validation(choice)
    sheet.freeze_panes = "B2"


def _fill_explanation(sheet: "Worksheet") -> None:
    from openpyxl.styles import Alignment, Font

    sheet.append(["column", "of", "what it means", "may hold", "how to see it", "example", "caution"])
    for column in columns():
        sheet.append(_explained(column))
    for cell in sheet[1]:
        cell.font = Font(bold=True)
    for letter, width in zip("ABCDEFG", (22, 8, 50, 40, 70, 24, 50), strict=True):
        sheet.column_dimensions[letter].width = width
    for row in sheet.iter_rows():
        for cell in row:
            cell.alignment = Alignment(wrap_text=True, vertical="top")
            cell.number_format = "@"
    sheet.freeze_panes = "B2"


def _explained(column: Column) -> list[str]:
    text = [column.meaning, allowed(column), column.how_to_see, column.example, column.caution]
    return [column.name, column.of, *text]
