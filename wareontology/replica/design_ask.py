"""The question an experiment is designed for: from a potter's own file, or from a claim and its rivals."""

import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Final

import numpy as np

from wareontology.errors import BreaksShape, Fault, Unreadable
from wareontology.replica.claim_read import Claim
from wareontology.replica.claim_rivals import Claimed, Way, claimed, rivals, way_case, weighed
from wareontology.replica.design import Question, Trial, check
from wareontology.technique import hypotheses as h
from wareontology.technique.case import Case
from wareontology.technique.likelihoods.model import PAINT_STATES
from wareontology.technique.limits import limits
from wareontology.technique.phrases import value_words
from wareontology.technique.units import Unit

LIKE: Final = "like the originals"
UNLIKE: Final = "unlike them"
MOST_WAYS: Final = 6


def read(path: str | Path) -> Question:
    """A question from TOML: `[[hypothesis]]` with name and chance, `[[trial]]` with name, tile, firing and
    `results`, a table of result to the chances under each hypothesis by name.

    Raises Unreadable where it is no TOML, BreaksShape where it is none that can be designed for.
    """
    name = Path(path).name
    try:
        raw = tomllib.loads(Path(path).read_text(encoding="utf-8-sig"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise Unreadable(
            f"{name}: found no TOML ({error}); would do: hypotheses and trials as TOML"
        ) from None
    try:
        hypotheses = {str(one["name"]): float(one.get("chance", 1.0)) for one in raw["hypothesis"]}
        trials = tuple(_trial(one, list(hypotheses)) for one in raw["trial"])
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        would_do = "[[hypothesis]] name, chance; [[trial]] name, tile, firing, results"
        raise BreaksShape([Fault(name, None, str(error).strip("'"), "something amiss", would_do)]) from None
    return check(Question(hypotheses, trials))


def holds_hypotheses(path: str | Path) -> bool:
    """Whether a file is a question of one's own rather than a claim. False for standard input."""
    if str(path) == "-" or Path(path).suffix != ".toml":
        return False
    try:
        return "hypothesis" in tomllib.loads(Path(path).read_text(encoding="utf-8-sig"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError):
        return False


def _trial(one: Mapping[str, Any], names: Sequence[str]) -> Trial:
    results = {
        str(result): tuple(float(chances[name]) for name in names)
        for result, chances in one["results"].items()
    }
    return Trial(str(one["name"]), str(one.get("tile", one["name"])), str(one["firing"]), results)


def from_claim(claim: Claim) -> Question:
    """The claimed ways and their rivals as hypotheses; as trials a tile of each paint in each of their fires.

    A tile made as the ware was made gives its look with the chance `design_repeats`; one made otherwise gives
    it as often as the tables make that fire and paint give the paint's colour of the originals. Raises
    BreaksShape where the claim has no originals with a paint, or no rival.
    """
    by = claimed(claim.form)
    case, unit = _case(claim, by)
    found = weighed(claim.originals, by)
    ours = [(way, found.odds[way], 0.0) for way in found.odds if by.holds(way)]
    ours.sort(key=lambda one: -one[1])
    others = rivals(found, by, limits()["claim_rival_listed"])
    ways = [way for way, _, _ in (*ours[:2], *others)][:MOST_WAYS]
    if len(ways) < 2:
        raise BreaksShape([Fault(claim.file, None, "technique", "no rival", "nothing to tell apart")])
    chances = {words(way): max(found.odds[way], 1e-6) for way in ways}
    fires = list(dict.fromkeys(way[:2] for way in ways))
    paints = list(dict.fromkeys(way[2] for way in ways))
    trials = tuple(
        _of_way(case, unit, (*fire, paint), ways) for fire in fires for paint in paints if paint is not None
    )
    return check(Question(chances, trials))


def _case(claim: Claim, by: Claimed) -> tuple[Case, Unit]:
    for sherd in claim.originals:
        case = Case.of(sherd)
        unit = way_case(case, by)
        if unit is not None and any(row.colour() for row in unit.rows):
            return case, unit
    raise BreaksShape([Fault(claim.file, None, "original", "no paint with a colour", "an original with one")])


def words(way: Way) -> str:
    """A way in words.

    >>> words(("reducing", "sealed", "iron"))
    'iron; reducing, sealed from air'
    """
    fire = f"{value_words('atmosphere', way[0])}, {value_words('ending', way[1])}"
    return fire if way[2] is None else f"{value_words('paint', way[2])}; {fire}"


def _of_way(case: Case, unit: Unit, way: Way, ways: Sequence[Way]) -> Trial:
    by_table = looks_like(case, unit, way)
    repeats = max(limits()["design_repeats"], by_table)
    like = tuple(repeats if one == way else by_table for one in ways)
    fire = f"{value_words('atmosphere', way[0])}, {value_words('ending', way[1])}"
    tile = value_words("paint", str(way[2]))
    results = {LIKE: like, UNLIKE: tuple(1 - p for p in like)}
    return Trial(f"{tile}; {fire}", tile, fire, results)


def looks_like(case: Case, unit: Unit, way: Way) -> float:
    """Chance that a fire and a paint give the colour this paint has, by the tables: over the air at its
    surface, mean over its zones. Between 0.005 and 0.995: no table is that sure."""
    network = case.network
    regime = h.REGIMES.index((way[0], way[1]))
    states = [place for place, (m, applied) in enumerate(PAINT_STATES) if m == way[2] and applied == "before"]
    colours = network.node(unit.key).colours[0, states[0]]
    chances = []
    for row in unit.rows:
        seen = row.colour()
        if seen is None or row.zone not in network.surfaces:
            continue
        air = network.air[0, regime, network.surfaces.index(row.zone)]
        expected = air @ colours[network.history[regime]]
        wanted = np.array([seen.share(colour) for colour in h.COLOURS])
        chances.append(float(np.minimum(expected, wanted).sum()))
    return float(np.clip(np.mean(chances), 0.005, 0.995)) if chances else 0.5
