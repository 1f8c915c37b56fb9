"""A firing in the store: its log is never lost, never doubled, in the order of time."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wareontology.errors import BreaksShape, Unreadable
from wareontology.firing.plan import example_text
from wareontology.paths import data
from wareontology.records.store import Store
from wareontology.replica import firings_kept


@pytest.fixture
def store(tmp_path: Path) -> Store:
    made = Store(tmp_path / "records")
    firings_kept.begin(made, "May", example_text("covered-pit"), who="AB")
    return made


def test_a_line_sent_twice_is_kept_once(store: Store) -> None:
    line = {"a-1": {"time": "10:00", "event": "lit"}}
    assert firings_kept.add_lines(store, "May", line, who="AB") == ("a-1",)
    assert firings_kept.add_lines(store, "May", line, who="AB") == ("a-1",)
    assert len(firings_kept.log_of(store, "May").log.said) == 1
    assert len(store.history("log", "May/a-1")) == 1


@settings(deadline=None, max_examples=10)
@given(order=st.permutations(range(5)))
def test_lines_that_come_late_stand_in_the_order_of_time(
    tmp_path_factory: pytest.TempPathFactory, order: list[int]
) -> None:
    made = Store(tmp_path_factory.mktemp("kept") / "records")
    firings_kept.begin(made, "May", example_text("trench"), who="AB")
    for at in order:
        line = {f"id-{at}": {"time": f"2026-05-02T10:0{at}", "place": "mid", "temperature_c": f"{100 * at}"}}
        firings_kept.add_lines(made, "May", line, who="AB")
    found = firings_kept.log_of(made, "May")
    assert found.faults == ()
    assert found.log.temperature_c.tolist() == [0.0, 100.0, 200.0, 300.0, 400.0]


def test_a_file_is_kept_whole_in_parts_and_once(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(firings_kept, "_PART", 500)
    text = data("demo", "firing_log.csv").read_text(encoding="utf-8")
    parts = firings_kept.keep_file(store, "May", text, who="AB")
    assert parts == -(-len(text) // 500)
    firings_kept.keep_file(store, "May", text, who="AB")
    assert store.count("log") == parts
    assert firings_kept.log_of(store, "May").log.readings == 20


def test_a_file_and_typed_lines_are_one_log(store: Store) -> None:
    firings_kept.keep_file(store, "May", data("demo", "firing_log.csv").read_text(encoding="utf-8"), who="AB")
    late = {"x": {"time": "2026-05-02T10:45", "place": "top", "glow": "dark red", "note": "through a gap"}}
    firings_kept.add_lines(store, "May", late, who="AB")
    found = firings_kept.log_of(store, "May")
    assert found.faults == ()
    assert found.log.readings == 21
    assert "through a gap" in [one.note for one in found.log.said]


@pytest.mark.parametrize(
    ("entry_id", "cells", "said"),
    [
        ("", {"time": "1", "glow": "orange"}, "id"),
        ("a/b", {"time": "1", "glow": "orange"}, "id"),
        ("a", {"time": "1", "glow": "mauve"}, "cherry red"),
        ("a", {"time": "1", "heat": "900"}, "temperature_c"),
        ("a", {"time": "1"}, "a time alone"),
        ("a", {"glow": "orange"}, "time"),
    ],
)
def test_a_line_that_is_none_is_not_kept(
    store: Store, entry_id: str, cells: dict[str, str], said: str
) -> None:
    good = {"good": {"time": "1", "event": "lit"}}
    with pytest.raises(BreaksShape, match=said):
        firings_kept.add_lines(store, "May", {**good, entry_id: cells}, who="AB")
    assert store.count("log") == 0  # all or none


def test_a_plan_or_log_or_outcome_that_is_none_is_not_kept(store: Store) -> None:
    with pytest.raises(BreaksShape):
        firings_kept.begin(store, "June", 'structure = "oven"', who="AB")
    with pytest.raises(Unreadable):
        firings_kept.keep_file(store, "May", "place,glw\n", who="AB")
    with pytest.raises(BreaksShape):
        firings_kept.keep_outcome(store, "May", "place,zone,colour\nmid,inside,blue\n", who="AB")
    with pytest.raises(BreaksShape, match="would do: May"):
        firings_kept.add_lines(store, "June", {}, who="AB")


def test_an_outcome_is_kept_with_its_firing_and_its_plan_stays(store: Store) -> None:
    firings_kept.keep_outcome(store, "May", "place,zone,colour\nmid,inside,black\n", who="AB")
    kept = store.get("firing", "May")
    assert kept is not None
    assert kept.body is not None
    assert set(kept.body) == {"plan", "outcome"}
    assert firings_kept.plan_of(store, "May").structure == "covered-pit"
