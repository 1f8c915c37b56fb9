"""Histories of fires: what every one of them must hold to."""

from itertools import product

import numpy as np
import pytest

from wareontology.firing import regimes
from wareontology.firing.draws import Draws, joined
from wareontology.firing.histories import Histories, Leg, alike
from wareontology.firing.regimes import AIR, REGIMES, TEMPERATURE
from wareontology.paths import data
from wareontology.redox import buffers, fire_gas
from wareontology.redox.constants import load
from wareontology.technique import hypotheses as h

TABLES = joined([load(data(name)) for name in ("constants.csv", "fire_histories.csv")])
MADE = Histories(Draws(TABLES, 4, 32, 1), fire_gas.load(data("gas.csv")))
CONDITIONS = list(product(REGIMES, TEMPERATURE, AIR))


def legs(regime: tuple[str, str], band: str, air: str) -> tuple[Leg, ...]:
    atmosphere, ending = regime
    fire = MADE.fire(atmosphere, band, spot=atmosphere == "oxidising" and air == "sealed")
    return (*fire, *MADE.end(ending, air, atmosphere, fire))


def test_names_are_those_of_the_hypotheses() -> None:
    assert (regimes.ATMOSPHERE, TEMPERATURE, AIR, REGIMES) == (h.ATMOSPHERE, h.TEMPERATURE, h.AIR, h.REGIMES)


@pytest.mark.parametrize(("regime", "band", "air"), CONDITIONS)
def test_legs_join_and_only_the_heating_goes_up(regime: tuple[str, str], band: str, air: str) -> None:
    """Time never goes back; each leg begins where the last ended; after the soak nothing warms."""
    found = legs(regime, band, air)
    soaked = len(MADE.fire(regime[0], band))
    for place, leg in enumerate(found):
        assert np.all(np.diff(leg.time_s, axis=1) >= 0)
        if place:
            before = found[place - 1].temperature_c[:, -1]
            assert leg.temperature_c[:, 0] == pytest.approx(before, abs=1e-6)
        if place >= soaked:
            assert np.all(np.diff(leg.temperature_c, axis=1) <= 1e-9)
    low, high = TABLES.one("fire-band", band).span()
    assert np.all((found[0].temperature_c.max(axis=1) >= low) & (found[0].temperature_c.max(axis=1) <= high))
    assert found[-1].temperature_c[:, -1].max() <= 60 + 1e-9


@pytest.mark.parametrize("band", TEMPERATURE[1:])
def test_the_atmospheres_lie_on_their_side_of_the_hematite_line(band: str) -> None:
    """Oxidising above it, reducing below; a neutral fire's spells lie on both sides: it wavers about it."""

    def above(leg: Leg) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
        hottest = np.maximum(leg.temperature_c[:, -1], 600)
        line = buffers.log10_oxygen(TABLES, "hematite-magnetite", hottest)
        return np.asarray(leg.gas.log10_oxygen_bar > line)

    assert above(MADE.fire("oxidising", band)[-1]).all()
    assert not above(MADE.fire("reducing", band)[-1]).any()
    first, second = (above(leg) for leg in MADE.fire("neutral", band)[1:3])
    assert 0.2 < first.mean() < 0.9
    assert (first != second).mean() > 0.8


def test_a_cover_keeps_free_oxygen_out_until_it_is_opened() -> None:
    shut, opened = MADE.end("sealed", "sealed", "reducing", MADE.fire("reducing", "800-900"))
    assert not shut.gas.oxygen_share.any()
    assert opened.gas.oxygen_share.min() > 0.2
    assert opened.temperature_c[:, 0].max() <= 300


def test_endings_said_to_be_alike_are() -> None:
    for atmosphere, ending in REGIMES:
        fire = MADE.fire(atmosphere, "700-800")
        for air in AIR:
            own, other = (MADE.end(one, air, atmosphere, fire) for one in (ending, alike(ending, air)))
            for first, second in zip(own, other, strict=True):
                assert np.array_equal(first.time_s, second.time_s)
                assert np.array_equal(first.temperature_c, second.temperature_c)


def test_a_pulled_pot_cools_as_the_bowl_does() -> None:
    """Second route: the one bowl's own cooling curve, its time scaled by the wall."""
    from wareontology.redox import cooling

    wall = MADE.draws.of_fire("fire-course", "wall")
    out = MADE.end("sealed", "sealed", "reducing", MADE.fire("reducing", "800-900"))[-1]
    for member in range(0, 128, 17):
        start, end = out.temperature_c[member, 0], out.temperature_c[member, -1]
        if start < 62:
            continue
        vessel = cooling.bowl(TABLES)
        seconds = cooling.seconds_to(TABLES, float(start), float(end), vessel)
        scaled = seconds * wall[member] / vessel.wall_m
        assert out.time_s[member, -1] == pytest.approx(scaled, rel=2e-3)


def test_an_air_that_is_none_is_refused() -> None:
    with pytest.raises(KeyError):
        MADE.end("sealed", "shut", "reducing", MADE.fire("reducing", "700-800"))
