"""Spread against spread: hand-worked distances, chance, and what is refused."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wareontology.colour.difference import ciede2000
from wareontology.colour.munsell import to_lab
from wareontology.colour.notation import parse
from wareontology.errors import BreaksShape
from wareontology.paths import data
from wareontology.replica.compare import Spread, compared, compared_labs
from wareontology.replica.traits import Trait
from wareontology.sherd.cells import parse as cell
from wareontology.sherd.columns import column
from wareontology.sherd.record import Row, Seen, Sherd
from wareontology.sherd.table import read

TRAIT = Trait("break", "body", "colour")


def sherd(name: str, zone: str = "break", layer: str = "body", **cells: str) -> Sherd:
    seen = {key: cell(column(key), text) for key, text in cells.items()}
    assert all(isinstance(one, Seen) for one in seen.values())
    return Sherd(name, None, {}, (Row(zone, layer, None, seen),))  # type: ignore[arg-type]


def chips(*texts: str) -> list[Sherd]:
    return [sherd(f"S-{n}", munsell=text) for n, text in enumerate(texts)]


def distance(one: str, other: str) -> float:
    return float(ciede2000(to_lab(parse(one)), to_lab(parse(other))))


def test_two_and_two_by_hand() -> None:
    (found,) = compared(chips("10YR 5/2", "10YR 6/2"), chips("5YR 5/4", "N 4/"))
    pairs = [distance(a, b) for a in ("10YR 5/2", "10YR 6/2") for b in ("5YR 5/4", "N 4/")]
    # second route: pair by pair
    assert found.between == pytest.approx(sum(pairs) / 4)
    assert found.within_originals == pytest.approx(distance("10YR 5/2", "10YR 6/2"))
    assert found.within_replicas == pytest.approx(distance("5YR 5/4", "N 4/"))
    within = (found.within_originals or 0) + (found.within_replicas or 0)
    assert found.excess == pytest.approx(found.between - within / 2)
    assert (found.unit, found.reading) == ("CIEDE2000", "too few")  # six deals of four sherds


def test_chance_is_every_way_of_dealing_out() -> None:
    rng = np.random.default_rng(3)
    labs = [np.array([50 + 5 * x, 0, 0]) for x in rng.normal(size=7)]
    found = compared_labs(TRAIT, labs[:3], labs[3:])
    excesses = []
    for chosen in combinations(range(7), 3):  # second route: dealt out one by one
        rest = [n for n in range(7) if n not in chosen]
        between = np.mean([ciede2000(labs[a], labs[b]) for a in chosen for b in rest])
        own = np.mean([ciede2000(labs[a], labs[b]) for a in chosen for b in chosen if a != b])
        others = np.mean([ciede2000(labs[a], labs[b]) for a in rest for b in rest if a != b])
        excesses.append(between - (own + others) / 2)
    assert found.excess == pytest.approx(excesses[0])
    assert found.p == pytest.approx(np.mean(np.array(excesses) >= excesses[0] - 1e-9))
    assert (found.low, found.high) == pytest.approx(tuple(np.percentile(excesses, (5, 95))))


def test_groups_far_apart_are_told_apart_and_one_group_is_not() -> None:
    rng = np.random.default_rng(4)
    near = [np.array([50, 0, 0]) + rng.normal(size=3) for _ in range(12)]
    far = [np.array([60, 8, 8]) + rng.normal(size=3) for _ in range(12)]
    assert compared_labs(TRAIT, near[:6], far[:6]).reading == "apart"
    assert compared_labs(TRAIT, near[:6], near[6:]).reading == "alike so far"
    assert compared_labs(TRAIT, near, far).reading == "apart"  # more deals than can all be made


def test_labels_mean_nothing_five_times_in_a_hundred() -> None:
    """The reading errs about as often as it says: one group dealt out is seldom called two."""
    rng = np.random.default_rng(5)
    called = 0
    for _ in range(200):
        labs = [np.array([50, 0, 0]) + 3 * rng.normal(size=3) for _ in range(10)]
        called += compared_labs(TRAIT, labs[:5], labs[5:]).reading == "apart"
    assert called <= 200 * 0.05 + 3 * np.sqrt(200 * 0.05 * 0.95)


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.sampled_from(["10YR 5/2", "5YR 5/4", "N 4/", "2.5Y 7/2"]), min_size=4, max_size=7), st.data()
)
def test_it_does_not_matter_who_is_called_what(texts: list[str], data_: st.DataObject) -> None:
    cut = data_.draw(st.integers(2, len(texts) - 2))
    (one,) = compared(chips(*texts[:cut]), chips(*texts[cut:]))
    (other,) = compared(chips(*texts[cut:]), chips(*texts[:cut]))
    assert one.excess == pytest.approx(other.excess)
    assert one.p == pytest.approx(other.p)
    assert 0 < (one.p or 0) <= 1


def test_words_where_there_is_no_chip() -> None:
    (found,) = compared([sherd("A", edge="sharp")], [sherd("B", edge="soft")])
    assert (found.unit, found.between, found.excess, found.reading) == ("share", 1.0, None, "too few")
    assert found.words_originals == {"sharp": 1.0}


def test_fresh_breaks_and_refired_chips_come_first() -> None:
    found = compared(*(read(data("demo", f"{name}.csv")).sherds for name in ("originals", "replicas")))
    ranks = [one.trait.rank() for one in found]
    assert ranks == sorted(ranks)
    assert found[0].trait.zone == "break"
    assert {one.trait.refired for one in found} >= {600, 700, 800}
    counts: list[Spread] = [one for one in found if one.trait == Trait("interior", "slip", "colour")]
    assert (counts[0].originals, counts[0].replicas) == (5, 5)


def test_a_refired_colour_is_never_set_against_one_as_found() -> None:
    with pytest.raises(BreaksShape, match="no trait seen on both"):
        compared([sherd("A", refire_c="800", refire_colour="red")], [sherd("B", munsell="10R 4/6")])


@pytest.mark.parametrize("sizes", [(0, 2), (2, 0)])
def test_an_empty_group_is_refused(sizes: tuple[int, int]) -> None:
    with pytest.raises(BreaksShape):
        compared(*(chips(*["N 5/"] * size) for size in sizes))
