"""Builds data/traditions.json.gz from data/traditions/ and the closure: what `traditions` reads."""

import gzip
import io
import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Final

import pyoxigraph

from wareontology.graph.namespaces import (
    PROV,
    RDF,
    RDFS,
    REGION,
    SKOS,
    SOURCE,
    TERM,
    TRADITION,
    WO,
    local,
)  # fmt: skip
from wareontology.graph.sources import source_of
from wareontology.graph.store import Described, described
from wareontology.graph.traditions import FOLDER, INDEX
from wareontology.paths import data

_LISTED: Final = frozenset(("after_firing", "marks", "phases"))
"""Fields whose values stand side by side; the values of others are the ends of a range."""
_KIN: Final = {"twins": "twinOf", "influenced_by": "influencedBy", "influenced": "influenced"}
_Said = Mapping[str, list[str]]


def tradition_files() -> tuple[Path, ...]:
    """The files of traditions, sorted by name."""
    return tuple(sorted(data(FOLDER).glob("*.ttl")))


def index(files: Iterable[Path], closure: Iterable[str]) -> dict[str, object]:
    """The index as plain data. closure: the lines of the closure that was made with the same files."""
    found: Described = {}
    for path in files:
        found.update(described(path))
    groups = _groups(described(data("tradition_terms.ttl")))
    follows = _follows(closure)
    entries = [
        _entry(address, said, found, follows.get(address, {}), groups)
        for address, said in sorted(found.items())
        if WO + "Tradition" in said.get(RDF + "type", ())
    ]
    brought = {
        address.removeprefix(SOURCE): _source(said)
        for address, said in sorted(found.items())
        if WO + "Source" in said.get(RDF + "type", ())
    }
    named = dict(sorted(groups.values()))
    return {"traditions": entries, "groups": named, "sources": brought}


def packed(content: Mapping[str, object]) -> bytes:
    """The index as it is shipped; the same content gives the same bytes."""
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":"))
    archive = io.BytesIO()
    # No name and no time in the header: they would make two equal builds differ.
    with gzip.GzipFile(filename="", mode="wb", fileobj=archive, mtime=0) as file:
        file.write(text.encode())
    return archive.getvalue()


def build(closure: Iterable[str], path: Path | None = None, files: Iterable[Path] | None = None) -> Path:
    """Write the index of the given files, or of all in data/traditions/."""
    target = path if path is not None else data(INDEX)
    target.write_bytes(packed(index(tradition_files() if files is None else files, closure)))
    return target


def group_name(address: str) -> str:
    """Name of a technology group from the address of its class.

    >>> group_name("https://wareontology.example/def/OrganicBlackGroup")
    'organic-black'
    """
    plain = local(address).removesuffix("Group")
    return "".join(f"-{letter.lower()}" if letter.isupper() else letter for letter in plain).lstrip("-")


def _groups(terms: Described) -> dict[str, tuple[str, list[str]]]:
    return {
        address: (
            group_name(address),
            [said[name][0] for name in (RDFS + "label", RDFS + "comment", SKOS + "example")],
        )
        for address, said in terms.items()
        if WO + "TechnologyGroup" in said.get(RDFS + "subClassOf", ())
    }


def _follows(closure: Iterable[str]) -> dict[str, dict[str, list[str]]]:
    """What the closure adds to each tradition: its classes, and the traditions it is kin to."""
    wanted = {RDF + "type", *(WO + name for name in _KIN.values())}
    lines = "\n".join(line for line in closure if line.startswith(f"<{TRADITION}"))
    found: dict[str, dict[str, list[str]]] = {}
    for triple in pyoxigraph.parse(input=lines, format=pyoxigraph.RdfFormat.N_TRIPLES):
        if triple.predicate.value in wanted:
            said = found.setdefault(triple.subject.value, {})
            said.setdefault(triple.predicate.value, []).append(triple.object.value)
    return found


def _entry(
    address: str,
    said: _Said,
    found: Described,
    follows: _Said,
    groups: Mapping[str, tuple[str, list[str]]],
) -> dict[str, object]:
    kin = {
        key: sorted(_id(other) for other in follows.get(WO + name, ())) for key, name in sorted(_KIN.items())
    }
    links = [
        link
        for name in ("statement", "twinStatement", "influenceStatement")
        for link in said.get(WO + name, ())
    ]
    return {
        "id": said[SKOS + "notation"][0],
        "label": said[SKOS + "prefLabel"][0],
        "region": said[WO + "foundIn"][0].removeprefix(REGION),
        "groups": sorted(groups[kind][0] for kind in follows.get(RDF + "type", ()) if kind in groups),
        **kin,
        "note": _first(said, SKOS + "editorialNote"),
        "statements": [_statement(found[link]) for link in links],
    }


def _statement(said: _Said) -> list[object]:
    field = local(said[WO + "field"][0])
    terms = [_notation(value) for value in said.get(WO + "value", ())]
    other = [_id(value) for value in said.get(WO + "other", ())]
    text = _first(said, WO + "text") or (", " if field in _LISTED else "-").join(terms + other)
    doubt = "?" if _first(said, WO + "doubtful") == "true" else ""
    layer, zone, inferred = (_local(said, WO + name) for name in ("layer", "zone", "inferredFrom"))
    return [
        field,
        text + doubt,
        local(said[WO + "basis"][0]),
        [key.removeprefix(SOURCE) for key in said.get(PROV + "wasDerivedFrom", ())],
        zone,
        layer,
        _first(said, WO + "name"),
        inferred,
        _first(said, SKOS + "editorialNote"),
        terms,
    ]


def _source(said: _Said) -> list[str | None]:
    one = source_of(said)
    return [one.citation, one.seen, one.read, one.doi]


def _notation(address: str) -> str:
    """A concept's notation is the last part of its address in every scheme that statements use."""
    assert address.startswith(TERM), address
    return local(address)


def _id(address: str) -> str:
    return address.removeprefix(TRADITION)


def _first(said: _Said, predicate: str) -> str | None:
    values = said.get(predicate)
    return values[0] if values else None


def _local(said: _Said, predicate: str) -> str | None:
    value = _first(said, predicate)
    return local(value) if value is not None else None
