"""Agreement of two observers: by definition, and by a second route."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.sherd.jsonld import from_jsonld
from wareontology.sherd.record import Sherd
from wareontology.technique.agreement import agreements, kappa
from wareontology.technique.scoring import wilson


def seen(observer: str, sherd: str = "K", zone: str = "rim", **cells: Any) -> Sherd:
    row = {"zone": zone, "layer": "paint", **cells}
    return from_jsonld({"sherd": sherd, "observer": observer, "rows": [row]})


def test_a_trait_counts_where_both_saw_it() -> None:
    sherds = [
        seen("AB", "1", edge="soft", lustre="matte"), seen("CD", "1", edge="soft"),
        seen("AB", "2", edge="soft", lustre="matte"), seen("CD", "2", edge="sharp", lustre="matte"),
        seen("AB", "3", edge="soft?"), seen("CD", "3", edge="soft"),
        seen("AB", "4", edge="soft"),
    ]  # fmt: skip
    found = {one.column: one for one in agreements(sherds)}
    edge, lustre = found["edge"], found["lustre"]
    assert (edge.both, edge.same, edge.one, edge.unclear, edge.share) == (2, 1, 0, 1, 0.5)
    assert (lustre.both, lustre.same, lustre.one, lustre.kappa) == (1, 1, 1, None)
    assert edge.observers == ("AB", "CD")


def test_another_zone_is_another_cell_and_three_observers_are_three_pairs() -> None:
    assert agreements([seen("AB", edge="soft"), seen("CD", zone="base", edge="soft")]) == []
    three = [seen(who, edge="soft") for who in ("AB", "CD", "EF")]
    assert [one.observers for one in agreements(three)] == [("AB", "CD"), ("AB", "EF"), ("CD", "EF")]


def test_where_a_sherd_comes_from_is_no_trait() -> None:
    both = [seen(who, edge="soft", colour_state="dry") for who in ("AB", "CD")]
    assert [one.column for one in agreements(both)] == ["edge"]


words = st.lists(st.tuples(st.sampled_from("abc"), st.sampled_from("abc")), min_size=1, max_size=40)


@given(words)
def test_kappa_by_exact_fractions(pairs: list[tuple[str, str]]) -> None:
    # second route: the definition, observed less chance over one less chance, in fractions
    n = len(pairs)
    observed = Fraction(sum(one == other for one, other in pairs), n)
    first, second = [one for one, _ in pairs], [other for _, other in pairs]
    chance = sum(Fraction(first.count(word), n) * Fraction(second.count(word), n) for word in "abc")
    found = kappa(pairs)
    if chance == 1:
        assert found is None
    else:
        assert found == pytest.approx(float((observed - chance) / (1 - chance)), abs=1e-9)


@given(words)
def test_kappa_does_not_mind_who_comes_first(pairs: list[tuple[str, str]]) -> None:
    assert kappa(pairs) == kappa([(other, one) for one, other in pairs])


@given(st.integers(1, 200).flatmap(lambda both: st.tuples(st.integers(0, both), st.just(both))))
def test_the_interval_holds_the_share_and_is_where_its_test_turns(pair: tuple[int, int]) -> None:
    same, both = pair
    low, high = wilson(same, both)
    assert 0.0 <= low <= same / both + 1e-12
    assert same / both - 1e-12 <= high <= 1.0
    for end in (low, high):  # second route: the ends solve (share - p)² = z² p (1 - p) / n
        assert (same / both - end) ** 2 == pytest.approx(
            1.959963984540054**2 * end * (1 - end) / both, abs=1e-9
        )
