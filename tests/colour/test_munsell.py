"""Munsell chips as measured colours, against a published table and against colour-science."""

import csv
import importlib
import itertools
import math
import random
import subprocess
import sys
import warnings
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wareontology import paths
from wareontology.colour.munsell import HEADING, chart_chips, nearest_chip, to_lab, to_srgb, to_xyz
from wareontology.colour.notation import FAMILIES, HIGHEST_CHROMA, Chip, parse
from wareontology.errors import OutOfRange

PUBLISHED = Path(__file__).parents[1] / "published" / "munsell_soil_chips_reference.csv"
TOLERANCE_LAB = 1e-9
"""What the docstrings promise against colour-science; measured 1e-12 over 2500 random chips."""

soil_hues = st.floats(5, 30).map(lambda number: f"{number % 10:.4f}{FAMILIES[int(number // 10)]}")
chips = st.builds(Chip, soil_hues, st.floats(1, 9.5), st.floats(0, 6))


def reference() -> list[dict[str, str]]:
    with PUBLISHED.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


@pytest.fixture(scope="module")
def colour() -> Any:
    with warnings.catch_warnings():  # it warns of optional packages that are not installed
        warnings.simplefilter("ignore")
        return importlib.import_module("colour")


def by_colour_science(colour: Any, chip: Chip) -> list[float]:
    text = f"N{chip.value}" if chip.hue == "N" else str(chip)
    white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["C"]
    xyy = colour.notation.munsell.munsell_colour_to_xyY(text)
    return [float(part) for part in colour.XYZ_to_Lab(colour.xyY_to_XYZ(xyy), white)]


def test_the_345_reference_chips() -> None:
    rows = reference()
    assert len(rows) == 345
    for row in rows:
        known = [float(row[name]) for name in ("L_C", "a_C", "b_C")]  # published: the file's own provenance
        assert to_lab(parse(row["munsell"])) == pytest.approx(known, abs=0.01), row["munsell"]


def test_the_345_reference_chips_on_a_screen() -> None:
    for row in reference():
        expected = (f"#{row['srgb_clipped']}", row["out_of_srgb"] == "0")  # second route: colour-science
        assert to_srgb(parse(row["munsell"])) == expected, row["munsell"]


# Second route: colour-science 0.4.7, printed to two decimals.
SPOTS = [
    ("10YR 6/4", (61.05, 4.92, 25.16)),
    ("2.5YR 5/6", (51.00, 20.03, 26.11)),
    ("10R 4/8", (40.74, 31.09, 29.26)),
    ("7.5YR 7/4", (70.86, 7.89, 22.60)),
    ("10YR 8/2", (80.53, 1.61, 13.35)),
    ("10YR 2/1", (20.24, 1.95, 5.39)),
]


@pytest.mark.parametrize(("text", "lab"), SPOTS)
def test_spot_values(text: str, lab: tuple[float, float, float]) -> None:
    assert to_lab(parse(text)) == pytest.approx(lab, abs=0.005)


# Second route: colour-science 0.4.7; a table that forgets the factor 0.975 gives 0.1200 for N 4.
@pytest.mark.parametrize(("value", "luminance"), [(4, 0.11701), (5, 0.19272), (8, 0.5762)])
def test_luminance_counts_from_a_perfect_diffuser(value: float, luminance: float) -> None:
    assert to_xyz(Chip("N", value, 0))[1] == pytest.approx(luminance, abs=5e-6)
    assert to_xyz(Chip("10YR", value, 2))[1] == pytest.approx(luminance, abs=5e-6)


