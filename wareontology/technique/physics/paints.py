"""Paints taken through the legs of their histories: how much of each phase each member ends with."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wareontology.redox import reoxidation
from wareontology.redox.arrays import Floats
from wareontology.technique.physics.laws import Laws, Passed

Phases = Mapping[tuple[str, str], Floats]
"""(phase, amount) to the weight each member gives it, shape (members,); the weights of a member sum to 1."""


@dataclass(frozen=True)
class History:
    """One condition's ensemble: the fire, then its end at the surface."""

    fire: Sequence[Passed]
    end: Sequence[Passed]
    laws: Laws

    @property
    def legs(self) -> tuple[Passed, ...]:
        return (*self.fire, *self.end)

    def paint(self, symbol: str) -> Floats:
        """A drawn number of the paint, shape (members,)."""
        return self.laws.draws.of_fire("fire-paint", symbol)


def opaque(history: History) -> NDArray[np.bool_]:
    """True where the paint hides its ground: thickness x density x share of colouring oxide."""
    mass = history.paint("film") * history.paint("film_density") * history.paint("pigment")
    return np.asarray(mass >= history.laws.of("fire-paint", "hiding"))


def iron(history: History) -> Phases:
    """A matt iron paint: its own grain, or more where it sinters in part in a hot reducing fire."""
    grain = history.laws.draws.of_fire("magnetite-reoxidation", "R")
    state = _start(history)
    for leg in history.fire:
        state = _iron_leg(leg, state, grain)
    grain = np.where(_seals(history, state), grain * history.paint("growth"), grain)
    for leg in history.end:
        state = _iron_leg(leg, state, grain)
    return _iron_phases(history, state)


def iron_organic(history: History) -> Phases:
    """Iron with plant juice: the juice's carbon reduces what it lies on, and keeps air from it while it
    lasts."""
    grain = history.laws.draws.of_fire("magnetite-reoxidation", "R")
    depth, shield = history.paint("film"), history.laws.of("fire-paint", "char_shield")
    state, left = _start(history), np.ones(history.laws.draws.size)
    for place, leg in enumerate(history.legs):
        if place == len(history.fire):
            grain = np.where(_seals(history, state), grain * history.paint("growth"), grain)
        share = left[:, None] * np.exp(-leg.burnt(depth))
        state = _iron_leg(leg, state, grain, shielded=share > shield[:, None])
        left = share[:, -1]
    black = left > history.laws.of("fire-paint", "carbon_black")
    return _over(_iron_phases(history, state), black.astype(float), "opaque")


def gloss(history: History) -> Phases:
    """Sintered gloss, which is what the word means here: reduction has sealed it, and air must come through
    the seal. A gloss slip fired too cool to sinter would be called an iron paint."""
    paint, laws = history.paint, history.laws
    state, grain = _start(history), paint("R_fine")
    for leg in history.fire:
        state = _iron_leg(leg, state, grain)
    length = np.where(
        _reduced(history, state), laws.draws.of_fire("magnetite-reoxidation", "R_sealed"), grain
    )
    for leg in history.end:
        state = _iron_leg(leg, state, length)
    return _iron_phases(history, state)


def organic(history: History) -> Phases:
    """Carbon of plant juice, soaked in; where it burns out a stain is left at most."""
    laws, depth = history.laws, history.paint("soaked")
    left = np.exp(-sum(leg.burnt(depth)[:, -1] for leg in history.legs))
    black, stain = (laws.of("fire-paint", symbol) for symbol in ("carbon_black", "carbon_stain"))
    return {
        ("carbon", "opaque"): (left > black).astype(float),
        ("carbon", "thin"): ((left <= black) & (left > stain)).astype(float),
        ("stain", "thin"): (left <= stain).astype(float),
    }


def manganese(history: History) -> Phases:
    """Pure manganese oxide: bixbyite, hausmannite, manganosite. With iron it is another thing."""
    laws = history.laws
    grain = laws.draws.of_fire("magnetite-reoxidation", "R")
    overshoot = _overshoot_k(laws, laws.draws.of_fire("fire-course", "soak"))
    shares = np.zeros((3, laws.draws.size))
    shares[0] = 1.0
    for leg in history.legs:
        shares = _manganese_leg(leg, shares, grain, overshoot)
    turned = laws.of("fire-manganese", "turned")
    shares[1] += turned * shares[2]
    shares[2] *= 1 - turned
    names = ("bixbyite", "hausmannite", "manganosite")
    most = shares.argmax(axis=0)
    phases = {name: (most == place).astype(float) for place, name in enumerate(names)}
    return _by_amount(history, phases)


