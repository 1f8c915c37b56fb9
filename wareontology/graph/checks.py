"""Checks of a SKOS vocabulary, a small function each: the W3C integrity conditions and the qSKOS issues.

Sources: W3C SKOS Reference 2009 (skos-reference-2009) and Mader, Haslhofer & Isaac 2012 (mader-2012), both
seen at second hand, as data/sources.ttl says. They work on the triples as they are written; nothing is
inferred first.
"""

import re
import unicodedata
from collections.abc import Callable, Iterator, Mapping
from itertools import combinations
from typing import TYPE_CHECKING, Final, TypeAlias
from urllib.parse import urlsplit

from wareontology.graph.namespaces import DCTERMS, RDF, RDFS, SKOS
from wareontology.graph.skos_graph import LABELS, SkosGraph

if TYPE_CHECKING:
    from rdflib import Graph
    from rdflib.term import Literal

Fault: TypeAlias = tuple[str, str]
"""Address at fault, and what is wrong with it."""
Check: TypeAlias = Callable[[SkosGraph], Iterator[Fault]]

NOTES: Final = ("note", "changeNote", "definition", "editorialNote", "example", "historyNote", "scopeNote")
MAPPINGS: Final = ("mappingRelation", "exactMatch", "closeMatch", "broadMatch", "narrowMatch", "relatedMatch")
INVERSES: Final = {
    "broader": "narrower", "narrower": "broader", "related": "related",
    "topConceptOf": "hasTopConcept", "hasTopConcept": "topConceptOf",
}  # fmt: skip
TERMS: Final = frozenset(
    (*LABELS, *NOTES, *MAPPINGS, *INVERSES, "broaderTransitive", "narrowerTransitive", "semanticRelation",
     "inScheme", "notation", "member", "memberList", "Concept", "ConceptScheme", "Collection",
     "OrderedCollection")
)  # fmt: skip
"""All that the SKOS core namespace defines."""
_LANGUAGE: Final = re.compile(r"[a-z]{2,3}(-[A-Za-z0-9]{1,8})*\Z")
_UNPRINTABLE: Final = frozenset(("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"))


def concept_and_scheme(skos: SkosGraph) -> Iterator[Fault]:
    for node in set(skos.concepts).intersection(skos.schemes):
        yield node, "is both a concept and a scheme"


def labels_disjoint(skos: SkosGraph) -> Iterator[Fault]:
    for node in skos.texts_of:
        for one, other in combinations(LABELS, 2):
            for label in set(skos.texts(node, one)).intersection(skos.texts(node, other)):
                yield node, f"has {label!r} as {one} and as {other}"


def one_preferred_label(skos: SkosGraph) -> Iterator[Fault]:
    for node in skos.texts_of:
        languages = [label.language for label in skos.texts(node, "prefLabel")]
        for language in {tag for tag in languages if languages.count(tag) > 1}:
            yield node, f"has more than one prefLabel in {language}"


def related_and_wider(skos: SkosGraph) -> Iterator[Fault]:
    for node, others in skos.beside.items():
        for other in others & skos.above(node, far=True):
            yield node, f"is related to {other}, which is wider"


def collection_and_other(skos: SkosGraph) -> Iterator[Fault]:
    collections = {*skos.typed("Collection"), *skos.typed("OrderedCollection")}
    for node in collections.intersection([*skos.concepts, *skos.schemes]):
        yield node, "is a collection and a concept or scheme"


def exact_and_other_match(skos: SkosGraph) -> Iterator[Fault]:
    loose = {frozenset(pair) for pair in skos.linked("broadMatch", "narrowMatch", "relatedMatch")}
    for node, other in skos.linked("exactMatch"):
        if frozenset((node, other)) in loose:
            yield node, f"matches {other} exactly and not exactly"


def orphans(skos: SkosGraph) -> Iterator[Fault]:
    for node in skos.concepts:
        if not skos.relatives(node):
            yield node, "is neither wider than, narrower than nor related to anything"


def undocumented(skos: SkosGraph) -> Iterator[Fault]:
    for node in skos.concepts:
        if not skos.texts(node, *NOTES):
            yield node, "has no note of any kind"


