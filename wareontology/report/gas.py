"""What a gas makes of iron, manganese, copper and lead, as plain data; a phase is computed, its colour
judged."""

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any, Final

import numpy as np

from wareontology.paths import data
from wareontology.redox import buffers, colours, constants, fire_gas, phases
from wareontology.redox.arrays import within
from wareontology.redox.colours import PhaseColours
from wareontology.redox.constants import Constants
from wareontology.redox.named_gas import Named, Tables

CAUTIONS: Final = (
    "Carbon monoxide has no smell and kills: fire in the open, stay upwind, keep your head out of the smoke"
    " and never lean over a smothered fire.",
    "Lead, copper and manganese compounds and their fume harm. Local codes and licensed practice decide.",
)


def tables() -> Tables:
    """The tables that are shipped.

    >>> tables().gas.fuels
    ('wood', 'charcoal')
    """
    return Tables(
        constants.load(data("constants.csv")),
        fire_gas.load(data("gas.csv")),
        colours.load(data("phase_colours.csv")),
    )


def answer(tables: Tables, named: Named) -> dict[str, Any]:
    """The oxygen a gas holds and the phase and colour of each element in it, with sources and what to know.

    Keys temperature_c (degC), log10_oxygen_bar (value, low, high), phases, sources, notes. OutOfRange for
    what no data cover, BreaksShape for a gas named in no way or in two.

    >>> found = answer(tables(), Named(800, co_co2=1e-4))
    >>> found["phases"]["iron"]["name"], found["phases"]["manganese"]["neighbours"]
    ('magnetite', ['hausmannite'])
    """
    low_c, high_c, why = phases.range_c(tables.constants)
    within("temperature_c", named.temperature_c, low_c, high_c, why)
    gas = named.state(tables)
    found = {
        element: phases.field(
            tables.constants, element, named.temperature_c, gas.log10_oxygen_bar, gas.low, gas.high
        )
        for element in phases.ELEMENTS
    }
    notes = [f"The gas: {named.words()}.", *gas.notes]
    for field in found.values():
        notes += phases.notes(tables.constants, field, named.temperature_c)
    notes += ["A phase is computed; the word for its colour is judged.", *CAUTIONS]
    return {
        "temperature_c": named.temperature_c,
        "log10_oxygen_bar": {
            "value": _rounded(gas.log10_oxygen_bar), "low": _rounded(gas.low), "high": _rounded(gas.high),
        },
        "phases": {element: _phase(tables.colours, field) for element, field in found.items()},
        "sources": [
            {"of": "gas", "data_set": "gas.csv" if named.fuel_air else "constants.csv", "source": gas.source},
            *_sources(tables.constants),
            {
                "of": "colour words", "data_set": "phase_colours.csv",
                "source": "judgement; each word's row names what was read, if anything",
            },
        ],
        "notes": list(dict.fromkeys(notes)),
    }  # fmt: skip


def _phase(table: PhaseColours, field: phases.Field) -> dict[str, Any]:
    name = field.name()
    return {
        "name": name,
        "certain": bool(field.certain),
        "neighbours": list(field.neighbours()),
        "colours": {amount: _words(table, name, amount) for amount in colours.AMOUNTS},
        "neighbour_colours": {
            other: {amount: _words(table, other, amount) for amount in colours.AMOUNTS}
            for other in field.neighbours()
        },
        "data_sets": list(field.data_sets),
    }


def _words(table: PhaseColours, phase: str, amount: str) -> list[dict[str, Any]]:
    return [
        {
            "word": one.word, "share": one.share, "low": one.low, "high": one.high,
            "basis": one.basis, "source": one.source,
        }
        for one in table[phase, amount]
    ]  # fmt: skip


def _sources(table: Constants) -> Iterator[dict[str, str]]:
    """Each line's data sets with their sources; of a reaction those of its substances."""
    pairs = {f"{upper}-{lower}" for names in phases.PHASES.values() for upper, lower in pairwise(names)}
    for pair in buffers.PAIRS:
        if pair not in pairs | {"magnetite-iron"}:
            continue
        for data_set in buffers.data_sets(table, pair):
            part = table.segments(pair, data_set)[0]
            sources = [part.source] if "A" in part.values else _substances(table, part.values)
            for source in sources:
                yield {"of": pair, "data_set": data_set, "source": source}


def _substances(table: Constants, moles: Mapping[str, float]) -> list[str]:
    names = (symbol.removeprefix("moles ") for symbol in moles)
    return list(dict.fromkeys(table.segments(name)[0].source for name in names))


def _rounded(value: Any) -> float:
    return round(float(np.asarray(value)), 3)