PAINTS: Final[Mapping[str, Callable[[History], Phases]]] = {
    "iron": iron,
    "iron-organic": iron_organic,
    "manganese": manganese,
    "organic": organic,
    "gloss": gloss,
}
"""Paints the laws can follow. Iron with manganese makes a spinel that none of the data sets here holds."""


def with_soot(history: History, phases: Phases) -> Phases:
    """A smoked surface: soot over the paint, as far as the last air left it."""
    laws, depth = history.laws, history.paint("soaked")
    left = np.zeros(laws.draws.size)
    for leg in history.end:
        left = left * np.exp(-leg.burnt(depth)[:, -1])
        left = np.where(leg.leg.smoke, 1.0, left)
    black, stain = (laws.of("fire-paint", symbol) for symbol in ("carbon_black", "carbon_stain"))
    cover = laws.of("fire-paint", "soot_cover")
    share = cover * (left > stain)
    sooty = _over(phases, share * (left > black), "opaque")
    bare = 1 - share * (left > black)
    thin = share * (left <= black)
    return _over(sooty, np.where(bare > 0, thin, 0.0), "thin")


# --- black chips refired in air ---


def refired_iron(history: History, _minutes: float) -> Phases:
    """Magnetite of the paint's own grain in air."""
    grain = black_grain(history.laws)
    nothing = np.zeros(history.laws.draws.size)
    return _iron_phases(history, _iron_leg(history.fire[0], (nothing, nothing), grain))


def refired_iron_organic(history: History, _minutes: float) -> Phases:
    """The same, with carbon that must burn first."""
    laws, leg = history.laws, history.fire[0]
    nothing = np.zeros(laws.draws.size)
    share = np.exp(-leg.burnt(history.paint("film")))
    shielded = share > laws.of("fire-paint", "char_shield")[:, None]
    grain = black_grain(laws)
    state = _iron_leg(leg, (nothing, nothing), grain, shielded)
    black = share[:, -1] > laws.of("fire-paint", "carbon_black")
    return _over(_iron_phases(history, state), black.astype(float), "opaque")


def refired_organic(history: History, _minutes: float) -> Phases:
    """Carbon in air."""
    return organic(history)


def refired_manganese(history: History, minutes: float) -> Phases:
    """Bixbyite in air."""
    soak = np.full(history.laws.draws.size, minutes)
    brown = history.fire[0].gives_off_oxygen(_overshoot_k(history.laws, soak)).astype(float)
    return _by_amount(history, {"bixbyite": 1 - brown, "hausmannite": brown})


# --- iron ---

_State = tuple[Floats, Floats]
"""Share of the iron that is oxidised, and share that is red hematite."""


def _seals(history: History, state: "_State") -> NDArray[np.bool_]:
    """Reduced enough, and hot enough while reduced, for iron to flux the clay beside it."""
    hot = history.fire[-1].hottest_c >= history.laws.of("fire-paint", "seal_c")
    return np.asarray(hot & _reduced(history, state))


def _reduced(history: History, state: "_State") -> NDArray[np.bool_]:
    return np.asarray(1 - state[0] >= history.laws.of("fire-paint", "seal_reduced"))


def black_grain(laws: Laws) -> Floats:
    """Grain of a black iron paint as it comes to be refired: some have sintered in part."""
    grain = laws.draws.of_fire("magnetite-reoxidation", "R")
    share = laws.constants.value("fire-paint", "sintered_share")
    grown = laws.draws.even("sintered before refiring") < share
    return np.where(grown, grain * laws.draws.of_fire("fire-paint", "growth"), grain)


def _start(history: History) -> _State:
    ones = np.ones(history.laws.draws.size)
    return ones, ones


