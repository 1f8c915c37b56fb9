"""shapes/answer.schema.json: a schema, with the values of the hypotheses, and answers keep to it."""

import copy
import json
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any, Final

import pytest
from jsonschema import Draft202012Validator

from wareontology import paths
from wareontology.sherd.columns import column
from wareontology.sherd.table import read
from wareontology.technique import hypotheses as h
from wareontology.technique.answer import SCHEMA, answer

ROOT: Final = Path(__file__).resolve().parent.parent
TABLES: Final = (ROOT / "data" / "demo" / "sherds.csv", *sorted((ROOT / "tests/cases/shown").glob("*.csv")))


@cache
def schema() -> dict[str, Any]:
    found: dict[str, Any] = json.loads(paths.shapes("answer.schema.json").read_text(encoding="utf-8"))
    return found


@cache
def one_answer() -> dict[str, Any]:
    """K-14, as it would be read from JSON."""
    (sherd,) = read(ROOT / "data" / "demo" / "one_sherd.csv").sherds
    found: dict[str, Any] = json.loads(json.dumps(answer(sherd, draws=10)))
    return found


def faults(found: object) -> list[str]:
    return [error.message for error in Draft202012Validator(schema()).iter_errors(found)]


def test_it_is_a_schema_and_says_which() -> None:
    Draft202012Validator.check_schema(schema())
    assert schema()["$id"] == schema()["properties"]["schema"]["const"] == SCHEMA


@pytest.mark.parametrize(
    ("name", "values"),
    [
        ("body_odds", h.BODY), ("slip_odds", h.SLIP), ("paint_odds", h.PAINT),
        ("family_odds", tuple(dict.fromkeys(map(h.family_of, h.PAINT)))),
        ("atmosphere", h.ATMOSPHERE), ("ending", h.ENDING), ("temperature", h.TEMPERATURE),
        ("structure", h.STRUCTURE), ("space", h.SPACE), ("air_odds", h.AIR),
    ],
)  # fmt: skip
def test_its_values_are_the_hypotheses(name: str, values: tuple[str, ...]) -> None:
    definition = schema()["$defs"][name]
    assert set(definition["properties"]) == set(definition["required"]) == set(values)


def test_its_zones_are_those_of_the_table() -> None:
    row = schema()["$defs"]["flip"]["properties"]["row"]
    assert set(row["properties"]["zone"]["enum"]) == set(column("zone").choices)
    assert set(schema()["$defs"]["air"]["properties"]) == set(h.SURFACES)


@pytest.mark.parametrize("table", TABLES, ids=lambda path: path.stem)
def test_every_answer_keeps_to_it(table: Path) -> None:
    reading = read(table)
    assert reading.sherds
    for sherd in reading.sherds:
        found = json.loads(json.dumps(answer(sherd, draws=0)))
        assert faults(found) == [], sherd.sherd
        for odds in all_odds(found):
            assert sum(odds.values()) == pytest.approx(1.0, abs=1e-4)  # six places are kept of each


def all_odds(found: Mapping[str, Any]) -> Iterator[Mapping[str, float]]:
    """Every set of odds of an answer; each question's sum to 1 (the contract)."""
    for belief in (found, found["flat"]):
        for question in ("atmosphere", "ending", "temperature", "structure", "space"):
            yield belief[question]
        for group in ("materials", "families", "carbon", "applied", "air"):
            yield from belief[group].values()


def test_with_draws_it_keeps_to_it_too() -> None:
    assert one_answer()["robust"] is not None
    assert faults(one_answer()) == []


def objects(found: object, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Path of every object within an answer."""
    if isinstance(found, dict):
        yield path
        for key, value in found.items():
            yield from objects(value, (*path, key))
    elif isinstance(found, list):
        for place, value in enumerate(found):
            yield from objects(value, (*path, place))


def at(found: Any, path: tuple[str | int, ...]) -> Any:
    for step in path:
        found = found[step]
    return found


OPEN_KEYS: Final = {"robust", "flips", "then", "by_region"}
"""Objects whose keys are questions of the sherd or regions; which of them are there differs."""


def test_nothing_may_be_added_anywhere() -> None:
    for path in objects(one_answer()):
        changed = copy.deepcopy(one_answer())
        at(changed, path)["made up"] = 0.5
        assert faults(changed), path


def test_nothing_fixed_may_be_left_out() -> None:
    for path in objects(one_answer()):
        if path and path[-1] in OPEN_KEYS:
            continue
        for key in at(one_answer(), path):
            if str(key).partition(":")[0] in ("slip", "paint") or "air" in path[-1:]:
                continue  # layers and zones differ from sherd to sherd
            changed = copy.deepcopy(one_answer())
            del at(changed, path)[key]
            assert faults(changed), (path, key)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("atmosphere", "neutral"), 1.5), (("atmosphere", "neutral"), -0.1), (("atmosphere", "neutral"), ""),
        (("verdict", "ending", "state"), "sure"), (("verdict", "temperature", "interval"), ["550-700"]),
        (("findings", 0, "kind"), "proves"), (("findings", 0, "because"), []),
        (("findings", 0, "unless", 0, "state"), "present"), (("findings", 0, "basis"), "hearsay"),
        (("data_hash",), "abc"), (("sherd",), ""), (("observer",), 3), (("schema",), "answer 1"),
        (("conflict", "bits"), -1), (("priors", "white_firing_clay"), "some"), (("robust",), {"colour": 1.0}),
        (("flips", 0, "row", "zone"), "neck"), (("sources", 0, "basis"), "memory"),
    ],
)  # fmt: skip
def test_what_is_not_allowed_is_refused(path: tuple[str | int, ...], value: object) -> None:
    changed = copy.deepcopy(one_answer())
    at(changed, path[:-1])[path[-1]] = value
    assert faults(changed)


def test_every_part_is_described() -> None:
    named = [*schema()["properties"].values(), *schema()["$defs"].values()]
    resolved = [schema()["$defs"][one["$ref"].rpartition("/")[2]] if "$ref" in one else one for one in named]
    assert all(one.get("description") for one in resolved)
