"""The web addresses of a sherd's record and of its rows: the same wherever and whenever they are written."""

from urllib.parse import quote

from wareontology.graph.namespaces import SHERD
from wareontology.sherd.record import Row, Sherd


def of_sherd(sherd: Sherd) -> str:
    """Address of one observer's record of a sherd.

    >>> of_sherd(Sherd("K 14/2", "AB", {}, ()))
    'https://wareontology.example/sherd/K%2014%2F2/by/AB'
    """
    signed = f"/by/{_segment(sherd.observer)}" if sherd.observer is not None else ""
    return SHERD + _segment(sherd.sherd) + signed


def of_row(sherd: str, row: Row) -> str:
    """Address of a row: that of its record, the zone, the layer, its name, and its step of refiring.

    >>> of_row("https://wareontology.example/sherd/K-14", Row("rim", "paint", "red lines", {}))
    'https://wareontology.example/sherd/K-14/rim/paint/red%20lines'
    """
    name = f"/{_segment(row.name)}" if row.name is not None else ""
    step = row.seen.get("refire_c")
    refired = f";refire_c={_segment(step.text)}" if step is not None else ""
    return f"{sherd}/{row.zone}/{row.layer}{name}{refired}"


def _segment(text: str) -> str:
    """Percent-encoded; a name of dots alone would be taken for a step up the path."""
    encoded = quote(text, safe="")
    return encoded.replace(".", "%2E") if not encoded.strip(".") else encoded