def test_off_the_grid_it_agrees_with_colour_science(colour: Any) -> None:
    draw = random.Random(1943)
    tried = [parse(text) for text in ("4.2YR 8.1/5.3", "10RP 5/4", "0.1R 5/4", "10YR 9.5/1", "N 6.3/")]
    while len(tried) < 250:
        number = draw.choice([round(draw.uniform(0, 10), 3), 2.5, 5, 7.5, 10])
        value = draw.choice([round(draw.uniform(1, 9.5), 2), float(draw.randint(1, 9))])
        chroma = draw.choice([round(draw.uniform(0.1, 20), 2), 2.0 * draw.randint(1, 8)])
        tried.append(Chip(f"{number}{draw.choice(FAMILIES)}", value, chroma))
    agreed = 0
    for chip in tried:
        try:
            known = by_colour_science(colour, chip)
        except ValueError:  # beyond its data: ours must end at the same place
            with pytest.raises(OutOfRange):
                to_lab(chip)
        else:
            assert to_lab(chip) == pytest.approx(known, abs=TOLERANCE_LAB), str(chip)
            agreed += 1
    assert agreed > 150


@settings(max_examples=60, deadline=None)
@given(chip=chips)
def test_pottery_colours_agree_with_colour_science(colour: Any, chip: Chip) -> None:
    try:
        ours = to_lab(chip)
    except OutOfRange:
        return
    # 0.001 here: it takes a value within 0.001 of a whole one as whole, which ours does not
    assert ours == pytest.approx(by_colour_science(colour, chip), abs=1e-3)


@settings(deadline=None)
@given(chips)
def test_a_small_step_is_a_small_difference(chip: Chip) -> None:
    value = min(chip.value + 0.001, 9.5)
    try:
        here, there = to_lab(chip), to_lab(Chip(chip.hue, value, chip.chroma))
    except OutOfRange:
        return
    assert math.dist(here, there) < 0.1


@settings(deadline=None)
@given(st.floats(1, 9.5), st.floats(1, 9.5))
def test_a_higher_value_is_lighter(low: float, high: float) -> None:
    low, high = sorted((Chip("N", low, 0).value, Chip("N", high, 0).value))
    assert to_lab(Chip("N", low, 0))[0] <= to_lab(Chip("N", high, 0))[0]


@pytest.mark.parametrize(
    ("chip", "quantity", "low", "high"),
    [
        (Chip("10YR", 0.5, 2), "value", 1, 9.5),
        (Chip("10YR", 9.6, 1), "value", 1, 9.5),
        (Chip("N", 10, 0), "value", 1, 9.5),
        (Chip("10YR", 8, 40), "chroma", 0, 22),
        (Chip("5Y", 2, 8), "chroma", 0, 6),
    ],
)
def test_beyond_the_data_is_out_of_range(chip: Chip, quantity: str, low: float, high: float) -> None:
    for function in (to_xyz, to_lab, to_srgb):
        with pytest.raises(OutOfRange, match=rf"{quantity} of {chip}") as refused:
            function(chip)
        assert (refused.value.low, refused.value.high) == (low, high)


def test_the_end_of_the_data_is_where_the_message_says(colour: Any) -> None:
    for hue, value in [("10YR", 8), ("4.2YR", 6.5), ("5PB", 6), ("5Y", 2), ("10RP", 9.2)]:
        with pytest.raises(OutOfRange) as refused:
            to_lab(Chip(hue, value, HIGHEST_CHROMA))
        last, beyond = (Chip(hue, value, refused.value.high + more) for more in (0, 0.1))
        assert to_lab(last) == pytest.approx(by_colour_science(colour, last), abs=TOLERANCE_LAB)
        with pytest.raises(OutOfRange):
            to_lab(beyond)
        with pytest.raises(ValueError, match="Renotation"):  # second route: colour-science ends there too
            by_colour_science(colour, beyond)


def test_a_reference_chip_is_nearest_to_itself() -> None:
    for row in reference():
        chip = parse(row["munsell"])
        assert nearest_chip(to_lab(chip)) == chip


