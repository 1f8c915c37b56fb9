"""Traditions in the forms other programs read: a table of statements, points for a map, a network."""

import csv
import io
import json
from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import Any, Final

from wareontology.graph.export import rdf
from wareontology.graph.network import graphml
from wareontology.graph.traditions import Tradition, traditions
from wareontology.graph.vocabulary import region_path
from wareontology.report.traditions import ANY, brief, cited

COLUMNS: Final = (
    "id", "label", "region", "field", "zone", "layer", "name", "value", "terms", "basis", "sources",
    "inferred_from", "note",
)  # fmt: skip


def exported(form: str, region: str | None = None, closed: bool = False) -> bytes:
    """The graph or a region of it. form: turtle, json-ld, csv, geojson or graphml; the same bytes each time.

    closed: with what OWL RL draws from it, for turtle and json-ld alone.

    >>> exported("csv", "cyprus").splitlines()[0]
    b'id,label,region,field,zone,layer,name,value,terms,basis,sources,inferred_from,note'
    """
    if form in ("turtle", "json-ld"):
        return rdf(form, region, closed)
    return _WRITERS[form](
        [one for one in traditions().values() if region is None or region in region_path(one.region)]
    )


def _table(chosen: Sequence[Tradition]) -> bytes:
    """A row a statement; `terms` and `sources` parted by spaces."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for one in chosen:
        for said in one.statements:
            writer.writerow(
                (
                    one.id, one.label, one.region, said.field, said.zone, said.layer, said.name, said.value,
                    " ".join(said.terms), said.basis, " ".join(said.sources), said.inferred_from, said.note,
                )
            )  # fmt: skip
    return out.getvalue().encode()


def _points(chosen: Sequence[Tradition]) -> bytes:
    """GeoJSON (RFC 7946): a point of whole degrees a tradition, or none where none is told."""
    features = [
        {"type": "Feature", "id": one.id, "geometry": _point(one), "properties": _properties(one)}
        for one in chosen
    ]
    return (
        json.dumps({"type": "FeatureCollection", "features": features}, ensure_ascii=False) + "\n"
    ).encode()


def _point(one: Tradition) -> dict[str, Any] | None:
    longitude, latitude = (one.first(field, None) for field in ("longitude", "latitude"))
    if longitude is None or latitude is None:
        return None
    return {"type": "Point", "coordinates": [float(longitude), float(latitude)]}


def _properties(one: Tradition) -> dict[str, Any]:
    """What is stated; and of the point on what basis it stands."""
    basis = next((basis for basis in ANY if one.of("longitude", basis)), None)
    sources = [source["citation"] for source in cited(one.source_keys())]
    return {
        **brief(one),
        "point": "whole degrees of an area, never a site",
        "point_basis": basis,
        "sources": sources,
    }


def _network(chosen: Sequence[Tradition]) -> bytes:
    return graphml({one.id: one for one in chosen})


_WRITERS: Final[Mapping[str, Callable[[Sequence[Tradition]], bytes]]] = MappingProxyType(
    {"csv": _table, "geojson": _points, "graphml": _network}
)
