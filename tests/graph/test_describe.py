"""The dump holds the whole graph, and its description counts it."""

import gzip
from pathlib import Path

import pyoxigraph
from click.testing import CliRunner
from rdflib import Graph, URIRef
from rdflib.namespace import RDF

from wareontology.build import main
from wareontology.graph.closure import shipped
from wareontology.graph.describe import DUMP, description, triples
from wareontology.graph.namespaces import BASE, WO
from wareontology.graph.traditions import traditions

VOID = "http://rdfs.org/ns/void#"


def test_the_dump_is_the_graph_and_its_closure(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["dump", str(tmp_path / "out")])
    assert result.exit_code == 0, result.output
    content = gzip.decompress((tmp_path / "out" / DUMP).read_bytes())
    dumped = list(pyoxigraph.parse(input=content, format=pyoxigraph.RdfFormat.N_TRIPLES))
    told = Graph().parse(data=(tmp_path / "out" / "void.ttl").read_text("utf-8"), format="turtle")
    (count,) = told.objects(URIRef(BASE), URIRef(VOID + "triples"))
    assert int(str(count)) == len(dumped) == sum(1 for _ in triples())
    assert len(dumped) == sum(1 for _ in triples(closure=False)) + len(shipped())


def test_the_description_counts_the_traditions() -> None:
    told = Graph().parse(data=description(), format="turtle")
    (part,) = told.subjects(URIRef(VOID + "class"), URIRef(WO + "Tradition"))
    (count,) = told.objects(part, URIRef(VOID + "entities"))
    assert int(str(count)) == len(traditions())
    assert (URIRef(BASE), RDF.type, URIRef("http://www.w3.org/ns/dcat#Dataset")) in told