def ambiguous_notations(skos: SkosGraph) -> Iterator[Fault]:
    for scheme, concepts in skos.members.items():
        for one, other in combinations(sorted(concepts), 2):
            for notation in set(skos.texts(one, "notation")).intersection(skos.texts(other, "notation")):
                yield one, f"shares the notation {notation!r} with {other} in {scheme}"


def mapping_within(skos: SkosGraph) -> Iterator[Fault]:
    for node, other in skos.linked(*MAPPINGS):
        if any(node in concepts and other in concepts for concepts in skos.members.values()):
            yield node, f"is mapped to {other} of its own scheme"


def no_top_concept(skos: SkosGraph) -> Iterator[Fault]:
    topped = {scheme for _, scheme in skos.linked("topConceptOf")} | {
        node for node, _ in skos.linked("hasTopConcept")
    }
    for scheme in skos.schemes:
        if scheme not in topped:
            yield scheme, "has no top concept"


def top_with_wider(skos: SkosGraph) -> Iterator[Fault]:
    tops = {*skos.linked("topConceptOf"), *((top, scheme) for scheme, top in skos.linked("hasTopConcept"))}
    for top, scheme in sorted(tops):
        for wider in skos.wider.get(top, set()) & skos.members.get(scheme, set()):
            yield top, f"is a top concept of {scheme} below {wider}"


def rings(skos: SkosGraph) -> Iterator[Fault]:
    for node in skos.concepts:
        if node in skos.above(node):
            yield node, "is wider than itself, by way of others"


def clusters(skos: SkosGraph) -> Iterator[Fault]:
    for scheme, concepts in skos.members.items():
        left = {node for node in concepts if skos.relatives(node)}
        parts = 0
        while left:
            parts += 1
            ahead = {left.pop()}
            while ahead:
                ahead = {one for node in ahead for one in skos.relatives(node)} & left
                left -= ahead
        if parts > 1:
            yield scheme, f"falls into {parts} clusters that are not connected"


def empty_labels(skos: SkosGraph) -> Iterator[Fault]:
    for node in skos.texts_of:
        if any(not str(label).strip() for label in _named(skos, node)):
            yield node, "has an empty label"


def missing_labels(skos: SkosGraph) -> Iterator[Fault]:
    for node in (*skos.concepts, *skos.schemes):
        if not _named(skos, node, preferred=True):
            yield node, "has no label"


def overlapping_labels(skos: SkosGraph) -> Iterator[Fault]:
    for scheme, concepts in skos.members.items():
        owner: dict[tuple[str, str | None], str] = {}
        for node in sorted(concepts):
            for label in skos.texts(node, *LABELS):
                first = owner.setdefault((str(label).casefold(), label.language), node)
                if first != node:
                    yield node, f"shares the label {str(label)!r} with {first} in {scheme}"


def unprintable_labels(skos: SkosGraph) -> Iterator[Fault]:
    for node in skos.texts_of:
        for label in _named(skos, node):
            if any(unicodedata.category(letter) in _UNPRINTABLE for letter in str(label)):
                yield node, f"has a label with a character that cannot be printed: {label!r}"


def incomplete_languages(skos: SkosGraph) -> Iterator[Fault]:
    spoken = {node: _languages(skos, node) for node in skos.concepts}
    used = frozenset().union(*spoken.values())
    for node, languages in spoken.items():
        if used - languages:
            yield node, f"has no label in {', '.join(sorted(used - languages))}"


def no_common_language(skos: SkosGraph) -> Iterator[Fault]:
    spoken = [_languages(skos, node) for node in skos.concepts]
    if spoken and not frozenset.intersection(*spoken):
        yield SKOS + "Concept", "no language is common to all concepts"


def language_tags(skos: SkosGraph) -> Iterator[Fault]:
    for node in skos.texts_of:
        for text in skos.texts(node, *LABELS, *NOTES):
            if not _LANGUAGE.match(text.language or ""):
                yield node, f"has {str(text)[:40]!r} without a sound language tag"


def no_link_out(skos: SkosGraph) -> Iterator[Fault]:
    for node in skos.concepts:
        home = urlsplit(node).netloc
        out = [value for predicate, value in skos.links[node] if predicate != RDF + "type" and "://" in value]
        if all(urlsplit(value).netloc == home for value in out):
            yield node, "has no link to another vocabulary"


