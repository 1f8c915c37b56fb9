"""The map of traditions: what stands on it, and that no name lies over another."""

import re
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wareontology.graph.traditions import Tradition, traditions
from wareontology.plots.tradition_map import Box, extent, places, settle, tradition_map, unbroken

ALL = list(traditions().values())


def test_every_region_of_the_traditions_has_one_place_and_they_are_all_counted() -> None:
    found = places(ALL)
    assert sum(place.count for place in found) == len(ALL)
    assert len(found) == len({one.region for one in ALL})
    west, east, south, north = extent(found)
    assert all(west < place.longitude < east and south < place.latitude < north for place in found)


def test_a_place_is_the_middle_of_its_whole_region_whatever_was_chosen() -> None:
    """So a dot cannot be used to find one tradition's own coordinate."""
    andes = [one for one in ALL if one.region == "andes"]
    (whole,), (one,) = places(andes), places(andes[:1])
    assert (whole.longitude, whole.latitude) == (one.longitude, one.latitude)


PAGE = Box(0.0, 0.0, 690.0, 320.0)


def laid(found: list[tuple[tuple[float, float], tuple[str, ...], float]]) -> list[Box]:
    return [box for box, _ in settle(found, PAGE)]


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.tuples(st.floats(5, 685), st.floats(5, 315)), st.just(("Some region · 4",)), st.just(4.0)
        ),
        max_size=12,
    )
)
def test_names_stand_on_the_page_and_not_over_each_other(
    found: list[tuple[tuple[float, float], tuple[str, ...], float]],
) -> None:
    boxes = laid(found)
    assert not any(one.meets(other, 0) for one, other in combinations(boxes, 2))
    assert all(box.inside(PAGE) for box in boxes)


@pytest.mark.parametrize("region", [None, "europe", "asia", "americas", "aegean"])
def test_no_name_of_ours_lies_over_another(region: str | None) -> None:
    from wareontology.graph.vocabulary import region_path

    chosen = [one for one in ALL if region is None or region in region_path(one.region)]
    found = places(chosen)
    west, east, south, north = extent(found)
    across, up = PAGE.right / (east - west), PAGE.high / (north - south)
    dots = [
        (
            ((place.longitude - west) * across, (place.latitude - south) * up),
            place.lines,
            2.2 + 0.8 * place.count**0.5,
        )
        for place in found
    ]
    boxes = laid(dots)
    assert not any(one.meets(other, 0) for one, other in combinations(boxes, 2))


def drawn(chosen: list[Tradition]) -> str:
    return tradition_map(chosen).decode()


def test_few_traditions_are_named_and_many_are_counted() -> None:
    few = [one for one in ALL if one.region == "cyprus"]
    assert all(one.label in drawn(few) or one.label[:30] in drawn(few) for one in few)
    assert f"Aegean · {sum(one.region == 'aegean' for one in ALL)}" in drawn(ALL)
    assert "never a site" in drawn(few)


def test_the_same_data_give_the_same_bytes() -> None:
    assert tradition_map(ALL[:20]) == tradition_map(ALL[:20])


def test_nothing_chosen_is_still_a_map() -> None:
    assert "0 traditions by region" in drawn([])


def test_a_coast_across_the_date_line_is_not_drawn_back_over_the_map() -> None:
    line = [(178.0, -17.0), (-179.0, -17.0), (-179.0, -18.0), (178.0, -18.0)]
    assert [x for x, _ in unbroken(line)] == [178.0, 181.0, 181.0, 178.0]


def test_no_text_is_smaller_than_can_be_read() -> None:
    sizes = [float(size) for size in re.findall(r"font(?:-size)?: ([\d.]+)px", drawn(ALL))]
    assert sizes
    assert min(sizes) >= 7
