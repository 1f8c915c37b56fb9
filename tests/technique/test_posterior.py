"""The exact posterior against two other routes, and what must hold of any posterior."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from tests.technique.helpers_enumeration import Counted, Enumeration
from tests.technique.helpers_networks import Making, at_place, largest_difference, numbers
from tests.technique.helpers_pgmpy import asked_of_pgmpy
from tests.technique.helpers_sherds import painted, row, sherd
from wareontology.sherd.record import Row
from wareontology.technique.case import Case
from wareontology.technique.likelihoods.model import Model
from wareontology.technique.likelihoods.shipped import shipped_tables
from wareontology.technique.network import Slot, combine, stack
from wareontology.technique.posterior import marginals

Floats = NDArray[np.float64]
SEEN_FLAT = {"colour": "black", "edge": "sharp", "relief": "flat", "lustre": "matte"}

PLAIN = painted(SEEN_FLAT, region="colorado-plateau", looked="interior exterior break")
RED_DRIPS = painted(SEEN_FLAT, row("exterior", "paint", "line", colour="red"), fire_clouds="few")
TWO_PAINTS = sherd(
    row("break", "body", colour="buff", core="diffuse"),
    row("exterior", "body", colour="buff", patches="black"),
    row("interior", "slip", colour="cream"),
    row("rim", "slip", colour="cream/buff"),
    row("interior", "paint", "a", pxrf_mn="900", pxrf_mn_ground="100", magnet="weak", **SEEN_FLAT),
    row("rim", "paint", "b", colour="red?", edge="sharp", patches="black"),
    row("interior", "paint", "b", refire_c="800", refire_colour="red", refire_ground_colour="buff"),
    hardness="hard",
    marks="stacking",
)
SHERDS = {"plain": PLAIN, "red drips outside": RED_DRIPS, "two paints, many tests": TWO_PAINTS}
"""Invented sherds, asked with the shipped tables."""


def plain_numbers(counted: Counted) -> dict[str, Floats]:
    found = {"evidence": np.array([counted.evidence]), "fires": np.array(counted.fires)}
    found |= {f"states of {key}": np.array(odds) for key, odds in counted.states.items()}
    return found | {f"air of {zone}": np.array(odds) for zone, odds in counted.air.items()}


def of_case(case: Case) -> dict[str, Floats]:
    return numbers(case.marginals)


# --- two other routes to the same sum ---


@settings(max_examples=80, deadline=None, derandomize=True)
@given(st.integers(0, 10_000), st.integers(0, 3), st.integers(0, 2), st.integers(0, 3))
def test_equals_counting_every_case(seed: int, surfaces: int, slips: int, paints: int) -> None:
    """Second route: every fire, air, material and true colour listed, with plain loops."""
    made = Making(seed, surfaces, slips, paints, sets=2, states=3 if slips + paints < 4 else 2)
    result = marginals(made.network, made.factors)
    for place in range(len(result.evidence)):
        counted = Enumeration(made.network, made.factors, place).count()
        assert largest_difference(numbers(result, place), plain_numbers(counted)) < 1e-9


@pytest.mark.parametrize("pairs", [((0, 1),), ((0, 1), (1, 2)), ((0, 1), (0, 2), (1, 2))])
def test_contrasting_paints_seen_in_different_zones_equal_counting(pairs: Sequence[tuple[int, int]]) -> None:
    """Second route. A paint that is seen where another is not once had its states summed too often."""
    made = Making(7, surfaces=3, slips=0, paints=3, states=2)
    factors = {slot: factor for slot, factor in made.factors.items() if not slot.zone}
    for number, zone in enumerate(made.surfaces):
        factors[Slot("colour", f"paint:{number}", zone)] = np.array([[0.9 - 0.3 * number, 0.2]])
    contrasts = frozenset((f"paint:{first}", f"paint:{second}") for first, second in pairs)
    network = replace(made.network, contrasts=contrasts)
    counted = plain_numbers(Enumeration(network, factors).count())
    assert largest_difference(numbers(marginals(network, factors)), counted) < 1e-9


@pytest.mark.parametrize(
    ("seed", "surfaces", "slips", "paints"), [(0, 2, 1, 2), (1, 1, 2, 3), (2, 3, 1, 1), (3, 0, 1, 2)]
)
def test_equals_pgmpy_on_random_networks(seed: int, surfaces: int, slips: int, paints: int) -> None:
    """Second route: pgmpy's variable elimination, with the true colours as variables of their own."""
    made = Making(seed, surfaces, slips, paints)
    own = numbers(marginals(made.network, made.factors))
    del own["evidence"]  # pgmpy gives marginals only
    assert largest_difference(own, asked_of_pgmpy(made.network, made.factors)) < 1e-9


