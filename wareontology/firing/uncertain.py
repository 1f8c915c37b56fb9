"""What is not known of a planned firing, by name, and its draws.

Every input has its unit in its name, a range with a source or a basis, and says whether it belongs to the
laws (the same in every firing) or to the firing. A user's own numbers replace a range by name.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np

from wareontology.errors import BreaksShape, Fault
from wareontology.firing.draws import Draws, joined, triangular
from wareontology.firing.plan import Plan
from wareontology.firing.structures import Quantity, things
from wareontology.paths import data
from wareontology.redox import constants as constants_module
from wareontology.redox.arrays import Floats
from wareontology.redox.constants import Constant, Constants

TABLES: Final = ("constants.csv", "fire_histories.csv", "firing.csv")
FIRES_A_SET: Final = 20
Own = Mapping[str, tuple[float, float, float]]
"""A user's own ranges: input to its low, likeliest and high."""


@dataclass(frozen=True, slots=True)
class Input:
    """One thing not known. `weak`: among those that rest on least and decide most."""

    name: str
    words: str
    is_law: bool
    range: Constant
    weak: bool = False


_LAWS: Final = (
    ("grain_m", "grain radius of the paint", "magnetite-reoxidation", "R", True),
    ("sealing_growth", "how far the paint has sealed itself", "fire-paint", "growth", True),
    ("diffusivity_at_200_m2_s", "how fast magnetite oxidises", "magnetite-reoxidation", "D_reference", True),
    ("oxidation_kj_mol", "how that rises with heat", "magnetite-reoxidation", "E", False),
    ("reduction_at_600_per_s", "how fast red paint goes black"
        " again", "hematite-reduction", "k_reference", True),
    ("reduction_kj_mol", "how that rises with heat (reduction)", "hematite-reduction", "E", False),
    ("char_kj_mol", "how well cooling charcoal eats oxygen", "carbon-burnout", "E", True),
    ("hematite_at_520_per_s", "how fast brown goes on to red", "maghemite-to-hematite", "k_reference", False),
    ("black_below", "share oxidised still called black", "oxidised-colour", "black_below", True),
    ("red_above", "share oxidised called red", "oxidised-colour", "red_above", False),
    ("under_fired_c", "heat below which a pot is soft", "top-heat", "under_fired_c", False),
    ("soot_clear_c", "heat that burns early soot off", "top-heat", "soot_clear_c", False),
    ("soot_yield", "smoke that settles as carbon", "smoke", "soot_yield", True),
    ("smoked_kg_m2", "carbon that greys a white slip", "smoke", "smoked_kg_m2", False),
)  # fmt: skip
_FIRE: Final = (
    ("load_fill_j_m3_k", "heat what lies among the pots holds", "load", "load_fill_j_m3_k"),
    ("within_pot_k", "spread of heat over one pot", "top-heat", "within_pot_k"),
    ("load_w_m_k", "how the load passes heat on", "load", "load_w_m_k"),
    ("ground_w_m_k", "how the ground passes heat on", "ground", "ground_w_m_k"),
    ("ground_j_m3_k", "heat the ground holds", "ground", "ground_j_m3_k"),
    ("surface_w_m2_k", "loss from the surface", "surface", "surface_w_m2_k"),
    ("wind_w_m2_k", "loss to the wind", "surface", "wind_w_m2_k"),
    ("wind_share", "wind in the gaps", "surface", "wind_share"),
    ("cover_as_laid", "depth of the cover as it was laid", "cover-laid", "as_laid"),
    ("delay_ratio", "how long the covering took", "cover-laid", "delay"),
    ("heap_share", "how the top of the heap cools before it is covered", "cover-laid", "heap_share"),
    ("middle_share", "how its middle does", "cover-laid", "middle_share"),
    ("embers_alive", "coals alive when it was shut", "coals", "embers_alive"),
    ("open_coals_m_s", "air over open coals", "coals", "open_coals_m_s"),
    ("carbon_per_oxygen", "charcoal an oxygen takes", "coals", "carbon_per_oxygen"),
    ("bed_kg_m3", "how dense the charcoal lies", "carbon-burnout", "bed_density"),
    ("ember_volatile", "smoke left in the coals", "smoke", "ember_volatile"),
    ("charcoal_volatile", "smoke left in the charcoal put in", "smoke", "charcoal_volatile"),
    ("cover_smokes", "cover that smokes", "smoke", "cover_smokes"),
    ("heat_share", "share of the fuel's heat that stays", "fuel", "heat_share"),
    ("ash_bed_h", "time constant of a burnt-out fire", "fire-course", "bed_tau"),
    ("kiln_h", "time constant of an open kiln", "fire-course", "kiln_tau"),
    ("ash_oxygen", "oxygen where a burnt-out fire cools", "fire-course", "ash_oxygen"),
)  # fmt: skip
_OF_THING: Final = (
    ("top_c", "structure", "top_c", "top heat, which the plan does not say"),
    ("spread_k", "structure", "spread_k", "spread of heat within the fire"),
    ("reducing_share", "structure", "reducing_share", "smoky gas at the end of the fire"),
    ("ember_share", "fuel", "ember_share", "coals the fuel leaves"),
    ("fuel_mj_kg", "fuel", "heat_mj_kg", "heat of the fuel"),
    ("cover_w_m_k", "cover", "conductivity_w_m_k", "how the cover passes heat on"),
    ("cover_j_m3_k", "cover", "heat_j_m3_k", "heat the cover holds"),
    ("cover_porosity", "cover", "porosity", "pores of the cover"),
    ("cover_air_filled", "cover", "air_filled_of_pores", "dampness of the cover"),
    ("cover_water_kg_m3", "cover", "water_kg_m3", "water in the cover"),
    ("cover_gaps", "cover", "gaps", "leaks in the cover"),
    ("cover_volatile_kg_m3", "cover", "volatile_kg_m3", "smoke of the cover"),
    ("rim_leak_m_s", "procedure", "rim_leak_m_s", "leak at the rim"),
)  # fmt: skip
NAMES: Final = frozenset({"top_error_k", *(one[0] for one in (*_LAWS, *_FIRE, *_OF_THING))})
"""Every input there is, of whatever plan."""
_WEAK_OF_FIRE: Final = ("cover_gaps", "rim_leak_m_s", "embers_alive")


