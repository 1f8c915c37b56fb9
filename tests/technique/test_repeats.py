"""An answer made out to another sherd, and items read as if seen otherwise, equal those worked out anew."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Final

import numpy as np

from wareontology.sherd.record import Row, Sherd
from wareontology.sherd.table import read
from wareontology.technique.answer import answer, answers
from wareontology.technique.case import Case
from wareontology.technique.likelihoods import evidence
from wareontology.technique.likelihoods.reading import Context
from wareontology.technique.repeats import Repeats
from wareontology.technique.what_if import COLUMNS_OF, seen_as

DEMO: Final = Path(__file__).resolve().parents[2] / "data" / "demo" / "sherds.csv"


def _again(sherd: Sherd) -> Sherd:
    rows = tuple(replace(row, number=row.number + 12) for row in sherd.rows)
    return replace(sherd, sherd=f"{sherd.sherd} again", observer="another", rows=rows)


def test_a_repeated_sherd_has_the_answer_it_would_have_alone() -> None:
    first = read(DEMO).sherds[:8]
    later = [_again(sherd) for sherd in first]
    found = list(answers([*first, *later], draws=0, explain="atmosphere"))
    for sherd, own in zip(later, found[len(first) :], strict=True):
        assert json.dumps(own) == json.dumps(answer(sherd, draws=0, explain="atmosphere"))


def test_one_cell_otherwise_is_another_sherd() -> None:
    sherd = read(DEMO).sherds[0]
    repeats = Repeats()
    repeats.keep(sherd, answer(sherd, draws=0))
    assert repeats.find(_again(sherd)) is not None
    row = sherd.rows[0]
    fewer = Row(row.zone, row.layer, row.name, dict(list(row.seen.items())[1:]), row.number)
    assert repeats.find(replace(sherd, rows=(fewer, *sherd.rows[1:]))) is None
    assert repeats.find(replace(sherd, seen={})) is None


def test_items_kept_are_those_read_anew() -> None:
    """Second route: the readers themselves, for every trait of every unit of the demo, asked twice."""
    for sherd in (*read(DEMO).sherds, *read(DEMO).sherds):
        case = Case.of(sherd)
        for unit in case.units.all():
            kept = seen_as(case, unit, sherd.rows)
            context = Context(sherd, case.units, case.model)
            read_anew = tuple(evidence.unit_items(context, unit))
            assert [item.key for item in kept] == [item.key for item in read_anew]
            for one, other in zip(kept, read_anew, strict=True):
                for slot, factor in other.factors.items():
                    assert np.array_equal(one.factors[slot], factor)


def test_every_trait_of_a_unit_has_its_columns() -> None:
    for sherd in read(DEMO).sherds:
        case = Case.of(sherd)
        context = Context(sherd, case.units, case.model)
        for unit in case.units.all():
            assert {item.trait for item in evidence.unit_items(context, unit)} <= set(COLUMNS_OF)
