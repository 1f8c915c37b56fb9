"""Compiles the rules' shapes to closures over the plain facts: no, unknown, yes.

`yes` is exactly what a SHACL engine calls conforming; `unknown` tells a fact that was not looked at, or that
had no one word, from one that is plainly otherwise.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import TypeAlias

from wareontology.graph.namespaces import TERM, local
from wareontology.technique.fact_store import CONTRASTS, LIES_ON, SHERD_NODE, Facts
from wareontology.technique.fact_words import layer_words, say, why_blank
from wareontology.technique.facts import LOOKED, TYPE
from wareontology.technique.rule_book import KINDS, Rule
from wareontology.technique.rule_shapes import VALUE, AllOf, Condition, Property, Step, Tree

NO, UNKNOWN, YES = 0, 1, 2
Test: TypeAlias = Callable[[Facts, str], int]


@dataclass(frozen=True, slots=True)
class Compiled:
    """One rule ready to run: tests of its conditions, parted by what they are for."""

    rule: Rule
    premises: tuple[tuple[Condition, Test], ...]
    absences: tuple[tuple[Condition, Test], ...]
    """Premises that must not hold, judged by `looked`."""
    looked: tuple[tuple[Condition, Test], ...]
    exceptions: tuple[tuple[Condition, Test, Test], ...]
    """Each with the test that it is there and the test that it was ruled out."""


class Engine:
    """Compiles rules; one closure for each shape, shared by the rules that use it."""

    def __init__(self, rules: tuple[Rule, ...]) -> None:
        self.rules = rules
        self._answers = {rule.address: rule.answers for rule in rules}
        self._so = {rule.address: rule.so for rule in rules}
        self._tests: dict[int, Test] = {}
        self.compiled = tuple(self._compile(rule) for rule in rules)

    def _compile(self, rule: Rule) -> Compiled:
        premises, absences, looked, exceptions = [], [], [], []
        for condition in rule.conditions:
            test = self._test(condition.tree)
            if condition.ruled_out_by is not None:
                exceptions.append((condition, test, self._test(condition.ruled_out_by)))
            elif condition.negative:
                absences.append((condition, test))
            elif condition.role == "Looked":
                looked.append((condition, test))
            else:
                premises.append((condition, test))
        return Compiled(rule, tuple(premises), tuple(absences), tuple(looked), tuple(exceptions))

    def _test(self, tree: Tree) -> Test:
        made = self._tests.get(id(tree))  # the rules keep every tree alive, so its id stays its own
        if made is None:
            made = self._tests[id(tree)] = self._make(tree)
        return made

    def _make(self, tree: Tree) -> Test:
        if isinstance(tree, Property):
            return self._property(tree)
        tests = tuple(self._test(part) for part in tree.parts)
        if isinstance(tree, AllOf):
            return lambda found, node: min(test(found, node) for test in tests)
        return lambda found, node: max(test(found, node) for test in tests)

    def _property(self, wanted: Property) -> Test:
        path = wanted.path
        sherd = path[0].way == "back"
        rest = path[1:] if sherd else path
        if len(rest) == 1 and rest[0].predicate != TYPE and wanted.node is None:
            return self._one_step(wanted, rest[0].predicate, sherd)
        return self._many_steps(wanted, rest, sherd)

    def _one_step(self, wanted: Property, predicate: str, sherd: bool) -> Test:
        """The common case, a fact of the layer or of its sherd, without walking."""
        has, within = wanted.has, wanted.within

        def test(found: Facts, node: str) -> int:
            if sherd:
                node = SHERD_NODE
            values = found.nodes[node].get(predicate)
            if values:
                if has in values if has is not None else within is None or within.issuperset(values):
                    return YES
            elif found.book.facts[predicate].if_blank:
                return UNKNOWN
            return UNKNOWN if (node, predicate) in found.doubts else NO

        return test

    def _many_steps(self, wanted: Property, rest: tuple[Step, ...], sherd: bool) -> Test:
        has, within = wanted.has, wanted.within
        inner = self._test(wanted.node) if wanted.node is not None else None

        def test(found: Facts, node: str) -> int:
            nodes = [SHERD_NODE if sherd else node]
            doubted = False
            for step in rest:
                onward = list(self._along(found, nodes, step))
                doubted = doubted or any((one, step.predicate) in found.doubts for one in nodes)
                if not onward:
                    fact = found.book.facts.get(step.predicate)
                    return UNKNOWN if doubted or (fact is not None and fact.if_blank) else NO
                nodes = onward
            if inner is not None:
                return min(inner(found, one) for one in nodes)
            if has in nodes if has is not None else within is None or within.issuperset(nodes):
                return YES
            return UNKNOWN if doubted else NO

        return test

    def _along(self, found: Facts, nodes: list[str], step: Step) -> Iterator[str]:
        for node in nodes:
            if step.way == "up":
                yield from wider(node)
            elif step.predicate == VALUE:
                yield from self._answers.get(node, ())
            else:
                yield from found.nodes[node].get(step.predicate, ())

    def because(self, found: Facts, node: str, tree: Tree) -> Iterator[str]:
        """The observations that a tree which holds stands on, in plain words."""
        if isinstance(tree, Property):
            yield from self._because(found, node, tree)
            return
        for part in tree.parts:
            if self._test(part)(found, node) == YES:
                yield from self.because(found, node, part)

    def _because(self, found: Facts, node: str, wanted: Property) -> Iterator[str]:
        sherd = wanted.path[0].way == "back"
        trail = [(SHERD_NODE if sherd else node, "")]
        for step in wanted.path[1:] if sherd else wanted.path:
            if step.way == "along" and step.predicate != VALUE:
                trail = [
                    (value, words)
                    for one, _ in trail
                    for value in found.nodes[one].get(step.predicate, ())
                    for words in (self._words(found, one, step.predicate, value),)
                ]
            else:
                trail = [(value, words) for one, words in trail for value in self._along(found, [one], step)]
        for value, words in trail:
            if wanted.node is not None:
                yield from self.because(found, value, wanted.node)
            elif words and (wanted.has is None or value == wanted.has):
                yield words

    def _words(self, found: Facts, node: str, predicate: str, value: str) -> str:
        if predicate in KINDS:
            return self._so.get(value, "")
        fact = found.book.facts.get(predicate)
        return say(found, node, predicate, value) if fact is not None and fact.in_words else ""

    def gaps(self, found: Facts, node: str, tree: Tree) -> Iterator[str]:
        """Why a tree does not hold: what was not looked at, or had no one word."""
        if not isinstance(tree, Property):
            for part in tree.parts:
                yield from self.gaps(found, node, part)
            return
        sherd = tree.path[0].way == "back"
        nodes = [SHERD_NODE if sherd else node]
        for step in tree.path[1:] if sherd else tree.path:
            fact = found.book.facts.get(step.predicate)
            onward = list(self._along(found, nodes, step))
            for one in nodes:
                doubted = (one, step.predicate) in found.doubts
                blank = not onward or step.predicate == LOOKED
                if fact is not None and (doubted or (fact.if_blank and blank)):
                    elsewhere = one != node and tree.path[0].predicate in (LIES_ON, CONTRASTS)
                    why = why_blank(found, one, step.predicate, tree.has)
                    yield f"{layer_words(one)}: {why}" if elsewhere else why
            nodes = onward
        if tree.node is not None:
            for one in nodes:
                yield from self.gaps(found, one, tree.node)


@cache
def wider(region: str) -> tuple[str, ...]:
    """A region and every region it lies in, as addresses, narrowest first.

    >>> [local(address) for address in wider(TERM + "region/colorado-plateau")][0]
    'colorado-plateau'
    """
    from wareontology.graph.vocabulary import scheme

    regions, found = scheme("region"), [local(region)]
    while found[-1] in regions and (broader := regions[found[-1]].broader) and broader not in found:
        found.append(broader)
    return tuple(f"{TERM}region/{notation}" for notation in found)
