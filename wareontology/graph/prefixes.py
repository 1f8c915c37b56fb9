"""Short names for the addresses in our graph, for queries, dumps and what is shown of them."""

from types import MappingProxyType
from typing import Final

from wareontology.graph import namespaces as names

PREFIXES: Final = MappingProxyType(
    {
        "wo": names.WO,
        "tradition": names.TRADITION,
        "statement": names.BASE + "statement/",
        "source": names.SOURCE,
        "rule": names.RULE,
        "region": names.REGION,
        "field": names.TERM + "field/",
        "basis": names.TERM + "basis/",
        "term": names.TERM,
        "rdf": names.RDF,
        "rdfs": names.RDFS,
        "owl": names.OWL,
        "xsd": "http://www.w3.org/2001/XMLSchema#",
        "skos": names.SKOS,
        "dcterms": names.DCTERMS,
        "prov": names.PROV,
        "sosa": names.SOSA,
        "bibo": "http://purl.org/ontology/bibo/",
        "geo": "http://www.opengis.net/ont/geosparql#",
    }
)
"""Prefix to address. A query may use them without declaring them."""


def shortened(address: str) -> str:
    """An address with its prefix where one of ours fits and the rest is a plain name; else in brackets.

    >>> shortened("https://wareontology.example/term/edge/soft"), shortened("https://example.org/a")
    ('term:edge/soft', '<https://example.org/a>')
    """
    fitting = [(len(start), prefix) for prefix, start in PREFIXES.items() if address.startswith(start)]
    if not fitting:
        return f"<{address}>"
    length, prefix = max(fitting)
    return f"{prefix}:{address[length:]}"