@pytest.mark.parametrize("name", SHERDS)
def test_equals_pgmpy_on_sherds_with_the_shipped_tables(name: str) -> None:
    """Second route, all 54 fires, 7 histories and 26 states of a paint kept."""
    case = Case.of(SHERDS[name])
    assert bool(case.network.contrasts) == (name == "two paints, many tests")
    own = of_case(case)
    del own["evidence"]
    assert largest_difference(own, asked_of_pgmpy(case.network, combine(case.items))) < 1e-9


# --- what must hold of any posterior ---


@pytest.mark.parametrize("name", SHERDS)
def test_every_marginal_sums_to_one(name: str) -> None:
    """Definition of a probability."""
    case = Case.of(SHERDS[name], draws=5)
    result = case.marginals
    assert result.fires.shape == (5, 54)
    for odds in (result.fires, *result.states.values(), *result.air.values()):
        assert (odds >= 0).all()
        assert odds.sum(axis=1) == pytest.approx(np.ones(5), abs=1e-12)


@settings(max_examples=15, deadline=None, derandomize=True)
@given(st.permutations(TWO_PAINTS.rows))
def test_the_order_of_rows_never_matters(rows: Sequence[Row]) -> None:
    """Same sherd, rows in any order: the same numbers."""
    shuffled = replace(TWO_PAINTS, rows=tuple(rows))
    assert largest_difference(of_case(Case.of(shuffled)), of_case(Case.of(TWO_PAINTS))) < 1e-12


@pytest.mark.parametrize("name", SHERDS)
def test_stacked_variants_equal_one_at_a_time(name: str) -> None:
    """Every item left out in turn, at once and one after another."""
    case = Case.of(SHERDS[name])
    variants = [tuple(other for other in case.items if other is not left) for left in case.items]
    together = case.given([*variants, ()])
    for place, items in enumerate([*variants, ()]):
        alone = marginals(case.network, combine(items))
        assert largest_difference(numbers(together, place), numbers(alone)) < 1e-12


def test_stacking_needs_no_common_slots() -> None:
    """Evidence sets of random networks that share few places."""
    made = Making(11, surfaces=2, slips=1, paints=2)
    slots = sorted(made.factors)
    variants: list[Mapping[Slot, Floats]] = [
        {slot: made.factors[slot] for slot in slots[start::3]} for start in range(3)
    ]
    together = marginals(made.network, stack(variants))
    for place, factors in enumerate(variants):
        alone = numbers(marginals(made.network, factors))
        assert largest_difference(numbers(together, place), alone) < 1e-12


@pytest.mark.parametrize("name", SHERDS)
def test_draws_at_once_equal_draws_one_by_one(name: str) -> None:
    """The leading axis only saves time."""
    case = Case(SHERDS[name], Case.of(SHERDS[name]).units, Model(shipped_tables(4), SHERDS[name].region))
    factors = combine(case.items)
    for place in range(4):
        alone = marginals(*at_place(case.network, factors, place))
        assert largest_difference(numbers(case.marginals, place), numbers(alone)) < 1e-12