@cache
def tables() -> Constants:
    """Every table of numbers a simulation is handed, as one."""
    return joined([constants_module.load(data(name)) for name in TABLES])


def inputs(plan: Plan, table: Constants) -> Iterator[Input]:
    """What is not known of this plan's firing.

    >>> from wareontology.firing.plan import example
    >>> names = [one.name for one in inputs(example("covered-pit"), tables())]
    >>> "cover_gaps" in names, "rim_leak_m_s" in names
    (True, False)
    """
    sealed = plan.paint == "iron-gloss"
    for name, words, data_set, symbol, weak in _LAWS:
        if name == "sealing_growth" and sealed:
            continue
        which = "R_sealed" if name == "grain_m" and sealed else symbol
        yield Input(name, words, True, table.one(data_set, which), weak)
    way = plan.word("fire", "top_by")
    yield Input("top_error_k", "top heat as it was told", False, table.one("top-heat", way))
    for name, words, data_set, symbol in _FIRE:
        yield Input(name, words, False, table.one(data_set, symbol), name in _WEAK_OF_FIRE)
    owners = {
        "structure": plan.structure, "procedure": plan.procedure, "fuel": plan.word("fuel", "kind"),
        "cover": plan.word("cover", "material"),
    }  # fmt: skip
    for name, kind, symbol, words in _OF_THING:
        quantity = things(kind)[owners[kind]].quantities.get(symbol)
        said = name == "top_c" and ("fire", "top_c") in plan.given
        if quantity is not None and not said:
            yield Input(name, words, False, _constant(quantity, owners[kind]), name in _WEAK_OF_FIRE)


def _constant(quantity: Quantity, owner: str) -> Constant:
    straight = quantity.low <= 0 or quantity.name.endswith(("_c", "_k", "share", "pores", "porosity"))
    return Constant(
        quantity.name, quantity.name, quantity.usually, quantity.low, quantity.high, "1" if straight else "-",
        None, None, owner, quantity.rests_on(), "seen" if quantity.source else "judgement",
    )  # fmt: skip


def draw(plan: Plan, table: Constants, draws: Draws, own: Own | None = None) -> dict[str, Floats]:
    """A draw of every input for every member, (members,), and `u_…` even numbers for what is plain luck.

    BreaksShape for an own range of an input that is none, or that does not rise.

    >>> from wareontology.firing.plan import example
    >>> drawn = draw(example("covered-pit"), tables(), Draws(tables(), 5, 20, 1))
    >>> drawn["grain_m"].shape, bool(drawn["u_order"].max() < 1)
    ((100,), True)
    """
    mine = dict(own or {})
    drawn = {}
    for one in inputs(plan, table):
        wanted = _replaced(one, mine.pop(one.name)) if one.name in mine else one.range
        even = draws.even_by_set(one.name) if one.is_law else draws.even(one.name)
        drawn[one.name] = triangular(even, wanted)
    if mine:
        known = ", ".join(one.name for one in inputs(plan, table))
        raise BreaksShape([Fault("own numbers", None, name, name, known) for name in mine])
    for name in ("order", "middle", "gas top", "gas mid", "gas bottom", "oxygen"):
        drawn[f"u_{name.replace(' ', '_')}"] = draws.even(name)
    drawn.setdefault("sealing_growth", np.ones(draws.size))
    drawn.setdefault("rim_leak_m_s", np.zeros(draws.size))
    drawn["sealing_length_m"] = np.minimum(drawn["grain_m"] * drawn["sealing_growth"], 1e-2)
    return drawn


def _replaced(one: Input, own: tuple[float, float, float]) -> Constant:
    low, likeliest, high = own
    if not low <= likeliest <= high or (low <= 0 < one.range.span()[0] and low < high):
        raise BreaksShape(
            [Fault("own numbers", None, one.name, str(own), "low, likeliest, high: rising, above nought")]
        )
    was = one.range
    return Constant(
        was.name, was.symbol, likeliest, low, high, was.unit, None, None, was.data_set, "your own", "computed"
    )
