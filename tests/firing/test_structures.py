"""data/structures.ttl against its shapes, and as it is read."""

import csv
from functools import cache

import pytest
from pyshacl import validate
from rdflib import Graph
from rdflib.namespace import SH

from wareontology.errors import BreaksShape
from wareontology.firing import structures
from wareontology.firing.uncertain import tables
from wareontology.graph.sources import source_records
from wareontology.graph.store import graph
from wareontology.paths import data, shapes

PREFIXES = "\n".join(
    line for line in data("structures.ttl").read_text("utf-8").splitlines() if line.startswith("@prefix")
)


@cache
def _shapes() -> Graph:
    return graph([shapes("structures.ttl")])


def broken(found: Graph) -> int:
    conforms, report, _ = validate(found, shacl_graph=_shapes())
    assert isinstance(report, Graph)
    count = len(list(report.objects(None, SH.sourceShape)))
    assert conforms == (count == 0)
    return count


def test_the_file_has_no_gap() -> None:
    assert broken(graph([data("structures.ttl")])) == 0


SOUND = {
    "quantityName": '"width_m"', "usually": "1.0", "low": "0.5", "high": "2.0", "basis": "basis:judgement",
}  # fmt: skip


@pytest.mark.parametrize(
    ("name", "seeded"),
    [
        ("quantityName", '"width"'),
        ("low", "1.5"),
        ("usually", "3.0"),
        ("low", "-0.5"),
        ("basis", ""),
        ("low", ""),
    ],
)
def test_a_seeded_gap_is_caught(name: str, seeded: str) -> None:
    said = {**SOUND, name: seeded}
    quantity = " ; ".join(f"wo:{key} {value}" for key, value in said.items() if value)
    found = Graph()
    turtle = (
        f"{PREFIXES}\nquantity:x a wo:FiringQuantity ; {quantity} .\nstructure:pit wo:quantity quantity:x ."
    )
    found.parse(data=turtle, format="turtle")
    assert broken(found) == 1


def test_the_sound_case_of_those_gaps_is_sound() -> None:
    quantity = " ; ".join(f"wo:{key} {value}" for key, value in SOUND.items())
    found = Graph()
    turtle = (
        f"{PREFIXES}\nquantity:x a wo:FiringQuantity ; {quantity} .\nstructure:pit wo:quantity quantity:x ."
    )
    found.parse(data=turtle, format="turtle")
    assert broken(found) == 0


def test_every_source_named_was_seen() -> None:
    for kind in structures.KINDS:
        for thing in structures.things(kind).values():
            for quantity in thing.quantities.values():
                if quantity.source is not None:
                    assert source_records()[quantity.source].may_be_cited(), quantity


def test_what_the_issue_lists_is_there() -> None:
    assert set(structures.things("structure")) == {
        "open-fire", "pit", "covered-pit", "trench-kiln", "updraft-kiln", "saggar",
    }  # fmt: skip
    assert {"smother", "mouth-down", "bury", "tunnel", "dig-out"} <= set(structures.things("procedure"))
    assert {"juniper", "pine", "hardwood", "brush", "bark", "dung", "charcoal", "coal", "sawdust"} == set(
        structures.things("fuel")
    )
    covers = set(structures.things("cover"))
    assert {"sherds", "earth-dry", "earth-damp", "sand", "ash", "dung", "bark", "metal-lid"} <= covers
    for kind in ("structure", "procedure"):
        for thing in structures.things(kind).values():
            assert thing.leaves, thing.name


def test_published_numbers_stand_as_they_were_read() -> None:
    # published, tests/published/firing_records.csv: 12 to 22 min, 390 degC; 2.0 x 1.2 x 0.2 m
    open_fire = structures.things("structure")["open-fire"]
    assert (open_fire.quantity("heat_min").low, open_fire.quantity("heat_min").high) == (12, 22)
    assert open_fire.quantity("spread_k").high == 390
    trench = structures.things("structure")["trench-kiln"]
    assert [trench.usual(f"load_{side}_m") for side in ("length", "width", "height")] == [2.0, 1.2, 0.2]


OTHER_NAMES = {
    "Bonfire": "open-fire", "trench": "trench-kiln", "covered pit": "covered-pit", "kiln": "updraft-kiln",
}  # fmt: skip


@pytest.mark.parametrize(("typed", "meant"), OTHER_NAMES.items())
def test_other_names_are_understood(typed: str, meant: str) -> None:
    assert structures.named("structure", typed).name == meant


def test_an_unknown_name_is_offered_the_nearest() -> None:
    with pytest.raises(BreaksShape, match="would do: sawdust"):
        structures.named("fuel", "sawdsut")


def published(name: str) -> list[dict[str, str]]:
    lines = (data().parent / "tests" / "published" / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def test_moist_ground_of_the_table_lies_in_the_range_of_the_ground() -> None:
    for name in ("Solids, clay or silt", "Solids, sand and gravel"):
        (row,) = (one for one in published("thermal_properties.csv") if one["material"] == name)
        conductivity, heat = float(row["k"]), float(row["rho"]) * float(row["c"])
        for value, symbol in ((conductivity, "ground_w_m_k"), (heat, "ground_j_m3_k")):
            low, high = tables().one("ground", symbol).span()
            assert low <= value <= high, name


def test_recorded_times_lie_in_what_is_usual() -> None:
    """Carleton group A: preheat 51 min, fire from 60 to 108 min; San Marcos: 50 min in all."""
    told = {row["record"]: row["timing"] for row in published("firing_records.csv")}
    assert "51 min" in told["Carleton ARCN222 group A"]
    assert "total 50 min" in told["San Marcos bonfire, Oaxaca"]
    pit, open_fire = (structures.things("structure")[name] for name in ("pit", "open-fire"))
    assert pit.quantity("preheat_min").low <= 51 <= pit.quantity("preheat_min").high
    assert pit.quantity("heat_min").low <= 108 - 60 <= pit.quantity("heat_min").high
    parts = [open_fire.quantity(name) for name in ("preheat_min", "heat_min", "soak_min")]
    assert sum(one.low for one in parts) <= 50 <= sum(one.high for one in parts)
