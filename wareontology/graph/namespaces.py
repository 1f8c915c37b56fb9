"""The web addresses of our terms. They are names, not pages: the host is a reserved one.

`.example` is kept free by RFC 2606, so nothing else can live there; BASE is the one place to change when a
domain is held (and the prefixes at the head of the files in data/ and shapes/).
"""

from typing import Final
from urllib.parse import quote

BASE: Final = "https://wareontology.example/"
WO: Final = BASE + "def/"
"""Classes and properties."""
TERM: Final = BASE + "term/"
"""Concept schemes (term/SCHEME) and their concepts (term/SCHEME/VALUE)."""
REGION: Final = TERM + "region/"
RULE: Final = BASE + "rule/"
SOURCE: Final = BASE + "source/"
TRADITION: Final = BASE + "tradition/"
SHERD: Final = BASE + "sherd/"
SHAPE: Final = BASE + "shape/"

RDF: Final = "http://www.w3.org/1999/02/22-rdf-syntax-ns#"
RDFS: Final = "http://www.w3.org/2000/01/rdf-schema#"
OWL: Final = "http://www.w3.org/2002/07/owl#"
SKOS: Final = "http://www.w3.org/2004/02/skos/core#"
DCTERMS: Final = "http://purl.org/dc/terms/"
PROV: Final = "http://www.w3.org/ns/prov#"
SOSA: Final = "http://www.w3.org/ns/sosa/"
SH: Final = "http://www.w3.org/ns/shacl#"
CRM: Final = "http://www.cidoc-crm.org/cidoc-crm/"
AAT: Final = "http://vocab.getty.edu/aat/"


def term(scheme: str, value: str | None = None) -> str:
    """Address of a concept scheme, or of one of its concepts.

    >>> term("edge", "soft")
    'https://wareontology.example/term/edge/soft'
    """
    return TERM + scheme if value is None else f"{TERM}{scheme}/{value}"


def sherd(name: str) -> str:
    """Address of a sherd; whatever its name holds is percent-encoded.

    >>> sherd("K 14/2")
    'https://wareontology.example/sherd/K%2014%2F2'
    """
    return SHERD + quote(name, safe="")


def local(address: str) -> str:
    """What stands after the last slash or hash.

    >>> local("https://wareontology.example/term/edge/soft")
    'soft'
    """
    return address.replace("#", "/").rsplit("/", 1)[-1]
