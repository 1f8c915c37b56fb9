"""Magnetite taking up oxygen again as a pot cools in air: Jander's law with one Arrhenius diffusivity.

    [1 - (1 - x)^(1/3)]^2 = integral of 2 D(T) / R^2 dt,    D = Dref exp[-(E / R_gas) (1/T - 1/473.15)]

x is the share of magnetite oxidised, R the grain radius or, for a sealed paint, the sealing length. Dref is
bridged from two abstracts and is not a published number; E and R are judged (rows `magnetite-reoxidation`).
Never give one answer without the ensemble. Histories are arrays whose last axis is time; Dref, E and R may be
arrays over the other axes.
"""

import numpy as np
from numpy.typing import ArrayLike

from wareontology.errors import OutOfRange
from wareontology.redox.arrays import ABSOLUTE_ZERO_C, Floats, floats, within
from wareontology.redox.constants import Constants
from wareontology.redox.rates import arrhenius, integral

_SET = "magnetite-reoxidation"


def diffusivity_m2_s(
    constants: Constants,
    temperature_c: ArrayLike,
    reference_m2_s: ArrayLike | None = None,
    activation_kj_mol: ArrayLike | None = None,
) -> Floats:
    """D = Dref exp[-(E / R_gas) (1/T - 1/473.15)], m2/s; -40 to 1100 degC (OutOfRange beyond).

    Dref at 200 degC; what is not given is the table's value.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(f'{diffusivity_m2_s(load(data("constants.csv")), 300):.2e}')
    5.41e-18
    """
    reference = constants.value(_SET, "D_reference") if reference_m2_s is None else reference_m2_s
    activation = constants.value(_SET, "E") if activation_kj_mol is None else activation_kj_mol
    limits = constants.one(_SET, "D_reference")
    return arrhenius(
        constants, temperature_c, reference, activation, constants.value(_SET, "T_reference"), limits
    )


def oxygen_factor(constants: Constants, oxygen_share: ArrayLike) -> Floats:
    """How far lack of oxygen slows the law: 1 at or above 1 % of the gas, in proportion below (our
    assumption).

    No dependence on oxygen pressure from 0.01 to 1 bar: thesis record, Giessen, 0.1 to 0.2 um magnetite.
    Share 0 to 1.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(oxygen_factor(load(data("constants.csv")), [0.21, 0.01, 0.001, 0]))
    [1.  1.  0.1 0. ]
    """
    share = within("oxygen_share", oxygen_share, 0, 1, "a share of the gas by volume")
    return np.asarray(np.minimum(share / constants.value(_SET, "oxygen_limit"), 1.0), dtype=np.float64)


def share_of_term(term: ArrayLike) -> Floats:
    """x from Jander's term [1 - (1 - x)^(1/3)]^2; 1 once the term reaches 1.

    >>> print(share_of_term([0, 0.25, 1, 4]))
    [0.    0.875 1.    1.   ]
    """
    root = np.sqrt(np.clip(floats(term), 0, 1))
    return np.asarray(1 - (1 - root) ** 3, dtype=np.float64)


def term_of_share(share: ArrayLike) -> Floats:
    """Jander's term [1 - (1 - x)^(1/3)]^2 of a share x from 0 to 1 (OutOfRange beyond).

    >>> print(term_of_share([0, 0.875, 1]))
    [0.   0.25 1.  ]
    """
    checked = within("oxidised_share", share, 0, 1, "a share of the magnetite")
    return np.asarray((1 - np.cbrt(1 - checked)) ** 2, dtype=np.float64)


def oxidised_share(
    constants: Constants,
    time_s: ArrayLike,
    temperature_c: ArrayLike,
    grain_m: ArrayLike,
    *,
    reference_m2_s: ArrayLike | None = None,
    activation_kj_mol: ArrayLike | None = None,
    oxygen_share: ArrayLike | None = None,
    start_share: ArrayLike = 0.0,
) -> Floats:
    """Share of magnetite oxidised at each time of a history (last axis time); air throughout unless oxygen is
    given.

    Times in s, rising; the diffusivity is taken to change exponentially between times. Grain radius or
    sealing length 1e-9 to 1e-2 m.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> table = load(data("constants.csv"))
    >>> print(oxidised_share(table, [0, 3600, 7200], [400, 400, 400], 5e-6).round(2))
    [0.   0.41 0.54]
    """
    temperature = floats(temperature_c)
    grain = within("grain_m", grain_m, 1e-9, 1e-2, "radius of a grain or sealing length")
    rate = (
        2
        * diffusivity_m2_s(constants, temperature, _over_time(reference_m2_s), _over_time(activation_kj_mol))
        / grain[..., np.newaxis] ** 2
    )
    if oxygen_share is not None:
        rate = rate * oxygen_factor(constants, oxygen_share)
    grown = integral(time_s, rate)
    return share_of_term(term_of_share(start_share)[..., np.newaxis] + grown)


def isothermal_share(
    constants: Constants,
    temperature_c: ArrayLike,
    seconds: ArrayLike,
    grain_m: ArrayLike,
    reference_m2_s: ArrayLike | None = None,
    activation_kj_mol: ArrayLike | None = None,
) -> Floats:
    """Share oxidised after a time in air at one temperature: a refired chip.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(isothermal_share(load(data("constants.csv")), [400, 800], 1800, 5e-6).round(2))
    [0.3 1. ]
    """
    held = within("seconds", seconds, 0, np.inf, "time held")
    diffusivity = diffusivity_m2_s(constants, temperature_c, reference_m2_s, activation_kj_mol)
    return share_of_term(2 * diffusivity * held / floats(grain_m) ** 2)


