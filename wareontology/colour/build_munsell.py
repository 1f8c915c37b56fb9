"""Writes data/munsell.csv from the Munsell renotation data that colour-science carries. Development only."""

import importlib
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

from wareontology import paths
from wareontology.colour.munsell import HEADING
from wareontology.colour.notation import FAMILIES, Chip

_HEADER: Final = """\
# Munsell renotation data for Munsell notation to CIE chromaticity, CIE illuminant C, 2 degree observer.
# Source: Newhall, Nickerson & Judd 1943, Final report of the O.S.A. subcommittee on the spacing of the
#   Munsell colors, J. Opt. Soc. Am. 33(7):385-418, with later extrapolation, as carried by the Python
#   package colour-science {version} (BSD-3-Clause, Copyright 2013 Colour Developers), MUNSELL_COLOURS_ALL,
#   which takes it from the Munsell Color Science Laboratory, Rochester Institute of Technology. The 1943
#   report was not read; its numbers are taken as the package gives them. Its 2734 colours are the rows of
#   kind renotation; in two of them (10Y 4/2, 2.5R 9/2) the package's own list of the 1943 colours differs
#   from this one by 0.004 and 0.001 in x.
# Made by wareontology/colour/build_munsell.py; do not edit by hand.
# hue,value,chroma: the chip. x,y: CIE 1931 chromaticity. The luminance is not kept: it follows from the
#   value.
# to_next_hue: how x,y run to the next hue (R towards Y) at this value and chroma: arc = about the grey
#   point, line = straight; after Centore 2012, An open-source inversion algorithm for the Munsell
#   renotation, Color Res. Appl. 37(6):455-464, as colour-science carries it (paper not read). Blank: not a
#   row to interpolate from.
# kind: renotation = among the colours of the 1943 report; extrapolated = beyond them; between = a chart
#   chip that the renotation has no row for, interpolated between its rows (values 2.5, 8.5, 9.5; odd
#   chromas); grey = N chips, which have the chromaticity of illuminant C.
# chart: chips the nearest chip is sought among. pottery = the hues of bodies, slips and iron paints: the
#   soil chart's 10R to 5Y with 5R and 7.5R (hues that Orton, Tyers & Vince 1993, Pottery in archaeology,
#   say cover most pottery); other = the hues of glazes and of green, blue and purple paints. Hue, value and
#   chroma are filled out to a grid (judgement): it is no copy of any printed chart, and some dark, strong
#   chips are printed in none.
"""

_POTTERY_HUES: Final = ("5R", "7.5R", "10R", "2.5YR", "5YR", "7.5YR", "10YR", "2.5Y", "5Y")
_POTTERY_VALUES: Final = (2, 2.5, 3, 4, 5, 6, 7, 8)
_POTTERY_CHROMAS: Final = (1, 2, 3, 4, 6, 8)
_PALE_HUES: Final = ("7.5YR", "10YR", "2.5Y")
_PALE_VALUES: Final = (8.5, 9, 9.5)
_PALE_CHROMAS: Final = (1, 2)
_OTHER_HUES: Final = (
    "10Y", "5GY", "10GY", "5G", "10G", "5BG", "10BG", "5B", "10B", "5PB", "10PB", "5P", "10P", "5RP", "10RP",
)  # fmt: skip
_OTHER_VALUES: Final = (2, 3, 4, 5, 6, 7, 8)
_OTHER_CHROMAS: Final = (1, 2, 4, 6, 8)
_GREY_VALUES: Final = (2, 2.5, 3, 4, 5, 6, 7, 8, 8.5, 9, 9.5)


def write(to: Path | None = None) -> Path:
    """Write data/munsell.csv (or another file) anew and return its path.

    Needs colour-science, a development dependency; raises ImportError without it. The same package
    version gives the same bytes.
    """
    colour, munsell = _colour_science()
    rows = dict(_renotation(munsell))
    charts = dict(_chart())
    lines = []
    for chip in sorted({*rows, *charts}, key=_order):
        row = rows.get(chip) or _between(munsell, chip)
        if row:
            hue, value, chroma = chip.hue, f"{chip.value:g}", f"{chip.chroma:g}"
            lines.append(",".join((hue, value, chroma, *row, charts.get(chip, ""))) + "\n")
    to = to or paths.data("munsell.csv")
    header = _HEADER.format(version=colour.__version__) + HEADING
    to.write_text(header + "".join(lines), encoding="utf-8", newline="\n")
    return to


def _colour_science() -> tuple[Any, Any]:
    with warnings.catch_warnings():  # it warns of optional packages that are not installed
        warnings.simplefilter("ignore")
        return importlib.import_module("colour"), importlib.import_module("colour.notation.munsell")


def _renotation(munsell: Any) -> Iterator[tuple[Chip, tuple[str, ...]]]:
    """Every renotation row of value 1 to 9 as the file's columns x, y, to_next_hue, kind."""
    notation = importlib.import_module("colour.notation")
    real = {name for name, _ in notation.MUNSELL_COLOURS["Munsell Colours Real"]}
    for name, (x, y, _luminance) in munsell.MUNSELL_COLOURS_ALL:
        hue, value, chroma = name
        if not 1 <= value <= 9:  # below 1 no sherd; above 9 colour-science runs to ideal white instead
            continue
        chip = Chip(hue, value, chroma)
        method = munsell.interpolation_method_from_renotation_ovoid(_towards_next_hue(munsell, chip))
        kind = "renotation" if name in real else "extrapolated"
        yield chip, (f"{x:.6g}", f"{y:.6g}", "arc" if method == "Radial" else "line", kind)


def _towards_next_hue(munsell: Any, chip: Chip) -> list[float]:
    """The colour halfway to the next of the 40 hues, as colour-science's numbers."""
    hue, value, chroma, code = munsell.munsell_colour_to_munsell_specification(str(chip))
    if hue == 10:
        hue, code = 0.0, (code - 2) % 10 + 1
    return [hue + 1.25, value, chroma, code]


def _between(munsell: Any, chip: Chip) -> tuple[str, ...] | None:
    """A chart chip off the renotation's grid; None where the renotation does not reach it."""
    try:
        x, y, _luminance = munsell.munsell_colour_to_xyY(str(chip).replace("N ", "N").removesuffix("/"))
    except ValueError:
        return None
    return f"{x:.6f}", f"{y:.6f}", "", "grey" if chip.hue == "N" else "between"


def _chart() -> Iterator[tuple[Chip, str]]:
    grids = (
        ("pottery", _POTTERY_HUES, _POTTERY_VALUES, _POTTERY_CHROMAS),
        ("pottery", _PALE_HUES, _PALE_VALUES, _PALE_CHROMAS),
        ("other", _OTHER_HUES, _OTHER_VALUES, _OTHER_CHROMAS),
        ("pottery", ("N",), _GREY_VALUES, (0,)),
    )
    for chart, hues, values, chromas in grids:
        for hue in hues:
            for value in values:
                for chroma in chromas:
                    yield Chip(hue, value, chroma), chart


def _order(chip: Chip) -> tuple[int, float, float, float]:
    family = chip.hue.lstrip("0123456789.")
    number = float(chip.hue.removesuffix(family) or 0)
    return (FAMILIES.index(family) if family in FAMILIES else -1, number, chip.value, chip.chroma)


if __name__ == "__main__":
    print(write())