def not_http(skos: SkosGraph) -> Iterator[Fault]:
    for node in (*skos.concepts, *skos.schemes):
        if urlsplit(node).scheme not in {"http", "https"}:
            yield node, "has no http address"


def self_related(skos: SkosGraph) -> Iterator[Fault]:
    for node, other in skos.linked(*INVERSES, *MAPPINGS):
        if node == other:
            yield node, "is related to itself"


def only_far_related(skos: SkosGraph) -> Iterator[Fault]:
    for node, others in skos.far_wider.items():
        for other in others - skos.above(node):
            yield node, f"is below {other} by a transitive link alone"


def one_sided(skos: SkosGraph) -> Iterator[Fault]:
    known = {*skos.concepts, *skos.schemes}
    for name, back in INVERSES.items():
        said_back = set(skos.linked(back))
        for node, other in skos.linked(name):
            if other in known and (other, node) not in said_back:
                yield other, f"lacks {back} to {node}"


def related_siblings(skos: SkosGraph) -> Iterator[Fault]:
    for node, others in skos.beside.items():
        for other in others:
            if skos.wider.get(node, set()) & skos.wider.get(other, set()):
                yield node, f"is related to {other}, which it shares a parent with"


def redundant_wider(skos: SkosGraph) -> Iterator[Fault]:
    for node, widers in skos.wider.items():
        for wider in widers:
            if any(wider in skos.above(other) for other in widers - {wider, node}):
                yield node, f"is said to be below {wider}, which follows from another"


def undefined_terms(skos: SkosGraph) -> Iterator[Fault]:
    for node in {*skos.links, *skos.texts_of}:
        links = skos.links.get(node, [])
        used = {predicate for predicate, _ in (*links, *skos.texts_of.get(node, []))}
        used |= {value for predicate, value in links if predicate == RDF + "type"}
        for term in sorted(used):
            if term.startswith(SKOS) and term.removeprefix(SKOS) not in TERMS:
                yield node, f"uses {term}, which SKOS does not define"


CHECKS: Final[Mapping[str, Check]] = {
    "S9": concept_and_scheme, "S13": labels_disjoint, "S14": one_preferred_label,
    "S27": related_and_wider, "S37": collection_and_other, "S46": exact_and_other_match,
    "oc": orphans, "uc": undocumented, "anr": ambiguous_notations, "mri": mapping_within,
    "otc": no_top_concept, "tchbc": top_with_wider, "chr": rings, "dcc": clusters, "dlv": labels_disjoint,
    "el": empty_labels, "ipl": one_preferred_label, "ml": missing_labels, "ol": overlapping_labels,
    "ucil": unprintable_labels, "ilc": incomplete_languages, "ncl": no_common_language,
    "oilt": language_tags, "mol": no_link_out, "husv": not_http, "rrc": self_related,
    "strc": only_far_related, "urc": one_sided, "var": related_siblings, "hr": redundant_wider,
    "mc": exact_and_other_match, "rc": related_and_wider, "usr": undefined_terms,
}  # fmt: skip
"""Check by the id of the published lists; some ids of the second list say what one of the first says."""

NOT_RUN: Final[Mapping[str, str]] = {
    "bl": "broken links: needs the web, and our addresses are names that lead nowhere",
    "mil": "missing in-links: needs the web, to ask who links here",
}
"""Checks of the published lists that cannot be run here, and why."""


def run(graph: "Graph") -> dict[str, list[Fault]]:
    """What each check finds, by its id; an empty list is silence."""
    skos = SkosGraph(graph)
    return {name: sorted(set(check(skos))) for name, check in CHECKS.items()}


def _named(skos: SkosGraph, node: str, *, preferred: bool = False) -> "list[Literal]":
    """Labels of a node; schemes are named by their title."""
    wanted = {DCTERMS + "title", RDFS + "label"}
    titles = [value for predicate, value in skos.texts_of.get(node, ()) if predicate in wanted]
    return skos.texts(node, *(LABELS[:1] if preferred else LABELS)) + (
        [] if node in skos.concepts else titles
    )


def _languages(skos: SkosGraph, node: str) -> frozenset[str]:
    return frozenset(label.language for label in skos.texts(node, *LABELS) if label.language)