def isothermal_seconds(
    constants: Constants,
    temperature_c: ArrayLike,
    grain_m: ArrayLike,
    share: ArrayLike = 0.9,
    reference_m2_s: ArrayLike | None = None,
    activation_kj_mol: ArrayLike | None = None,
) -> Floats:
    """Seconds in air at one temperature until a share is oxidised: R^2 [1 - (1 - x)^(1/3)]^2 / 2 D.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(f'{isothermal_seconds(load(data("constants.csv")), 300, 1e-6):.3g}')
    2.65e+04
    """
    diffusivity = diffusivity_m2_s(constants, temperature_c, reference_m2_s, activation_kj_mol)
    return np.asarray(term_of_share(share) * floats(grain_m) ** 2 / (2 * diffusivity), dtype=np.float64)


def heating_temperature_c(
    constants: Constants,
    share: float,
    grain_m: float,
    kelvin_per_minute: float,
    start_c: float = 20.0,
    reference_m2_s: float | None = None,
    activation_kj_mol: float | None = None,
) -> float:
    """The temperature, degC, at which a share is oxidised when heated in air at a steady rate from `start_c`.

    OutOfRange if it is not reached below 1100 degC.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> round(heating_temperature_c(load(data("constants.csv")), 0.5, 5e-6, 10))
    548
    """
    rate = float(within("kelvin_per_minute", kelvin_per_minute, 1e-3, 1e4, "a heating rate")) / 60
    temperature = np.linspace(start_c, constants.one(_SET, "D_reference").temperatures_c()[1], 2000)
    course = oxidised_share(
        constants, (temperature - start_c) / rate, temperature, grain_m,
        reference_m2_s=reference_m2_s, activation_kj_mol=activation_kj_mol,
    )  # fmt: skip
    if course[-1] < share:
        raise OutOfRange("oxidised_share", share, 0, float(course[-1]), f"heated to {temperature[-1]:g} degC")
    return float(np.interp(term_of_share(share), term_of_share(course), temperature))


def red_share(
    constants: Constants,
    time_s: ArrayLike,
    temperature_c: ArrayLike,
    oxidised: ArrayLike,
    rate_at_520_per_s: ArrayLike | None = None,
    start_share: ArrayLike = 0.0,
) -> Floats:
    """Share gone on from brown maghemite to red hematite at each time: dy/dt = k(T) (x - y), first order.

    k = 5.8e-3 /s at 520 degC, from an assumed DTA peak (weak); E = 180 kJ/mol (175 to 186: Lee and Xu 2016;
    Adnan and O'Reilly). `oxidised` is x at each time. -40 to 1100 degC.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(red_share(load(data("constants.csv")), [0, 120], [520, 520], [1, 1]).round(2))
    [0.  0.5]
    """
    name = "maghemite-to-hematite"
    limits = constants.one(name, "k_reference")
    reference = floats(limits.value if rate_at_520_per_s is None else rate_at_520_per_s)[..., np.newaxis]
    rate = arrhenius(
        constants,
        temperature_c,
        reference,
        constants.value(name, "E"),
        constants.value(name, "T_reference"),
        limits,
    )
    passed = integral(time_s, rate)
    target, passed = np.broadcast_arrays(floats(oxidised), passed)
    red = np.empty(target.shape)
    red[..., 0] = start_share
    for step in range(1, target.shape[-1]):
        level = (target[..., step] + target[..., step - 1]) / 2
        fade = np.exp(passed[..., step - 1] - passed[..., step])
        red[..., step] = level + (red[..., step - 1] - level) * fade
    return red


def safe_opening_c(
    constants: Constants,
    time_s: ArrayLike,
    temperature_c: ArrayLike,
    grain_m: ArrayLike,
    share: float = 0.1,
    reference_m2_s: ArrayLike | None = None,
    activation_kj_mol: ArrayLike | None = None,
) -> Floats:
    """How cool, degC, a pot must be before air is let in, so that no more than `share` of its black is lost.

    The course is one cooling from hot to cold, down to 150 degC or less, in which the rate of cooling depends
    on temperature alone; air is let in when the course passes the answer. Where all of the course is safe the
    answer is its hottest temperature. OutOfRange for a course that goes up or ends too hot.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> from wareontology.redox.cooling import curve
    >>> table = load(data("constants.csv"))
    >>> print(safe_opening_c(table, *curve(table, 900), 1e-6).round())
    349.0
    """
    temperature, time = floats(temperature_c), floats(time_s)
    if np.any(np.diff(temperature) >= 0):
        hottest = float(temperature.max())
        raise OutOfRange("temperature_c", hottest, ABSOLUTE_ZERO_C, float(temperature[0]), "a cooling")
    within(
        "end of the course, degC",
        temperature[-1],
        ABSOLUTE_ZERO_C,
        150,
        "cold enough for the law to stand still",
    )
    grain, reference, activation = np.broadcast_arrays(
        floats(grain_m),
        floats(constants.value(_SET, "D_reference") if reference_m2_s is None else reference_m2_s),
        floats(constants.value(_SET, "E") if activation_kj_mol is None else activation_kj_mol),
    )
    diffusivity = diffusivity_m2_s(constants, temperature, _over_time(reference), _over_time(activation))
    grown = integral(time, 2 * diffusivity / grain[..., np.newaxis] ** 2)
    remaining = grown[..., -1:] - grown  # what a pot opened here still takes up; falls along the course
    limit = float(term_of_share(share))
    flat = remaining.reshape(-1, temperature.size)
    found = [np.interp(limit, row[::-1], temperature[::-1]) for row in flat]
    return floats(found).reshape(grain.shape)


def _over_time(values: ArrayLike | None) -> Floats | None:
    """Give a number for each history a last axis, so that it meets the history's times."""
    return None if values is None else floats(values)[..., np.newaxis]