def _iron_leg(
    leg: Passed, state: _State, grain_m: Floats, shielded: NDArray[np.bool_] | None = None
) -> _State:
    """Reduction by the gas or under carbon, then Jander's law in what oxygen there is, then brown to red."""
    oxidised, red = state
    reduced, diffused = leg.reduced, leg.diffused
    if shielded is not None:
        under = np.maximum(shielded.sum(axis=1) - 1, 0)
        members = np.arange(len(under))
        reduced = np.maximum(reduced, leg.could_reduce[members, under])
        diffused = np.maximum(diffused - diffused[members, under][:, None], 0.0)
    fade = np.exp(-reduced)
    term = reoxidation.term_of_share(np.clip(oxidised * fade, 0, 1))
    course = reoxidation.share_of_term(term[:, None] + diffused / grain_m[:, None] ** 2)
    rate = leg.laws.of("maghemite-to-hematite", "k_reference")
    reds = reoxidation.red_share(
        leg.laws.constants, leg.leg.time_s, leg.leg.temperature_c, course, rate, red * fade
    )
    return course[:, -1], np.minimum(reds[:, -1], course[:, -1])


def _iron_phases(history: History, state: _State) -> Phases:
    """What is read at a share oxidised: black below one limit, red or brown above another, mixed between.

    Beyond magnetite lie wuestite and iron, black or grey too; they are counted with it.
    """
    oxidised, red = state
    laws = history.laws
    below, above = (laws.of("oxidised-colour", symbol) for symbol in ("black_below", "red_above"))
    black, turned = oxidised < below, oxidised > above
    is_red = turned & (red > oxidised / 2)
    phases = {
        "magnetite": black,
        "part-oxidised": ~black & ~turned,
        "hematite": is_red,
        "maghemite": turned & ~is_red,
    }
    return _by_amount(history, {name: where.astype(float) for name, where in phases.items()})


def _by_amount(history: History, phases: Mapping[str, Floats]) -> Phases:
    hides = opaque(history)
    return {
        (name, amount): weight * (hides if amount == "opaque" else ~hides)
        for name, weight in phases.items()
        for amount in ("opaque", "thin")
    }


def _over(phases: Phases, share: Floats, amount: str) -> Phases:
    """The same with carbon over a share of it."""
    covered = {key: weight * (1 - share) for key, weight in phases.items()}
    key = ("carbon", amount)
    covered[key] = covered.get(key, np.zeros_like(share)) + share
    return covered


# --- manganese ---


def _overshoot_k(laws: Laws, soak_min: Floats) -> Floats:
    """How far over the line bixbyite must come to give off its oxygen: all of a heating record's overshoot in
    a short soak, none in a long one, straight in the logarithm between (judged)."""
    constants = laws.constants
    short, long = (
        constants.value("fire-manganese", symbol) for symbol in ("overshoot_soak", "no_overshoot_soak")
    )
    part = np.clip(np.log(soak_min / short) / np.log(long / short), 0, 1)
    return np.asarray(laws.of("manganese-heating-record", "overshoot") * (1 - part))


def _manganese_leg(leg: Passed, shares: Floats, grain_m: Floats, overshoot_k: Floats) -> Floats:
    """Heat drives oxygen off; monoxide takes it, one step after the other; air gives it back, to manganosite
    as to magnetite (a stand-in), to hausmannite sluggishly."""
    black, brown, green = shares
    driven = leg.gives_off_oxygen(overshoot_k) & (leg.monoxide_factor < 1e-3)
    black, brown = np.where(driven, 0.0, black), np.where(driven, black + brown, brown)
    taken = leg.could_reduce[:, -1] * leg.monoxide_factor
    on_to_green = np.where(leg.gas_is_past_hausmannite, taken, 0.0)
    chained = np.where(leg.gas_is_past_hausmannite, black * taken * np.exp(-taken), black * -np.expm1(-taken))
    kept = brown * np.exp(-on_to_green) + chained
    black = black * np.exp(-taken)
    green = np.clip(1 - black - kept, 0, 1)
    aired = reoxidation.share_of_term(leg.diffused[:, -1] / grain_m**2)
    back = -np.expm1(-leg.taken_back())
    brown = kept + green * aired
    return np.stack([black + brown * back, brown * (1 - back), green * (1 - aired)])
