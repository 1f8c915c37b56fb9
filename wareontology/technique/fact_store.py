"""What is plainly so of one sherd: nodes, facts, the rows behind them, and what could not be said."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final
from urllib.parse import quote

from wareontology.graph.namespaces import WO
from wareontology.graph.namespaces import sherd as sherd_address
from wareontology.sherd.record import Row, Sherd
from wareontology.technique.fact_book import FactBook

SHERD_NODE: Final = "sherd"
"""Node of the sherd as a whole; the other nodes are the keys of its units."""
HAS_UNIT: Final = WO + "hasUnit"
LIES_ON: Final = WO + "liesOn"
CONTRASTS: Final = WO + "contrastsWith"
RED_ON: Final = WO + "redOn"
TO_NODES: Final = frozenset((HAS_UNIT, LIES_ON, CONTRASTS, RED_ON))
"""Facts whose value is a layer of the same sherd."""

Values = dict[str, list[Row]]
"""Each value of one fact, with the rows that show it."""


@dataclass(slots=True)
class Facts:
    """What is plainly so of one sherd.

    nodes: node to predicate to value to the rows that show it.
    doubts: (node, predicate) to why no one value could be taken (`between cream and white`), by the value
        it concerns, or by "" where it concerns all.
    """

    sherd: Sherd
    book: FactBook
    nodes: dict[str, dict[str, Values]] = field(default_factory=dict)
    doubts: dict[tuple[str, str], dict[str, str]] = field(default_factory=dict)

    def add(self, node: str, predicate: str, value: str, rows: Sequence[Row] = ()) -> None:
        self.nodes[node].setdefault(predicate, {}).setdefault(value, []).extend(rows)

    def doubt(self, node: str, predicate: str, why: str, value: str = "") -> None:
        self.doubts.setdefault((node, predicate), {}).setdefault(value, why)

    def address(self, node: str) -> str:
        """Web address of the sherd or of one of its layers."""
        whole = sherd_address(self.sherd.sherd)
        if self.sherd.observer is not None:
            whole += "/by/" + quote(self.sherd.observer, safe="")
        return whole if node == SHERD_NODE else f"{whole}/layer/{quote(node, safe='')}"

    def triples(self) -> Iterator[tuple[str, str, str]]:
        """Every fact as (subject, predicate, object), web addresses all."""
        for node, said in self.nodes.items():
            subject = self.address(node)
            for predicate, values in said.items():
                for value in values:
                    yield subject, predicate, self.address(value) if predicate in TO_NODES else value
