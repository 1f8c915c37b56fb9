"""The alignment uses CIDOC CRM as its table of names allows, and AAT numbers that were seen and are safe."""

import csv
from pathlib import Path

import pytest
from rdflib import Graph, URIRef
from rdflib.namespace import RDF, RDFS

from wareontology import paths
from wareontology.graph.namespaces import AAT, CRM
from wareontology.graph.store import graph

PUBLISHED = Path(__file__).parent.parent / "published"
INFERRED = ("P32_used_general_technique", "P33_used_specific_technique")


def _rows(name: str) -> list[dict[str, str]]:
    lines = (PUBLISHED / name).read_text("utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


TABLE = {row["name"]: row for row in _rows("crm_names.csv")}


def _under(name: str) -> set[str]:
    """A CRM class and all it is under."""
    found = set()
    while name:
        found.add(name)
        name = TABLE[name]["under"] if name in TABLE else ""
    return found


def _kinds(found: Graph, node: URIRef) -> set[str]:
    """CRM classes a class of ours is under, by rdfs:subClassOf."""
    return {
        wider
        for up in found.transitive_objects(node, RDFS.subClassOf)
        if str(up).startswith(CRM)
        for wider in _under(str(up).removeprefix(CRM))
    }


def misuses(found: Graph) -> set[str]:
    """What goes against the table: unknown names, wrong ends of a property, a technique said outright."""
    faults = set()
    for name in {
        str(node).removeprefix(CRM) for triple in found for node in triple if str(node).startswith(CRM)
    }:
        if name not in TABLE:
            faults.add(f"unknown name {name}")
    for ours, crm in found.subject_objects(RDFS.subPropertyOf):
        name = str(crm).removeprefix(CRM)
        if name not in TABLE:
            continue
        if name in INFERRED:
            faults.add(f"{ours} says a technique outright")
        for end, said in (("domain", RDFS.domain), ("range", RDFS.range)):
            wanted = TABLE[name][end]
            kinds = [_kinds(found, node) for node in found.objects(ours, said) if isinstance(node, URIRef)]
            if wanted and not any(wanted in kind for kind in kinds):
                faults.add(f"{ours} has the wrong {end} for {name}")
    for subject, predicate, value in found:
        name = str(predicate).removeprefix(CRM)
        if not str(predicate).startswith(CRM) or name not in TABLE:
            continue
        if name in INFERRED:
            faults.add(f"{subject} says a technique outright")
        for end, node in (("domain", subject), ("range", value)):
            wanted = TABLE[name][end]
            types = [kind for kind in found.objects(node, RDF.type) if isinstance(kind, URIRef)]
            if wanted and types and not any(wanted in _kinds(found, kind) for kind in types):
                faults.add(f"{node} is at the wrong end of {name}")
    return faults


def test_our_alignment_has_no_misuse() -> None:
    whole = graph()
    assert misuses(whole) == set()
    assert [node for node in whole.objects() if str(node).startswith(CRM)]


HEAD = (
    f"@prefix crm: <{CRM}> . @prefix rdfs: <{RDFS}> . @prefix wo: <https://wareontology.example/def/> . "
    "@prefix : <https://wareontology.example/case/> . "
)


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("wo:Sherd rdfs:subClassOf crm:E22_Man-Made_Object .", "unknown name E22_Man-Made_Object"),
        (
            "wo:hasPaint rdfs:subPropertyOf crm:P56_bears_feature .",
            "has the wrong domain for P56_bears_feature",
        ),
        ("wo:material rdfs:subPropertyOf crm:P45_consists_of .", "has the wrong range for P45_consists_of"),
        ("wo:firing rdfs:subPropertyOf crm:P140_assigned_attribute_to .", "has the wrong domain for P140"),
        ("wo:technique rdfs:subPropertyOf crm:P33_used_specific_technique .", "says a technique outright"),
        (":fire crm:P33_used_specific_technique :trick .", "says a technique outright"),
        (":x a crm:E55_Type ; crm:P45_consists_of :clay .", "is at the wrong end of P45_consists_of"),
        (":s a wo:Sherd ; crm:P56_bears_feature :s .", "is at the wrong end of P56_bears_feature"),
    ],
)
def test_a_seeded_misuse_is_caught(text: str, fault: str) -> None:
    seeded = graph() + Graph().parse(data=HEAD + text, format="turtle")
    assert any(fault in found for found in misuses(seeded))


def test_a_right_use_is_let_through() -> None:
    right = Graph().parse(
        data=HEAD + ":s a wo:Sherd ; crm:P56_bears_feature :f . :f a crm:E25_Human-Made_Feature ."
    )
    assert misuses(graph() + right) == set()


def test_only_safe_aat_numbers_are_used() -> None:
    status = {row["aat"]: row["status"] for row in _rows("aat_ids_seen.csv")}
    used = {str(node).removeprefix(AAT) for node in graph().objects() if str(node).startswith(AAT)}
    assert used
    assert all(status[number] == "good" for number in used)
    assert "300210564" not in used  # slips, the garment: the trap the table names


def test_the_alignment_names_its_source() -> None:
    assert "source:crm-7-1" in paths.data("alignment.ttl").read_text("utf-8")