def test_the_nearest_chip_is_the_nearest_of_all(colour: Any) -> None:
    draw = random.Random(2005)
    labs = [(draw.uniform(3, 98), draw.uniform(-60, 80), draw.uniform(-60, 100)) for _ in range(200)]
    chart = np.array([to_lab(chip) for chip in chart_chips()])
    for lab in labs:
        nearest = to_lab(nearest_chip(lab))
        # second route: the difference as colour-science computes it
        least = float(colour.delta_E(chart, np.array(lab), method="CIE 2000").min())
        assert float(colour.delta_E(nearest, np.array(lab), method="CIE 2000")) == pytest.approx(
            least, abs=1e-5
        )


def test_nearest_chip_of_colours_between() -> None:
    assert nearest_chip(to_lab(parse("9.7YR 8.1/2.2"))) == parse("10YR 8/2")
    assert nearest_chip(to_lab(parse("N 4.1/"))) == parse("N 4/")
    assert nearest_chip(to_lab(parse("5.5G 5.1/6.2"))) == parse("5G 5/6")


@pytest.mark.parametrize("wrong", [(50, 0), (50, 0, float("nan")), (50, 0, float("inf")), (50, 0, 0, 0)])
def test_nearest_chip_refuses_what_is_no_lab(wrong: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match="would do"):
        nearest_chip(wrong)


def rows_of_the_table() -> list[dict[str, str]]:
    with paths.data("munsell.csv").open(encoding="utf-8", newline="") as file:
        lines = [line for line in file if not line.startswith("#")]
    assert lines[0] == HEADING
    return list(csv.DictReader(lines))


def test_the_table_is_whole_and_says_where_it_comes_from() -> None:
    text = paths.data("munsell.csv").read_text(encoding="utf-8")
    assert "Newhall, Nickerson & Judd 1943" in text.splitlines()[1]
    rows = rows_of_the_table()
    kinds = [row["kind"] for row in rows]
    # published: number of colours of the 1943 report, in the abstract of Centore 2012, Color Res. Appl. 37(6)
    assert kinds.count("renotation") == 2734
    assert max(float(row["chroma"]) for row in rows) == HIGHEST_CHROMA
    assert len({(row["hue"], row["value"], row["chroma"]) for row in rows}) == len(rows)
    assert len(text) < 600_000


def test_chart_chips_between_the_rows_are_what_interpolation_gives() -> None:
    between = [row for row in rows_of_the_table() if row["kind"] == "between"]
    assert between
    for row in between:
        x, y, z = to_xyz(Chip(row["hue"], float(row["value"]), float(row["chroma"])))  # second route
        assert float(row["x"]) == pytest.approx(x / (x + y + z), abs=1e-6)
        assert float(row["y"]) == pytest.approx(y / (x + y + z), abs=1e-6)


def test_the_chart_holds_every_reference_chip_once() -> None:
    chart = chart_chips()
    assert len(set(chart)) == len(chart)
    assert {parse(row["munsell"]) for row in reference()} <= set(chart)


def test_nothing_is_read_and_nothing_heavy_imported_at_import() -> None:
    code = (
        "import pathlib, sys\n"
        "def refuse(*a, **k): raise SystemExit('a file was read at import')\n"
        "pathlib.Path.read_text = pathlib.Path.open = refuse\n"
        "import wareontology.colour.munsell, wareontology.colour.words\n"
        "heavy = {'colour', 'scipy', 'rdflib', 'matplotlib', 'openpyxl', 'networkx'} & set(sys.modules)\n"
        "sys.exit(', '.join(sorted(heavy)) or 0)\n"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (run.returncode, run.stderr) == (0, "")


def test_hues_join_up_all_the_way_round() -> None:
    hues = [f"{number:g}{family}" for family in FAMILIES for number in (2.5, 5, 7.5, 10)]
    ring = [np.array(to_lab(Chip(hue, 5, 6))) for hue in hues]
    steps = [float(np.linalg.norm(one - other)) for one, other in itertools.pairwise([*ring, ring[0]])]
    assert max(steps) < 3 * min(steps)
