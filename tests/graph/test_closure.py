"""The shipped OWL RL closure is legal RDF and means what it should; a contradiction stops the build.

That it is a fresh one is tested in test_build_graph.py, which builds it once.
"""

import gzip
from pathlib import Path

import pyoxigraph
import pytest
from rdflib import Graph, Literal, URIRef
from rdflib.namespace import OWL, RDF, RDFS, SKOS

from wareontology import paths
from wareontology.errors import BreaksShape
from wareontology.graph.closure import FILE, added, build, close, closed_graph, shipped
from wareontology.graph.namespaces import WO, term
from wareontology.graph.store import graph

EX = "https://wareontology.example/case/"


def _given(text: str) -> Graph:
    head = f"@prefix owl: <{OWL}> . @prefix rdfs: <{RDFS}> . "
    return Graph().parse(data=f"{head}@prefix : <{EX}> . {text}", format="turtle")


def test_the_same_files_give_the_same_bytes(tmp_path: Path) -> None:
    source = tmp_path / "small.ttl"
    source.write_text(
        f"@prefix : <{EX}> . @prefix rdfs: <http://www.w3.org/2000/01/rdf-schema#> . "
        ":a a :B . :B rdfs:subClassOf :C . :C rdfs:subClassOf :D .",
        "utf-8",
    )
    one, other = (build(tmp_path / name, [source]).read_bytes() for name in ("one.gz", "other.gz"))
    assert one == other
    assert one[4:8] == b"\0\0\0\0"  # no time in the gzip header (RFC 1952)
    assert gzip.decompress(one).decode().splitlines() == [
        f"<{EX}B> <{RDFS.subClassOf}> <{EX}D> .",
        f"<{EX}a> <{RDF.type}> <{EX}C> .",
        f"<{EX}a> <{RDF.type}> <{EX}D> .",
    ]


def test_it_is_legal_rdf_for_a_strict_reader() -> None:
    content = gzip.decompress(paths.data(FILE).read_bytes())
    triples = list(pyoxigraph.parse(input=content, format=pyoxigraph.RdfFormat.N_TRIPLES))
    assert len(triples) == len(shipped()) == len(set(shipped()))
    assert shipped() == sorted(shipped())
    assert not any(isinstance(triple.object, pyoxigraph.Literal) for triple in triples)


def test_it_adds_only_what_is_new_and_says_something() -> None:
    given = graph()
    new = Graph().parse(data="\n".join(shipped()), format="nt")
    assert not [triple for triple in new if triple in given]
    assert not [triple for triple in new if triple[0] == triple[2]]
    assert not [triple for triple in new if triple[1] == OWL.sameAs]


def test_what_it_adds_is_meant() -> None:
    whole = closed_graph()
    plateau, world = URIRef(term("region", "colorado-plateau")), URIRef(term("region", "world"))
    assert (plateau, URIRef(WO + "partOf"), world) in whole
    assert (world, URIRef(WO + "hasPart"), plateau) in whole
    assert (plateau, SKOS.broaderTransitive, world) in whole
    assert (plateau, SKOS.broader, world) not in whole
    assert (plateau, RDF.type, SKOS.Concept) in whole
    assert (URIRef(term("edge")), SKOS.hasTopConcept, URIRef(term("edge", "soft"))) in whole


def test_literals_are_kept_and_never_become_subjects() -> None:
    given = _given(':a rdfs:label "a" ; :p :b . :p a owl:FunctionalProperty .')
    whole = close(given)
    assert (URIRef(EX + "a"), RDFS.label, Literal("a")) in whole
    assert not [triple for triple in whole if isinstance(triple[0], Literal)]
    assert not list(added(given))


@pytest.mark.parametrize(
    "text",
    [
        ":B owl:disjointWith :C . :a a :B , :C .",
        "[] a owl:AllDisjointClasses ; owl:members ( :B :C :D ) . :a a :C , :D .",
        ":p a owl:IrreflexiveProperty . :a :p :a .",
        ":a owl:sameAs :b ; owl:differentFrom :b .",
    ],
)
def test_a_contradiction_stops_it(text: str) -> None:
    with pytest.raises(BreaksShape, match="agrees with itself"):
        close(_given(text))


def test_a_contradiction_leaves_the_shipped_file_alone(tmp_path: Path) -> None:
    source, target = tmp_path / "bad.ttl", tmp_path / FILE
    target.write_bytes(b"before")
    source.write_text(
        f"@prefix : <{EX}> . @prefix owl: <{OWL}> . :B owl:disjointWith :C . :a a :B , :C .",
        "utf-8",
    )
    with pytest.raises(BreaksShape):
        build(target, [source])
    assert target.read_bytes() == b"before"
