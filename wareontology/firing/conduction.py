"""Heat through solids in steps of time, for many firings at once.

Cells stand in rows: outward (first axis), upward (second), and one layer for each member of an ensemble
(last). A step is Douglas's alternating directions on heat content: with F the net heat into each cell, C
the heat to warm it by 1 K and K the conductances,

    (C - w dt K1) y = dt F,    (C - w dt K2) D = C y,    heat content += C D,

w = 1 after a jump (damps it), 1/2 after that (second order). The heat content is what is stepped, so it
closes with what crossed the boundary to rounding, whatever the step. Water that boils holds a cell near
100 degC by an apparent heat capacity spread over a few kelvin; a cell that has dried stays dry.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike

from wareontology.errors import OutOfRange
from wareontology.redox.arrays import Floats, floats

_DAMPED_STEPS = 2
"""Steps with w = 1 after a jump in the boundary or the start."""


@dataclass(frozen=True, slots=True)
class Solid:
    """Cells of a solid. Every array ends in the axis of the members.

    capacity_j_k: heat to warm each cell by 1 K, (outward, upward, members).
    outward_w_k: conductance of the faces between cells outward, (outward + 1, upward, members); first and
    last are those to the surroundings. upward_w_k: the same upward, (outward, upward + 1, members).
    Noughts insulate. outside_c: temperature of the surroundings, (members,). heat_w: heat made in each
    cell, or None. latent_j: heat to dry each cell between boils_c, or None.
    """

    capacity_j_k: Floats
    outward_w_k: Floats
    upward_w_k: Floats
    outside_c: Floats
    heat_w: Floats | None = None
    latent_j: Floats | None = None
    boils_c: tuple[float, float] = (95.0, 105.0)

    @property
    def shape(self) -> tuple[int, int, int]:
        outward, upward, members = self.capacity_j_k.shape
        return outward, upward, members


@dataclass(slots=True)
class Course:
    """What was seen of a run: times (s), what was watched (watched, times, members), heat (members,).

    gained_j: heat content gained by the end; crossed_j: heat that came in through the boundary or was made
    inside, counted at the boundary step by step. The two are equal to rounding.
    """

    time_s: Floats
    watched_c: Floats
    gained_j: Floats
    crossed_j: Floats
    end_c: Floats


@dataclass(slots=True)
class _Factors:
    """One direction's matrix for one step, eliminated: `first` multiplies the neighbour before, `second`
    after."""

    first: Floats
    inverse: Floats
    second: Floats


@dataclass(slots=True)
class _Stepper:
    solid: Solid
    seconds: Floats
    weight: float
    outward: _Factors = field(init=False)
    upward: _Factors = field(init=False)

    def __post_init__(self) -> None:
        scale = self.weight * self.seconds
        capacity = self.solid.capacity_j_k
        self.outward = _eliminated(capacity, scale * self.solid.outward_w_k)
        upward = _eliminated(np.moveaxis(capacity, 1, 0), scale * np.moveaxis(self.solid.upward_w_k, 1, 0))
        self.upward = upward

    def step(self, temperature: Floats) -> tuple[Floats, Floats]:
        """How far each cell would warm if nothing boiled, and the heat that crossed in, (members,)."""
        solid = self.solid
        net, crossed = _net_heat(solid, temperature)
        net *= self.seconds
        first = _solved(self.outward, net)
        scale = self.weight * self.seconds
        crossed = crossed * self.seconds - scale * (
            np.sum(solid.outward_w_k[0] * first[0] + solid.outward_w_k[-1] * first[-1], axis=0)
        )
        first *= solid.capacity_j_k
        second = _solved(self.upward, np.moveaxis(first, 1, 0))
        crossed -= scale * np.sum(
            solid.upward_w_k[:, 0] * second[0] + solid.upward_w_k[:, -1] * second[-1], axis=0
        )
        return np.moveaxis(second, 0, 1), crossed


def _eliminated(capacity: Floats, faces: Floats) -> _Factors:
    count = capacity.shape[0]
    inverse, second = np.empty(capacity.shape), np.empty(capacity.shape)
    for place in range(count):
        middle = capacity[place] + faces[place] + faces[place + 1]
        if place:
            middle = middle - faces[place] * second[place - 1]
        inverse[place] = 1 / middle
        second[place] = faces[place + 1] * inverse[place]
    return _Factors(np.ascontiguousarray(faces[:-1]), inverse, second)


def _solved(factors: _Factors, right: Floats) -> Floats:
    """Thomas's two sweeps along the first axis, in place."""
    carried = np.empty(right.shape[1:])
    right[0] *= factors.inverse[0]
    for place in range(1, right.shape[0]):
        np.multiply(factors.first[place], right[place - 1], out=carried)
        right[place] += carried
        right[place] *= factors.inverse[place]
    for place in range(right.shape[0] - 2, -1, -1):
        np.multiply(factors.second[place], right[place + 1], out=carried)
        right[place] += carried
    return right


