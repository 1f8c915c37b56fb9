"""Each trait moves the odds the way the trade says it does.

A line of the tables below is a sherd without the trait, the same with it, and a value whose odds the trait
must raise by at least MOVES. Directions: common practice, but where a source is named. No published source
gives the size of a move.
"""

from collections.abc import Mapping

import pytest

from tests.technique.helpers_sherds import odds, painted, row, sherd
from wareontology.sherd.record import Sherd

MOVES = 1.2
BLACK = {"colour": "black"}
MANGANESE = ("family paint:line", "manganese-family")
IRON = ("family paint:line", "iron-family")
ORGANIC = ("family paint:line", "organic")
PAINT_IS = "material paint:line"
NO_MANGANESE = (PAINT_IS, "iron or iron-organic or organic")
MINERAL = (PAINT_IS, "iron or manganese or iron-manganese")
GLAZE = (PAINT_IS, "lead-copper-glaze or alkaline-glaze")


def moved(before: Sherd, after: Sherd, question: str, value: str) -> float:
    """By how much the odds of a value rise from one sherd to the other."""
    return odds(after, question, value) / odds(before, question, value)


PAINT: list[tuple[Mapping[str, str], Mapping[str, str], str, str]] = [
    # (paint before, and what is seen besides, question, value)
    # paint soaked in with blurred edges: NAU note on 10x views; standing proud: Pendleton et al. 2012
    (BLACK, {"edge": "soft"}, *ORGANIC),
    (BLACK, {"relief": "soaked-in"}, *ORGANIC),
    (BLACK | {"edge": "soft"}, {"relief": "soaked-in"}, *ORGANIC),
    (BLACK, {"edge": "sharp"}, *MINERAL),
    (BLACK, {"relief": "flat"}, *MINERAL),
    (BLACK, {"relief": "raised"}, *GLAZE),
    # dense and sintered: Aloupi-Siotis 2020, Mirti et al. 1999
    (BLACK, {"sintered": "yes"}, PAINT_IS, "gloss"),
    (BLACK | {"lustre": "glossy"}, {"sintered": "yes"}, "whole ending", "air-finish"),
    (BLACK, {"lustre": "glossy"}, PAINT_IS, "gloss or lead-copper-glaze"),
    (BLACK, {"lustre": "matte"}, *MINERAL),
    (BLACK, {"lustre": "metallic"}, PAINT_IS, "graphite"),
    (BLACK, {"streak_on_paper": "yes"}, PAINT_IS, "graphite"),
    (BLACK, {"white_specks": "yes"}, PAINT_IS, "lead-copper-glaze"),
    # soft colours that rub off are later than the firing: Fletcher 2002
    (BLACK, {"rubs_off": "wet"}, "applied paint:line", "after"),
    (BLACK, {"rubs_off": "no"}, "applied paint:line", "before"),
    (BLACK, {"applied": "after-firing"}, "applied paint:line", "after"),
    # carbonate fizzes: Perisic et al. 2016
    ({"colour": "white"}, {"acid": "fizz"}, PAINT_IS, "carbonate-white"),
    ({"colour": "white"}, {"acid": "none"}, PAINT_IS, "white-clay or other-white"),
    (BLACK, {"magnet": "strong"}, PAINT_IS, "iron or iron-organic"),
    (BLACK, {"magnet": "strong"}, "whole atmosphere", "neutral or reducing"),
    (BLACK, {"magnet": "none"}, PAINT_IS, "organic or manganese"),
    (BLACK, {"pxrf_mn": "900", "pxrf_mn_ground": "100"}, *MANGANESE),
    (BLACK, {"pxrf_mn": "900", "pxrf_mn_ground": "<100"}, *MANGANESE),
    (BLACK, {"pxrf_mn": "<100", "pxrf_mn_ground": "90"}, *NO_MANGANESE),
    (BLACK, {"pxrf_mn": "100", "pxrf_mn_ground": "100"}, *NO_MANGANESE),
    (BLACK, {"pxrf_fe": "4000", "pxrf_fe_ground": "1000"}, *IRON),
    (BLACK, {"pxrf_fe": "1000", "pxrf_fe_ground": "1000"}, *ORGANIC),
    (BLACK, {"pxrf_pb": "4000", "pxrf_pb_ground": "40"}, PAINT_IS, "lead-copper-glaze"),
    (BLACK, {"pxrf_cu": "400", "pxrf_cu_ground": "40"}, *GLAZE),
    # jacobsite in mixed paint: Schweizer & Rinuy 1982; magnetite and hercynite in gloss: Aloupi-Siotis 2020
    (BLACK, {"phases": "jacobsite"}, PAINT_IS, "iron-manganese"),
    (BLACK, {"phases": "hausmannite"}, *MANGANESE),
    (BLACK, {"phases": "magnetite hercynite"}, PAINT_IS, "gloss"),
    (BLACK, {"phases": "magnetite"}, PAINT_IS, "iron or iron-organic or gloss"),
    (BLACK, {"phases": "carbon"}, *ORGANIC),
    (BLACK, {"phases": "graphite"}, PAINT_IS, "graphite"),
    (BLACK, {"phases": "chromite"}, PAINT_IS, "chromite"),
    (BLACK, {"phases": "lead"}, PAINT_IS, "lead-copper-glaze"),
    ({"colour": "white"}, {"phases": "calcite"}, PAINT_IS, "carbonate-white"),
    ({"colour": "white"}, {"phases": "apatite"}, PAINT_IS, "other-white"),
    ({"colour": "white"}, {"phases": "kaolinite"}, PAINT_IS, "white-clay"),
    (BLACK, {"refire_c": "800", "refire_colour": "red", "refire_ground_colour": "buff"}, *IRON),
    (BLACK, {"refire_c": "750", "refire_colour": "gone", "refire_ground_colour": "buff"}, *ORGANIC),
    (BLACK, {"refire_c": "750", "refire_colour": "ghost", "refire_ground_colour": "buff"}, *ORGANIC),
    (BLACK, {"refire_c": "900", "refire_colour": "black", "refire_ground_colour": "buff"}, *MANGANESE),
    # a sealed gloss stays black long after matt iron has gone: Maniatis et al. 1993
    (BLACK, {"refire_c": "800", "refire_colour": "black"}, PAINT_IS, "gloss or manganese or iron-manganese"),
    (BLACK, {"patches": "red"}, "family paint:line", "iron-family or manganese-family"),
    (BLACK, {"finish": "polished"}, *ORGANIC),
    ({}, {"colour": "red"}, "whole atmosphere", "oxidising"),
    ({}, {"colour": "red"}, *IRON),
    ({}, {"colour": "black"}, "whole atmosphere", "neutral or reducing"),
    # a purple tint speaks for manganese: Ashmolean page on Nishapur, Cypriot ware description
    ({}, {"colour": "purple"}, *MANGANESE),
    ({}, {"colour": "green"}, *GLAZE),
    ({}, {"colour": "silver"}, PAINT_IS, "graphite"),
    ({}, {"colour": "blue"}, PAINT_IS, "alkaline-glaze"),
    ({}, {"colour": "white"}, PAINT_IS, "white-clay or carbonate-white or other-white"),
]  # fmt: skip


