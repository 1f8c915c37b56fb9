"""The drawn map: a dot a region, all of it on the paper, the same dots for a phone."""

import re

from wareontology.app import world
from wareontology.graph.traditions import traditions

ALL = list(traditions().values())


def test_each_dot_counts_its_region_and_lies_on_the_map() -> None:
    for drawn in (world.drawn(ALL), *world.drawn_small(ALL)):
        assert drawn.dots
        for dot in drawn.dots:
            assert dot.count == sum(one.region == dot.region for one in ALL)
            assert 0 <= dot.x <= drawn.width
            assert 0 <= dot.y <= drawn.height


def test_a_phone_gets_the_same_dots_by_number() -> None:
    numbers = {dot.region: str(dot.number) for dot in world.drawn(ALL).dots}
    small = [dot for part in world.drawn_small(ALL) for dot in part.dots]
    assert {dot.region: dot.lines[0][0] for dot in small} == numbers


def test_what_lies_east_stands_right_and_what_lies_north_stands_high() -> None:
    dots = {dot.region: dot for dot in world.drawn(ALL).dots}
    assert dots["andes"].x < dots["aegean"].x < dots["east-asia"].x
    assert dots["western-europe"].y < dots["aegean"].y < dots["southern-africa"].y


def test_the_coasts_are_closed_lines_of_numbers() -> None:
    coasts = world.drawn(ALL).coasts
    assert re.fullmatch(r"(M-?[\d.]+ -?[\d.]+(L-?[\d.]+ -?[\d.]+)*z)+", coasts)


def test_a_map_without_a_dot_still_stands() -> None:
    assert world.drawn([]).dots == ()
    assert world.drawn_small([]) == ()


def test_one_dot_is_framed_with_land_enough_to_know_where_it_is() -> None:
    one = traditions()["us-tusayan-white"]
    drawn = world.placed(one)
    assert drawn.height < drawn.width  # lower than wide, so that it does not fill the margin
    assert abs(drawn.dots[0].x - drawn.width / 2) < 1
