"""The trade's colour words as soft classes of chips."""

import csv
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wareontology import paths
from wareontology.colour.munsell import chart_chips
from wareontology.colour.notation import FAMILIES, Chip, hue_number, parse
from wareontology.colour.words import membership, words
from wareontology.errors import OutOfRange

PUBLISHED = Path(__file__).parents[1] / "published"
WORDS = (
    "white", "cream", "buff", "orange", "red", "brown", "grey", "black",
    "green", "purple", "silver", "yellow", "blue",
)  # fmt: skip
POTTERY = ("white", "cream", "buff", "red", "brown", "grey", "black")
"""The words the working classes define."""

hues = st.builds(lambda number, family: f"{number:.4f}{family}", st.floats(0, 10), st.sampled_from(FAMILIES))
chips = st.builds(Chip, hues, st.floats(1, 9.5), st.floats(0, 14))


def published(name: str) -> list[dict[str, str]]:
    with (PUBLISHED / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def shares(text: str) -> dict[str, float]:
    return membership(parse(text))


def top(text: str) -> str:
    of = shares(text)
    return max(of, key=lambda word: of[word])


@settings(deadline=None)
@given(chips)
def test_shares_are_over_all_words_and_sum_to_one(chip: Chip) -> None:
    try:
        of = membership(chip)
    except OutOfRange:
        return
    assert tuple(of) == WORDS == words()
    assert sum(of.values()) == pytest.approx(1, abs=1e-12)
    assert all(0 <= share <= 1 for share in of.values())


@settings(deadline=None)
@given(chips, st.floats(-1, 1), st.floats(-1, 1))
def test_a_chip_a_little_off_has_shares_a_little_off(chip: Chip, value: float, chroma: float) -> None:
    hue = chip.hue if chip.hue != "N" else "10YR"
    near = Chip(hue, min(max(chip.value + value * 1e-3, 1), 9.5), max(chip.chroma + chroma * 1e-3, 0))
    try:
        here, there = membership(chip), membership(near)
    except OutOfRange:
        return
    assert max(abs(here[word] - there[word]) for word in WORDS) < 0.02


def test_what_is_handed_out_may_be_changed() -> None:
    first = shares("10YR 8/1")
    kept = dict(first)
    first["white"] = 0.0
    assert shares("10YR 8/1") == kept


def test_beyond_the_table_is_out_of_range() -> None:
    with pytest.raises(OutOfRange):
        membership(Chip("10YR", 8, 40))


# The middle of a class: judged, after the working classes named in data/colour_words.csv and common practice.
MIDDLES = [
    ("10YR 8/1", "white"),
    ("N 9/", "white"),
    ("10YR 8/3", "cream"),
    ("2.5Y 8/3", "cream"),
    ("10YR 7/4", "buff"),
    ("10YR 7/3", "buff"),
    ("5YR 6/6", "orange"),
    ("5YR 6/8", "orange"),
    ("2.5YR 5/6", "red"),
    ("10R 4/8", "red"),
    ("10R 4/6", "red"),
    ("7.5YR 4/3", "brown"),
    ("7.5YR 5/4", "brown"),
    ("2.5YR 3/2", "brown"),
    ("N 4/", "grey"),
    ("N 5/", "grey"),
    ("10YR 5/1", "grey"),
    ("N 2/", "black"),
    ("10YR 2/1", "black"),
    ("5GY 4/4", "green"),
    ("5G 5/6", "green"),
    ("5P 4/4", "purple"),
    ("5RP 3/4", "purple"),
    ("2.5Y 8/8", "yellow"),
    ("5PB 4/6", "blue"),
    ("5B 5/4", "blue"),
]


@pytest.mark.parametrize(("text", "word"), MIDDLES)
def test_the_middle_of_a_class_has_its_word(text: str, word: str) -> None:
    assert top(text) == word
    assert shares(text)[word] > 0.5


def test_a_chip_between_white_and_cream_is_shared() -> None:
    of = shares("10YR 8/2")
    assert min(of["white"], of["cream"]) > 0.25
    assert max(of.values()) < 0.6


def test_the_chip_the_sources_disagree_on_is_shared() -> None:
    # 7.5YR 7/4: "cream" in Perkins (Internet Archaeology 4, Fine Creamware), pink on the soil chart, buff by
    # the working classes.
    of = shares("7.5YR 7/4")
    assert of["cream"] >= 0.2
    assert of["buff"] >= 0.2
    assert of["orange"] >= 0.1
    assert max(of.values()) < 0.6


def test_perkins_coarseware_is_orange_red_or_brown() -> None:
    # published: Perkins 1997, Internet Archaeology 4, intarch.ac.uk/journal/issue4/perkins/4_3_1a.html,
    # Coarseware 1, "Orange - dark red - brown - black. 2.5YR 5/6-8"
    for text in ("2.5YR 5/6", "2.5YR 5/8"):
        of = shares(text)
        assert of["orange"] + of["red"] + of["brown"] > 0.95
        assert of["orange"] > 0.1
        assert of["brown"] > 0.05


def test_perkins_coarse_creamware_can_be_cream_at_its_pale_end() -> None:
    # published: the same, 4_3_4a.html, Coarse Creamware 1, "Cream - pinkish brown. 2.5YR 6/6-7.5YR 7/4"
    assert shares("7.5YR 7/4")["cream"] > 5 * shares("2.5YR 6/6")["cream"]
    assert shares("2.5YR 6/6")["white"] < 0.01


def working_classes(chip: Chip) -> set[str]:
    """The working classes a chip falls in, as the header of data/colour_words.csv gives them."""
    value, chroma = chip.value, chip.chroma
    hue = hue_number(chip.hue) if chip.hue != "N" else -1.0
    classes = {
        "white": value >= 8 and chroma <= 2,
        "cream": value >= 8 and 2 <= chroma <= 4 and 17.5 <= hue <= 25,
        "buff": 6 <= value <= 8 and 3 <= chroma <= 4 and 17.5 <= hue <= 20,
        "red": chroma >= 4 and 5 <= hue <= 12.5,
        "brown": 3 <= value <= 5 and 2 <= chroma <= 6 and 15 <= hue <= 20,
        "grey": chroma <= 1 and 3 <= value <= 7,
        "black": value <= 2.5 and chroma <= 2,
    }
    return {word for word, within in classes.items() if within}


def pottery_chips() -> list[Chip]:
    return [chip for chip in chart_chips() if chip.hue == "N" or 5 <= hue_number(chip.hue) <= 25]


def test_working_classes_lead_in_their_own_chips() -> None:
    tried = 0
    for chip in pottery_chips():
        classes = working_classes(chip)
        if not classes or (classes == {"red"} and chip.value >= 7):  # pale reds: see the next test
            continue
        of = membership(chip)
        leading = set(sorted(POTTERY, key=lambda word: -of[word])[: len(classes)])
        assert leading == classes, f"{chip}: {of}"
        tried += 1
    assert tried > 200


def test_pale_red_chips_have_no_word_of_their_own() -> None:
    # The working class red has no upper value, but 10R 8/4 is pink on the soil chart; no trade word is pink.
    for chip in pottery_chips():
        if working_classes(chip) == {"red"} and chip.value >= 8:
            of = membership(chip)
            assert of["white"] + of["cream"] + of["buff"] + of["orange"] + of["red"] > 0.9
            assert of["black"] + of["green"] + of["blue"] + of["purple"] < 0.01


def test_a_word_is_stronger_inside_its_class_than_outside() -> None:
    for word in POTTERY:
        chips = pottery_chips()
        inside = [membership(chip)[word] for chip in chips if word in working_classes(chip)]
        outside = [membership(chip)[word] for chip in chips if word not in working_classes(chip)]
        assert sum(inside) / len(inside) > 3 * sum(outside) / len(outside), word


def test_plain_soil_chart_names_are_the_top_word() -> None:
    # published: USDA-NRCS soil colour names, provenance in the file; many prototypes are among them.
    rows = published("soil_colour_names.csv")
    assert len(rows) == 83
    missed = [row["munsell"] for row in rows if top(row["munsell"]) != row["name"].replace("gray", "grey")]
    assert missed == []


# published: mineral colours, provenance in the file; the words expected of each mineral are judged.
MINERALS = {
    "hematite-fine": {"red"},
    "hematite-coarse": {"red", "purple"},
    "goethite-coarse": {"yellow"},
    "goethite-fine": {"brown", "orange"},
    "lepidocrocite-coarse": {"orange"},
    "ferrihydrite": {"red", "brown"},
    "maghemite": {"red", "brown"},
    "calcite": {"white", "cream"},
    "gypsum": {"white", "cream"},
    "quartz": {"grey"},
    "todorokite": {"black"},
    "humus": {"black"},
    "pyrite": {"black"},
}


def test_mineral_colours_have_the_words_minerals_are_known_by() -> None:
    chip_of = {row["mineral"]: row["munsell"] for row in published("soil_minerals_munsell.csv")}
    for mineral, expected in MINERALS.items():
        of = shares(chip_of[mineral])
        assert sum(of[word] for word in expected) > 0.6, mineral
        assert top(chip_of[mineral]) in expected, mineral


def test_a_grey_chip_cannot_say_silver() -> None:
    for text in ("N 5/", "N 6/", "N 7/"):
        assert 0 < shares(text)["silver"] < 0.15


def test_every_row_of_the_word_table_has_its_basis() -> None:
    with paths.data("colour_words.csv").open(encoding="utf-8", newline="") as file:
        lines = list(file)
    header = "".join(line for line in lines if line.startswith("#"))
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    for row in rows:
        assert row["basis"] in {"published", "common practice", "judgement"}
        assert (row["source"] == "") == (row["basis"] == "judgement"), row
        assert row["source"] == "" or f"# {row['source']}:" in header
        assert float(row["spread"]) > 0
        assert 0 < float(row["weight"]) <= 1
        assert str(parse(row["munsell"])) == row["munsell"]
    keys = [(row["word"], row["munsell"]) for row in rows]
    assert len(set(keys)) == len(keys)


def test_published_soil_names_in_the_word_table_are_in_the_published_file() -> None:
    rows = published("soil_colour_names.csv")
    names = {row["munsell"]: row["name"].replace("gray", "grey") for row in rows}
    with paths.data("colour_words.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    cited = [row for row in rows if row["source"] == "USDA soil colour names"]
    assert cited
    for row in cited:
        assert names[row["munsell"]] == row["word"], row