@pytest.mark.parametrize(("before", "seen", "question", "value"), PAINT)
def test_a_trait_of_paint(
    before: Mapping[str, str], seen: Mapping[str, str], question: str, value: str
) -> None:
    assert moved(painted(before), painted({**before, **seen}), question, value) >= MOVES


GREY = row("break", "body", colour="grey")
RED = row("break", "body", colour="red")
WHITE = row("interior", "slip", colour="white")
DARK_IN = row("interior", "body", colour="black")
RED_OUT = row("exterior", "body", colour="red")

LAYERS: list[tuple[Sherd, Sherd, str, str]] = [
    # (a sherd, the same with more seen, question, value)
    (sherd(), sherd(GREY), "whole atmosphere", "neutral or reducing"),
    (sherd(), sherd(RED), "whole atmosphere", "oxidising"),
    (sherd(), sherd(RED), "material body", "red-firing"),
    (sherd(), sherd(row("break", "body", colour="white")), "material body", "white-firing or light-firing"),
    (sherd(), sherd(row("break", "body", colour="cream")), "material body", "light-firing or calcareous"),
    (sherd(), sherd(row("break", "body", core="full")), "carbon body", "carbon-rich"),
    (sherd(), sherd(row("break", "body", core="none")), "carbon body", "not-carbon-rich"),
    # a sharp line between core and margin: a short late change (Orton, Tyers & Vince 1993, p. 69)
    (sherd(), sherd(row("break", "body", core="sharp")), "whole ending", "air-finish"),
    (sherd(), sherd(WHITE, region="colorado-plateau"), "whole atmosphere", "neutral or reducing"),
    (sherd(), sherd(row("interior", "slip", colour="red")), "whole atmosphere", "oxidising"),
    (sherd(WHITE), sherd(row("interior", "slip", colour="white", scum="yes")), "material slip", "salt-scum"),
    (sherd(WHITE), sherd(row("interior", "slip", colour="white", acid="fizz")), "material slip", "lime"),
    (
        sherd(WHITE),
        sherd(row("interior", "slip", colour="white", finish="polished")),
        "material slip",
        "white-firing or light-firing",
    ),
    (
        sherd(row("interior", "slip", colour="black")),
        sherd(row("interior", "slip", colour="black", sintered="yes", lustre="glossy")),
        "material slip",
        "gloss",
    ),
    (
        sherd(row("interior", "slip", colour="grey")),
        sherd(row("interior", "slip", colour="grey", streak_on_paper="yes")),
        "material slip",
        "graphite",
    ),
    # black all over is smoke or reduction, black inside alone is smoke (Baba & Saito 2002)
    (sherd(), sherd(DARK_IN), "whole ending", "smudged"),
    (sherd(RED, RED_OUT), sherd(RED, RED_OUT, DARK_IN), "whole ending", "smudged"),
    (
        sherd(DARK_IN),
        sherd(DARK_IN, row("exterior", "body", colour="black")),
        "whole atmosphere",
        "neutral or reducing",
    ),
    (
        sherd(row("interior", "body", colour="red")),
        sherd(row("interior", "body", colour="red", patches="red")),
        "whole atmosphere",
        "neutral or reducing",
    ),
    # inner and outer margins that differ: mouth closed or inverted (Orton, Tyers & Vince 1993, p. 69)
    (
        sherd(row("inner-margin", "body", colour="grey")),
        sherd(row("inner-margin", "body", colour="grey"), row("outer-margin", "body", colour="red")),
        "whole ending",
        "mouth-down",
    ),
    # one paint, black inside and red outside
    (
        painted({"colour": "black"}),
        painted({"colour": "black"}, row("exterior", "paint", "line", colour="red")),
        "whole ending",
        "mouth-down",
    ),
    (
        painted({"colour": "black"}),
        painted({"colour": "black"}, row("interior", "paint", "more", colour="red")),
        "whole atmosphere",
        "oxidising",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("before", "after", "question", "value"), LAYERS)
def test_a_trait_of_body_or_slip(before: Sherd, after: Sherd, question: str, value: str) -> None:
    assert moved(before, after, question, value) >= MOVES


WHOLE = [
    # (column, word, question, value)
    ("hardness", "hard", "whole temperature", "800-900 or 900-1000 or above-1000"),
    ("hardness", "soft", "whole temperature", "below-550 or 550-700"),
    ("ring", "clear", "whole temperature", "800-900 or 900-1000 or above-1000"),
    ("ring", "dull", "whole temperature", "below-550 or 550-700"),
    ("slakes", "yes", "whole temperature", "below-550"),
    ("slakes", "no", "whole temperature", "550-700 or 700-800 or 800-900 or 900-1000 or above-1000"),
    ("lime_pops", "yes", "material body", "calcareous"),
    # clouds over most of the surface: fuel contact; a container keeps them off (handbook after Woods 1989)
    ("fire_clouds", "most", "whole structure", "open-fire"),
    ("fire_clouds", "none", "whole structure", "updraft-kiln or saggar"),
    ("marks", "fuel-contact", "whole structure", "open-fire or pit"),
    ("marks", "stacking", "whole structure", "updraft-kiln or trench-kiln or saggar"),
    ("kiln_evidence", "found", "whole space", "two-space"),
    ("kiln_evidence", "none-found", "whole space", "one-space"),
]


@pytest.mark.parametrize(("column", "word", "question", "value"), WHOLE)
def test_a_trait_of_the_sherd(column: str, word: str, question: str, value: str) -> None:
    assert moved(sherd(GREY), sherd(GREY, **{column: word}), question, value) >= MOVES


@pytest.mark.parametrize("core", ["none", "diffuse", "full"])
def test_a_core_says_little_of_the_peak(core: str) -> None:
    """Orton, Tyers & Vince 1993, p. 69; Johnson et al. 1988: carbon stays in rich clay to 800-1000 °C."""
    with_core = sherd(row("break", "body", core=core))
    hot = moved(sherd(), with_core, "whole temperature", "800-900 or 900-1000 or above-1000")
    assert 1 / 1.5 < hot < 1.5


def test_no_red_anywhere_speaks_against_air() -> None:
    """Seen whole inside and outside; the patches of the painted zone then read as none too."""
    before, after = (
        painted({"colour": "black"}, looked=zones) for zones in ("interior", "interior exterior")
    )
    assert moved(before, after, "whole atmosphere", "neutral or reducing") >= MOVES


def test_a_form_that_shuts_its_air_in_changes_nothing_but_the_air() -> None:
    """The shipped table of the air gives open and closed forms alike: a form alone is no evidence."""
    for form in ("open", "closed"):
        assert moved(sherd(GREY), sherd(GREY, form=form), "whole ending", "sealed") == pytest.approx(1.0)


def test_a_kiln_is_never_surer_than_one_sherd_allows() -> None:
    """Thér 2014: only one space against two can be told apart, and that not surely."""
    sure = sherd(RED, fire_clouds="none", kiln_evidence="found", marks="stacking", hardness="hard")
    assert odds(sure, "whole space", "two-space") <= 4.0 + 1e-9
