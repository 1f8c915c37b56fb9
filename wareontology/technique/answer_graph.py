"""A sherd with its answer as linked data: JSON-LD and Turtle, in terms that others know.

The answer is a PROV entity derived from the sherd's record, attributed to this program with the data it used;
its whole content stands in `prov:value` as JSON, and it names the rules that fired.
"""

import json
from collections.abc import Iterable, Mapping
from typing import Any, Final

from wareontology.graph.namespaces import DCTERMS, PROV, RDF, RDFS, RULE
from wareontology.sherd import iris, jsonld, turtle
from wareontology.sherd.record import Sherd

Answered = Iterable[tuple[Sherd, Mapping[str, Any]]]

CONTEXT: Final = {"prov": PROV, "dcterms": DCTERMS, "rdf": RDF, "rdfs": RDFS}


def document(answers: Answered) -> dict[str, object]:
    """Sherds with their answers as one JSON-LD document."""
    pairs = list(answers)
    records = jsonld.document(sherd for sherd, _ in pairs)
    graph = records["@graph"]
    assert isinstance(graph, list)
    nodes = [_node(sherd, answer) for sherd, answer in pairs]
    return {"@context": [records["@context"], CONTEXT], "@graph": [*graph, *nodes]}


def to_turtle(answers: Answered) -> str:
    """The same as Turtle."""
    pairs = list(answers)
    prefixes = "".join(f"@prefix {name}: <{address}> .\n" for name, address in CONTEXT.items())
    records = turtle.to_turtle(sherd for sherd, _ in pairs)
    return f"{prefixes}{records}{''.join(_written(sherd, answer) for sherd, answer in pairs)}"


def address(sherd: Sherd, answer: Mapping[str, Any]) -> str:
    """Address of an answer: that of the sherd's record, with the data that gave it."""
    return f"{iris.of_sherd(sherd)}/answer/{answer['data_hash']}"


def _node(sherd: Sherd, answer: Mapping[str, Any]) -> dict[str, object]:
    return {
        "@id": address(sherd, answer),
        "@type": "prov:Entity",
        "prov:wasDerivedFrom": {"@id": iris.of_sherd(sherd)},
        "prov:wasAttributedTo": {"@type": "prov:SoftwareAgent", "rdfs:label": _by(answer)},
        "dcterms:conformsTo": {"@id": answer["schema"]},
        "prov:value": {"@type": "rdf:JSON", "@value": _json(answer)},
        "prov:wasInfluencedBy": [{"@id": rule} for rule in _rules(answer)],
    }


def _written(sherd: Sherd, answer: Mapping[str, Any]) -> str:
    said = [
        "a prov:Entity",
        f"prov:wasDerivedFrom <{iris.of_sherd(sherd)}>",
        f"prov:wasAttributedTo [ a prov:SoftwareAgent ; rdfs:label {_quoted(_by(answer))} ]",
        f"dcterms:conformsTo <{answer['schema']}>",
        f"prov:value {_quoted(_json(answer))}^^rdf:JSON",
    ]
    said += [f"prov:wasInfluencedBy <{rule}>" for rule in _rules(answer)]
    return f"\n<{address(sherd, answer)}> " + " ;\n    ".join(said) + " .\n"


def _rules(answer: Mapping[str, Any]) -> list[str]:
    """Addresses of the rules that fired, each once."""
    return list(dict.fromkeys(RULE + finding["rule"] for finding in answer["findings"]))


def _by(answer: Mapping[str, Any]) -> str:
    return f"{answer['software']}, data {answer['data_hash']}"


def _json(answer: Mapping[str, Any]) -> str:
    return json.dumps(answer, ensure_ascii=False, sort_keys=True, allow_nan=False)


def _quoted(text: str) -> str:
    """Text as Turtle has it; the escapes of JSON are among those of Turtle."""
    return json.dumps(text, ensure_ascii=False)
