"""Any run of saves, removals and undos, held against a plain model: a tree of what was, and where we are."""

import tempfile
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from wareontology.errors import BreaksShape, Conflict
from wareontology.records.store import Store
from wareontology.records.version import Version

NAMES = ("a", "b/c", "d e")


class Node:
    """A state of a thing, made on another one; the root is that there is nothing."""

    def __init__(self, body: dict[str, int] | None, parent: "Node | None") -> None:
        self.body, self.parent = body, parent


class Saves(RuleBasedStateMachine):
    @initialize()
    def begin(self) -> None:
        self.folder = tempfile.TemporaryDirectory()
        self.store = Store(Path(self.folder.name) / "records")
        self.here = {name: Node(None, None) for name in NAMES}
        self.made: dict[str, list[tuple[Version, Node]]] = {name: [] for name in NAMES}
        self.numbers: list[int] = []

    def expected(self, name: str) -> int | None:
        past = self.made[name]
        return past[-1][0].number if past and past[-1][0].body is not None else None

    def note(self, name: str, change: Version, node: Node) -> None:
        assert not self.numbers or change.number > self.numbers[-1]
        self.numbers.append(change.number)
        self.made[name].append((change, node))
        self.here[name] = node

    @rule(name=st.sampled_from(NAMES), value=st.none() | st.integers(0, 9))
    def put(self, name: str, value: int | None) -> None:
        body = None if value is None else {"value": value}
        change = self.store.put("note", name, body, who="AB", why="x", expected_version=self.expected(name))
        self.note(name, change, Node(body, self.here[name]))

    @rule(name=st.sampled_from(NAMES), off=st.integers(1, 3))
    def put_on_another_version(self, name: str, off: int) -> None:
        wrong = (self.expected(name) or 0) + off
        try:
            self.store.put("note", name, {"value": -1}, who="AB", why="x", expected_version=wrong)
        except Conflict:
            return
        raise AssertionError("a save on a version that is not there was kept")

    @precondition(lambda self: any(self.made.values()))
    @rule(name=st.sampled_from(NAMES))
    def undo(self, name: str) -> None:
        if not self.made[name]:
            return
        last = self.made[name][-1][0].number
        parent = self.here[name].parent
        try:
            change = self.store.undo("note", name, who="AB", why="x", expected_version=last)
        except BreaksShape:
            assert parent is None
            return
        assert parent is not None
        self.note(name, change, parent)

    @rule(name=st.sampled_from(NAMES), which=st.integers(0, 30))
    def undo_to(self, name: str, which: int) -> None:
        if not self.made[name]:
            return
        goal, node = self.made[name][which % len(self.made[name])]
        last = self.made[name][-1][0].number
        change = self.store.undo("note", name, who="AB", why="x", expected_version=last, to=goal.number)
        self.note(name, change, node)

    @invariant()
    def as_the_model_has_it(self) -> None:
        for name in NAMES:
            found = self.store.get("note", name)
            assert (None if found is None else found.body) == self.here[name].body
            assert [change.number for change in self.store.history("note", name)] == [
                change.number for change, _ in self.made[name]
            ]
            assert [change.body for change in self.store.history("note", name)] == [
                node.body for _, node in self.made[name]
            ]
        there = [name for name in NAMES if self.here[name].body is not None]
        assert [thing.id for thing in self.store.find("note").things] == sorted(there)
        assert self.store.count("note") == len(there)

    def teardown(self) -> None:
        if hasattr(self, "folder"):
            self.folder.cleanup()


TestSaves = Saves.TestCase
TestSaves.settings = settings(max_examples=25, stateful_step_count=25, deadline=None)
