"""The whole graph as one file, and a description of it in VoID and DCAT: what it holds and how much.

Every number is counted when it is asked for. Addresses are names under a reserved host until a domain is
held.
"""

import gzip
import io
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pyoxigraph

from wareontology.graph.closure import FILE
from wareontology.graph.namespaces import BASE, RDF, WO
from wareontology.graph.store import graph_files, zipped
from wareontology.paths import data

DUMP: Final = "wareontology.nt.gz"
_USED: Final = (
    "http://www.w3.org/2004/02/skos/core#",
    "http://www.w3.org/ns/prov#",
    "http://www.opengis.net/ont/geosparql#",
    "http://purl.org/dc/terms/",
    "http://purl.org/ontology/bibo/",
    "http://www.cidoc-crm.org/cidoc-crm/",
)
_TOLD: Final = (
    "Statements on traditions, field by field, each with its basis and its source; the vocabulary, regions"
    " and sources they use; and what OWL RL draws from them."
)
_HEAD: Final = """@prefix void: <http://rdfs.org/ns/void#> .
@prefix dcat: <http://www.w3.org/ns/dcat#> .
@prefix dcterms: <http://purl.org/dc/terms/> .
@prefix foaf: <http://xmlns.com/foaf/0.1/> .
@prefix xsd: <http://www.w3.org/2001/XMLSchema#> .
@prefix wo: <https://wareontology.example/def/> .
"""


def triples(*, closure: bool = True) -> Iterator[pyoxigraph.Triple]:
    """Every triple of our files, and what OWL RL adds unless closure is False."""
    for number, path in enumerate(graph_files()):
        # A node without an address is known within its file alone.
        for quad in pyoxigraph.parse(
            path=path, format=pyoxigraph.RdfFormat.TURTLE, rename_blank_nodes=number > 0
        ):
            yield quad.triple
    if closure:
        for quad in pyoxigraph.parse(input=zipped(data(FILE)), format=pyoxigraph.RdfFormat.N_TRIPLES):
            yield quad.triple


def dump(folder: Path) -> Path:
    """Write the whole graph, closure included, as gzipped N-Triples, and its description beside it.

    Returns the path of the N-Triples file; the description is void.ttl in the same folder.
    """
    folder.mkdir(parents=True, exist_ok=True)
    content = pyoxigraph.serialize(triples(), format=pyoxigraph.RdfFormat.N_TRIPLES)
    assert content is not None
    packed = io.BytesIO()
    with gzip.GzipFile(filename="", mode="wb", fileobj=packed, mtime=0) as file:
        file.write(content)
    target = folder / DUMP
    target.write_bytes(packed.getvalue())
    (folder / "void.ttl").write_text(description(), encoding="utf-8")
    return target


def description(version: str | None = None) -> str:
    """VoID and DCAT of the graph as Turtle: triples, things of each class, vocabularies used, the dump.

    >>> "void:triples" in description("0.1.0")
    True
    """
    from wareontology import __version__

    classes: Counter[str] = Counter()
    subjects, properties, total = set(), set(), 0
    for triple in triples():
        total += 1
        subjects.add(str(triple.subject))
        properties.add(triple.predicate.value)
        if triple.predicate.value == RDF + "type" and isinstance(triple.object, pyoxigraph.NamedNode):
            classes[triple.object.value] += 1
    parts = [
        f"[ void:class <{name}> ; void:entities {count} ]"
        for name, count in sorted(classes.items())
        if name.startswith(WO)
    ]
    used = " , ".join(f"<{name}>" for name in _USED)
    partitions = " ,\n        ".join(parts)
    return f"""{_HEAD}
<{BASE}> a void:Dataset , dcat:Dataset ;
    dcterms:title "wareontology: published pottery traditions, their materials and firing"@en ;
    dcterms:description "{_TOLD}"@en ;
    dcterms:license <https://spdx.org/licenses/MIT> ; dcterms:creator <{BASE}> ;
    dcat:version "{version or __version__}" ;
    void:uriSpace "{BASE}" ; void:triples {total} ;
    void:distinctSubjects {len(subjects)} ; void:properties {len(properties)} ;
    void:vocabulary {used} , <{WO}> ;
    void:exampleResource <{BASE}tradition/us-tusayan-white> ;
    void:classPartition {partitions} ;
    void:dataDump <{BASE}dump/{DUMP}> ;
    dcat:distribution <{BASE}dump/{DUMP}> .
<{BASE}dump/{DUMP}> a dcat:Distribution ;
    dcterms:title "The whole graph with its closure, N-Triples"@en ;
    dcterms:license <https://spdx.org/licenses/MIT> ;
    dcat:mediaType <https://www.iana.org/assignments/media-types/application/n-triples> ;
    dcat:compressFormat <https://www.iana.org/assignments/media-types/application/gzip> ;
    dcat:downloadURL <{BASE}dump/{DUMP}> .
"""
