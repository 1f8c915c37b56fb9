"""A SKOS vocabulary as the checks need it: what is a concept, what is wider, what is said in words."""

from collections.abc import Iterator
from functools import cached_property
from typing import TYPE_CHECKING, Final

from wareontology.graph.namespaces import RDF, RDFS, SKOS

if TYPE_CHECKING:
    from rdflib import Graph
    from rdflib.term import Literal

LABELS: Final = ("prefLabel", "altLabel", "hiddenLabel")


class SkosGraph:
    """The triples of a graph, sorted. Nothing is inferred: paths are followed when they are asked for."""

    def __init__(self, graph: "Graph") -> None:
        from rdflib import Literal

        self.links: dict[str, list[tuple[str, str]]] = {}
        self.texts_of: dict[str, list[tuple[str, Literal]]] = {}
        for subject, predicate, value in graph:
            if isinstance(value, Literal):
                self.texts_of.setdefault(str(subject), []).append((str(predicate), value))
            else:
                self.links.setdefault(str(subject), []).append((str(predicate), str(value)))

    @cached_property
    def kinds(self) -> frozenset[str]:
        """skos:Concept and the classes that are said to be under it."""
        under = {node for node in self.links if SKOS + "Concept" in self.at(node, RDFS + "subClassOf")}
        return frozenset(under | {SKOS + "Concept"})

    @cached_property
    def concepts(self) -> list[str]:
        return sorted(node for node in self.links if self.kinds.intersection(self.at(node, RDF + "type")))

    @cached_property
    def schemes(self) -> list[str]:
        return self.typed("ConceptScheme")

    @cached_property
    def members(self) -> dict[str, set[str]]:
        """Scheme to its concepts."""
        found: dict[str, set[str]] = {
            scheme: set(self.to(scheme, "hasTopConcept")) for scheme in self.schemes
        }
        for concept in self.concepts:
            for scheme in self.to(concept, "inScheme", "topConceptOf"):
                found.setdefault(scheme, set()).add(concept)
        return found

    @cached_property
    def wider(self) -> dict[str, set[str]]:
        """Concept to those directly wider, said from either end."""
        return self._from_both_ends("broader", "narrower")

    @cached_property
    def beside(self) -> dict[str, set[str]]:
        """Concept to those related to it, said from either end."""
        return self._from_both_ends("related", "related")

    @cached_property
    def far_wider(self) -> dict[str, set[str]]:
        """Concept to those said to be wider by some number of steps."""
        return self._from_both_ends("broaderTransitive", "narrowerTransitive")

    def typed(self, name: str) -> list[str]:
        return sorted(node for node in self.links if SKOS + name in self.at(node, RDF + "type"))

    def at(self, node: str, predicate: str) -> list[str]:
        return [value for said, value in self.links.get(node, ()) if said == predicate]

    def to(self, node: str, *names: str) -> list[str]:
        """What a node points to by these SKOS properties."""
        wanted = {SKOS + name for name in names}
        return [value for predicate, value in self.links.get(node, ()) if predicate in wanted]

    def texts(self, node: str, *names: str) -> "list[Literal]":
        """What is said of a node in words by these SKOS properties."""
        wanted = {SKOS + name for name in names}
        return [value for predicate, value in self.texts_of.get(node, ()) if predicate in wanted]

    def linked(self, *names: str) -> Iterator[tuple[str, str]]:
        """Every (subject, object) of these SKOS properties."""
        return ((node, value) for node in sorted(self.links) for value in self.to(node, *names))

    def above(self, concept: str, *, far: bool = False) -> set[str]:
        """All wider concepts, however many steps up; the concept itself only where it lies in a ring.

        far: follow skos:broaderTransitive as well.
        """
        ways = (self.wider, self.far_wider) if far else (self.wider,)
        found: set[str] = set()
        ahead = {concept}
        while ahead:
            ahead = {up for one in ahead for way in ways for up in way.get(one, ())} - found
            found |= ahead
        return found

    def relatives(self, concept: str) -> set[str]:
        """Those one step up, down or to the side."""
        down = {node for node, wider in self.wider.items() if concept in wider}
        return self.wider.get(concept, set()) | self.beside.get(concept, set()) | down

    def _from_both_ends(self, forth: str, back: str) -> dict[str, set[str]]:
        found: dict[str, set[str]] = {}
        for node, value in self.linked(forth):
            found.setdefault(node, set()).add(value)
        for node, value in self.linked(back):
            found.setdefault(value, set()).add(node)
        return found
