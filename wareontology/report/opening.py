"""How cool a pot must be before air is let in, over what is not known of the law, as plain data."""

from typing import Any, Final

import numpy as np

from wareontology.redox import cooling, ensemble, gas, reoxidation
from wareontology.redox.arrays import Floats, within
from wareontology.redox.constants import Constants
from wareontology.report.gas import CAUTIONS

DRAWS: Final = 2000
SEED: Final = 4
_LAW: Final = "magnetite-reoxidation"
_LITTLE: Final = 0.1  # share oxidised that nobody would call a change; the other limit is the table's
_SPREAD: Final = (5, 50, 95)
_COLDEST_C: Final = 60.0
_STEPS: Final = 1001
_NOTES: Final = (
    "Value is the middle of the draws, low and high hold nine in ten of them. Grain decides more than any"
    " temperature, and of most paints it is not known.",
    "This is a rate law, not equilibrium: below {floor:g} °C no verdict hangs on equilibrium.",
    "To dig out at about 400 °C and let the pot cool in the open is unproven: a calculation without a firing"
    " behind it. The default is to open cold.",
    "For iron black that was whole when the air came in. Sintered or glossy paint is sealed and stands more;"
    " plant black burns by another law.",
    "How much may oxidise before the colour is called something else is a guess without a source.",
    "Hot pots look cold.",
)


def opening(table: Constants, grain_um: float | None = None, altitude_m: float = 0.0) -> dict[str, Any]:
    """The temperature, degC, a pot must be down to before air is let in: quick cooling in air, and slow.

    grain_um: radius of a magnetite grain, um, 0.001 to 10,000 (OutOfRange beyond); without one it is drawn
    too. Two limits: a tenth oxidised, and what is still read as black. Quick: the table's bowl in still air.
    Slow: one even rate, drawn.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> found = opening(load(data("constants.csv")), grain_um=1)
    >>> [(one["course"], one["lost_share"]) for one in found["openings"]]
    [('quick', 0.1), ('quick', 0.3), ('slow', 0.1), ('slow', 0.3)]
    """
    drawn = ensemble.draw(table, DRAWS, SEED)
    grain_m = drawn.grain_m if grain_um is None else _grain(table, grain_um, drawn.grain_m.shape)
    hottest = table.one(_LAW, "D_reference").temperatures_c()[1]
    pressure = float(gas.air_pressure_bar(table, altitude_m))
    rate = table.one("slow-cooling", "rate")
    rates = ensemble.log_triangular(np.random.default_rng(SEED + 1), rate, DRAWS)
    falling = np.linspace(hottest, _COLDEST_C, _STEPS)
    courses = {
        "quick": (cooling.curve(table, hottest, _COLDEST_C, pressure_bar=pressure), np.ones(DRAWS)),
        # One course at the rate's own value; a draw that cools slower is a law that runs faster.
        "slow": (((hottest - falling) / rate.value * 3600, falling), rate.value / rates),
    }
    limits = (_LITTLE, table.value("oxidised-colour", "black_below"))
    openings = [
        {"course": course, "lost_share": share, "opening_c": _spread(
            reoxidation.safe_opening_c(
                table, *history, grain_m, share, drawn.reference_m2_s * faster, drawn.activation_kj_mol
            )
        )}
        for course, (history, faster) in courses.items()
        for share in limits
    ]  # fmt: skip
    floor = table.value("agreement", "verdict_floor")
    return {
        "grain_um": grain_um,
        "draws": DRAWS,
        "seed": SEED,
        "hottest_c": hottest,
        "openings": openings,
        "sources": _sources(table),
        "notes": [*(note.format(floor=floor) for note in _NOTES), *CAUTIONS],
    }


def _grain(table: Constants, grain_um: float, shape: tuple[int, ...]) -> Floats:
    source = "radius of a magnetite grain; a paint's is assumed to be {:g} to {:g}".format(
        *(1e6 * end for end in table.one(_LAW, "R").span())
    )
    return np.full(shape, float(within("grain_um", grain_um, 1e-3, 1e4, source)) * 1e-6)


def _spread(values: Floats) -> dict[str, float]:
    low, middle, high = (round(float(value)) for value in np.percentile(values, _SPREAD))
    return {"value": middle, "low": low, "high": high}


def _sources(table: Constants) -> list[dict[str, str]]:
    rows = (
        (_LAW, "D_reference"), (_LAW, "E"), (_LAW, "R"), ("oxidised-colour", "black_below"),
        ("slow-cooling", "rate"), ("bowl", "wall"), ("free-convection", "churchill_factor"),
    )  # fmt: skip
    found = (table.one(data_set, symbol) for data_set, symbol in rows)
    return [
        {"of": row.name, "data_set": row.data_set, "source": row.source, "provenance": row.provenance}
        for row in found
    ]
