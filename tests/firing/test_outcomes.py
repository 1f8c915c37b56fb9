"""Paints and soot along a course: against redox's own laws, a trial calculation, and what must follow."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest

from wareontology.firing import courses, outcomes, plan
from wareontology.firing.courses import Course
from wareontology.firing.draws import Draws
from wareontology.firing.gases import Drawn
from wareontology.firing.plan import Plan
from wareontology.firing.uncertain import FIRES_A_SET, draw, tables
from wareontology.redox import cooling, reduction, reoxidation
from wareontology.redox.arrays import Floats, floats

TABLE = tables()
MIDDLE = {
    "grain_m": 1e-6, "sealing_growth": 1.0, "diffusivity_at_200_m2_s": 1e-19, "oxidation_kj_mol": 90.0,
    "reduction_at_600_per_s": 0.01, "reduction_kj_mol": 80.0, "char_kj_mol": 130.0, "black_below": 0.3,
    "red_above": 0.7, "hematite_at_520_per_s": 5.8e-3,
}  # fmt: skip


def held(own: Mapping[str, float]) -> dict[str, tuple[float, float, float]]:
    return {name: (value, value, value) for name, value in own.items()}


def made(given: Plan, own: Mapping[str, float]) -> tuple[Drawn, Course, outcomes.Outcome]:
    drawn = draw(given, TABLE, Draws(TABLE, 5, FIRES_A_SET, 1), held({**MIDDLE, **own}))
    passed = courses.course(given, TABLE, drawn)
    return drawn, passed, outcomes.outcome(given, TABLE, drawn, passed)


def pulled_black(at_c: float) -> Plan:
    """A bowl pulled black at one heat and left an hour in the open."""
    given = plan.from_text('structure = "open-fire"\nprocedure = "mouth-down"\n[cover]\ndelay_s = 3600')
    told = {("fire", "top_c"): at_c, ("site", "air_c"): 20.0}
    return replace(given, values={**given.values, **told}, given=given.given | set(told))


STILL = {
    "within_pot_k": 0.0, "top_error_k": 0.0, "reducing_share": 1.0, "delay_ratio": 1.0,
    "reduction_at_600_per_s": 10.0,  # so that all of it is black when it is pulled
}  # fmt: skip


# A trial calculation of another hand, so a range: share oxidised of a bowl pulled black and cooled in still
# air
@pytest.mark.parametrize(
    ("at_c", "grain_um", "share"),
    [
        (700, 1.0, 0.93),
        (600, 1.0, 0.70),
        (600, 2.5, 0.35),
        (500, 1.0, 0.41),
        (400, 1.0, 0.18),
        (300, 0.5, 0.10),
    ],
)
def test_a_bowl_pulled_black_oxidises_as_in_the_trial_calculation(
    at_c: float, grain_um: float, share: float
) -> None:
    given = pulled_black(at_c)
    _, _, found = made(given, {**STILL, "grain_m": grain_um * 1e-6})
    assert found.hot_oxidised.max() < 0.01
    assert np.median(found.oxidised[0, 1]) == pytest.approx(share, abs=0.05)


def test_the_steps_agree_with_the_law_on_the_same_course() -> None:
    """Second route: redox.reoxidation on redox.cooling's own curve, from the share it started at."""
    given = pulled_black(600)
    _, _, found = made(given, STILL)
    bowl = cooling.bowl(TABLE, wall_m=0.005, diameter_m=0.18)
    time, temperature = cooling.curve(TABLE, 600, 25, bowl)
    start = float(found.hot_oxidised[0, 1, 0])
    law = reoxidation.oxidised_share(TABLE, time, temperature, 1e-6, start_share=start)
    assert found.oxidised[0, 1, 0] == pytest.approx(float(law[-1]), abs=0.01)


def course_of(temperature_c: float, oxygen: float, near: float, seconds: float, members: int) -> Course:
    """Every place at one heat in one gas."""
    times = 21
    shape = (2, 3, times, members)
    heat, none = np.full((3, times, members), temperature_c), np.zeros(members)
    return Course(
        np.full((3, times - 1, members), seconds / (times - 1)), heat, np.full(shape, oxygen),
        np.full(shape, near), heat[:, 0], heat[:, 0], slice(0, times), np.zeros((times, members)), none, 0.0,
        none, none,
    )  # fmt: skip


def red_paint(reducing_share: float) -> tuple[Plan, Drawn]:
    given = plan.example("covered-pit")
    own = {**MIDDLE, "reducing_share": reducing_share}
    return given, draw(given, TABLE, Draws(TABLE, 5, FIRES_A_SET, 1), held(own))


def outcome_of(
    temperature_c: float, oxygen: float, near: float, seconds: float, smoky: float
) -> outcomes.Outcome:
    given, drawn = red_paint(smoky)
    return outcomes.outcome(given, TABLE, drawn, course_of(temperature_c, oxygen, near, seconds, 100))


def test_red_paint_over_charcoal_goes_black_by_the_law_of_reduction() -> None:
    found = outcome_of(600, 0.0, 1.0, 100, 0.0)
    second = reduction.reduce(TABLE, [0, 100], [600, 600]).oxidised[-1]
    assert found.oxidised == pytest.approx(second, rel=1e-9)


def test_without_oxygen_and_without_charcoal_nothing_changes() -> None:
    assert outcome_of(600, 0.0, 0.0, 1e5, 0.0).oxidised == pytest.approx(1.0)


def test_black_paint_in_air_goes_by_the_law_of_oxidation() -> None:
    given, drawn = red_paint(1.0)
    passed = course_of(400, 0.2095, 0.0, 1800, 100)
    started = float(outcomes.outcome(given, TABLE, drawn, passed).hot_oxidised[0, 0, 0])
    law = reoxidation.oxidised_share(TABLE, [0, 1800], [400, 400], 1e-6, start_share=started)
    assert outcome_of(400, 0.2095, 0.0, 1800, 1.0).oxidised == pytest.approx(float(law[-1]), rel=1e-6)


def test_organic_paint_burns_out_in_air_and_keeps_without() -> None:
    assert outcome_of(600, 0.2095, 0.0, 600, 1.0).carbon_left.max() < 0.01
    assert outcome_of(600, 0.0, 1.0, 600, 1.0).carbon_left.min() > 0.99


def test_soot_burns_off_in_air_while_hot() -> None:
    clean, sooty = (outcome_of(650, oxygen, 0.0, 3600, 0.0).soot_kg_m2.max() for oxygen in (0.2095, 0.0))
    assert clean < 1e-3 * sooty


def test_manganese_is_black_in_air_brown_short_of_it_and_green_without() -> None:
    def met(temperature_c: float, oxygen: float) -> set[float]:
        return set(np.unique(outcome_of(temperature_c, oxygen, 0.0, 600, 0.0).manganese))

    assert met(800, 0.2095) == {0.0}  # second route: the line lies at 4.4 % oxygen at 800 degC (Hahn & Muan)
    assert met(800, 0.03) == {1.0}
    assert met(800, 0.0) == {2.0}


def test_pots_that_never_burned_their_soot_off_are_smoked() -> None:
    cold: Floats = outcome_of(450, 0.0, 0.0, 10, 1.0).smoked
    assert cold.min() == 1.0
    assert floats(cold).shape[:2] == (2, 3)