def _net_heat(solid: Solid, temperature: Floats) -> tuple[Floats, Floats]:
    """Net heat into each cell, W, and what comes in over the boundary or is made, W a member."""
    net = np.empty_like(temperature)
    crossed = np.zeros(temperature.shape[-1])
    across = temperature[:-1] - temperature[1:]
    across *= solid.outward_w_k[1:-1]
    net[0] = 0
    net[1:] = across
    net[:-1] -= across
    across = temperature[:, :-1] - temperature[:, 1:]
    across *= solid.upward_w_k[:, 1:-1]
    net[:, 1:] += across
    net[:, :-1] -= across
    for conductance, at in (
        (solid.outward_w_k[0], (0,)), (solid.outward_w_k[-1], (-1,)),
        (solid.upward_w_k[:, 0], (slice(None), 0)), (solid.upward_w_k[:, -1], (slice(None), -1)),
    ):  # fmt: skip
        entering = conductance * (solid.outside_c - temperature[at])
        net[at] += entering
        crossed += entering.sum(axis=0)
    if solid.heat_w is not None:
        net += solid.heat_w
        crossed += solid.heat_w.sum(axis=(0, 1))
    return net, crossed


def _boiled(solid: Solid, temperature: Floats, dried_j: Floats, warmed: Floats) -> tuple[Floats, Floats]:
    """Temperature and heat spent on drying after a step, from the heat the step brought."""
    assert solid.latent_j is not None
    low, high = solid.boils_c
    capacity, latent = solid.capacity_j_k, solid.latent_j
    unboiled = temperature + warmed
    # Above the ramp's start a cell takes heat for warming and drying together.
    excess = capacity * (unboiled - low) + dried_j
    in_ramp = low + excess / (capacity + latent / (high - low))
    spent = np.clip(latent * np.clip((in_ramp - low) / (high - low), 0, 1), dried_j, latent)
    return unboiled - (spent - dried_j) / capacity, spent


def run(
    solid: Solid,
    start_c: ArrayLike,
    steps_s: ArrayLike,
    watch: Sequence[Floats],
    *,
    weight: float = 0.5,
) -> Course:
    """The course of a solid from a start, by steps of time; `watch` are weights over cells (outward, upward,
    members), each summing to 1.

    Steps above 0 s (OutOfRange), one for all members or (steps, members); the same step following itself
    costs least. weight 0.5 to 1. Where members step apart, the course's times are those of the first.

    >>> import numpy as np
    >>> cell = np.ones((1, 1, 1))
    >>> body = Solid(cell, np.zeros((2, 1, 1)), np.stack([0 * cell[0], cell[0]], axis=1), np.array([20.0]))
    >>> course = run(body, 120, np.full(50, 0.02), [cell])  # 1 J/K losing 1 W/K for 1 s
    >>> print(course.watched_c[0, -1].round(1), (course.gained_j / course.crossed_j).round(9))
    [56.8] [1.]
    """
    steps = np.atleast_1d(floats(steps_s))
    if steps.size and steps.min() <= 0:
        raise OutOfRange("steps_s", float(steps.min()), 0, float("inf"), "a step of time forward")
    temperature = np.array(np.broadcast_to(floats(start_c), solid.shape))
    spent = np.zeros(solid.shape)
    begun = _content(solid, temperature, spent)
    eyes = [_Eye(np.broadcast_to(one, solid.shape)) for one in watch]
    seen = np.empty((len(eyes), len(steps) + 1, solid.shape[-1]))
    for row, eye in enumerate(eyes):
        seen[row, 0] = eye.sees(temperature)
    crossed = np.zeros(solid.shape[-1])
    stepper: _Stepper | None = None
    for place, seconds in enumerate(steps):
        share = 1.0 if place < _DAMPED_STEPS else weight
        if stepper is None or stepper.weight != share or np.any(stepper.seconds != seconds):
            stepper = _Stepper(solid, floats(seconds), share)
        warmed, entered = stepper.step(temperature)
        if solid.latent_j is None:
            temperature += warmed
        else:
            temperature, spent = _boiled(solid, temperature, spent, warmed)
        for row, eye in enumerate(eyes):
            seen[row, place + 1] = eye.sees(temperature)
        crossed += entered
    time = np.concatenate([[0.0], np.cumsum(steps.reshape(len(steps), -1)[:, 0])])
    return Course(time, seen, _content(solid, temperature, spent) - begun, crossed, temperature)


class _Eye:
    """Weights over cells, kept only where they are not nought."""

    def __init__(self, weights: Floats) -> None:
        flat = weights.reshape(-1, weights.shape[-1])
        self.cells = np.flatnonzero(flat.any(axis=1))
        self.weights = flat[self.cells]

    def sees(self, temperature: Floats) -> Floats:
        flat = temperature.reshape(-1, temperature.shape[-1])
        return floats(np.einsum("cm,cm->m", self.weights, flat[self.cells]))


def _content(solid: Solid, temperature: Floats, spent: Floats) -> Floats:
    content = np.einsum("rzm,rzm->m", solid.capacity_j_k, temperature)
    if solid.latent_j is not None:
        content = content + spent.sum(axis=(0, 1))
    return floats(content)


def lengthening_steps_s(
    total_s: float, first_s: float = 20.0, each: int = 4, longest_s: float = 7200.0
) -> Floats:
    """Steps that double after every few, up to the longest, and add up to the total: short while it
    changes fast.

    >>> print(lengthening_steps_s(100, 10, 2, 40))
    [10. 10. 20. 20. 40.]
    """
    steps: list[float] = []
    length, gone = first_s, 0.0
    while gone + length < total_s:
        for _ in range(each):
            if gone + length > total_s:
                break
            steps.append(length)
            gone += length
        length = min(length * 2, longest_s)
        if gone + length > total_s:
            break
    if total_s - gone > 1e-9 * total_s:
        steps.append(total_s - gone)
    return floats(steps)