@pytest.mark.parametrize("kind", ["fire", "heat", "unit", "link", "zone", "colour"])
def test_evidence_of_probability_one_changes_nothing(kind: str) -> None:
    """A certain thing seen tells nothing."""
    case = Case.of(PLAIN)
    states = {node.key: node.colours.shape[1] for node in case.network.nodes}
    classes, histories = len(case.network.history), len(case.model.fold)
    certain = {
        "fire": (Slot("fire"), np.ones((1, 54))),
        "heat": (Slot("heat"), np.ones((1, 54, states["body"]))),
        "unit": (Slot("unit", "slip"), np.ones((1, classes, states["slip"]))),
        "link": (Slot("link", "paint:line"), np.ones((1, states["slip"], states["paint:line"]))),
        "zone": (Slot("zone", "paint:line", "interior"), np.ones((1, histories, states["paint:line"]))),
        "colour": (Slot("colour", "body", "interior"), np.ones((1, 13))),
    }
    slot, ones = certain[kind]
    factors = combine(case.items)
    more = {**factors, slot: factors[slot] * ones if slot in factors else ones}
    with_it = numbers(marginals(case.network, more))
    assert largest_difference(with_it, of_case(case)) < 1e-12


def test_a_surface_that_was_not_seen_changes_nothing_but_has_its_air() -> None:
    """Its air follows from the fire alone: Σ over fires P(fire | E) · P(air | fire)."""
    case = Case.of(PLAIN)
    wider = Case.of(PLAIN, also=("exterior", "rim"))
    known = {name: value for name, value in of_case(wider).items() if name in of_case(case)}
    assert largest_difference(known, of_case(case)) < 1e-12
    air = wider.network.air[0, wider.network.class_of, wider.network.surfaces.index("exterior")]
    expected = case.marginals.fires[0] @ air
    assert wider.marginals.air["exterior"][0] == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("name", SHERDS)
def test_chain_rule(name: str) -> None:
    """P(first, second) = P(first) · P(second | first), the last as the expectation of the second's
    likelihood under the posterior of the first, for each item that acts in one place only."""
    case = Case.of(SHERDS[name])
    tried = 0
    for second in case.items:
        (slot, likelihood), *more = second.factors.items()
        if more or slot.kind not in ("unit", "fire") or (likelihood.ndim == 3 and likelihood.shape[1] > 1):
            continue
        first = tuple(item for item in case.items if item is not second)
        result = marginals(case.network, combine(first))
        odds = result.fires if slot.kind == "fire" else result.states[slot.unit]
        expected = (odds * likelihood.reshape(1, -1)).sum()
        assert case.marginals.evidence == pytest.approx(result.evidence * expected, rel=1e-12)
        tried += 1
    assert tried >= 2


def test_impossible_evidence_is_refused() -> None:
    """A sum of nothing has no posterior."""
    case = Case.of(PLAIN)
    with pytest.raises(ValueError, match="probability zero"):
        marginals(case.network, {Slot("fire"): np.zeros((1, 54))})


def test_a_sherd_of_nothing_but_a_break_has_no_air() -> None:
    """No surface was seen: the fire is still asked."""
    result = Case.of(sherd(row("break", "body", colour="grey"))).marginals
    assert result.air == {}
    assert result.fires.sum() == pytest.approx(1.0, abs=1e-12)


def test_many_draws_in_parts_are_the_draws_in_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """Taking the sets of evidence in parts changes nothing but the memory (second route)."""
    whole = Case.of(TWO_PAINTS, 30).marginals
    monkeypatch.setattr("wareontology.technique.posterior.ROOM", 20_000)
    parts = Case.of(TWO_PAINTS, 30).marginals
    assert np.array_equal(whole.fires, parts.fires)
    assert np.array_equal(whole.evidence, parts.evidence)
    assert all(np.array_equal(whole.states[key], parts.states[key]) for key in whole.states)
    assert all(np.array_equal(whole.air[zone], parts.air[zone]) for zone in whole.air)
