"""The JSON-LD context that is shipped in shapes/: its address and its content."""

import json
from functools import cache
from typing import Final

from wareontology.graph.namespaces import BASE, WO
from wareontology.paths import shapes

CONTEXT: Final = BASE + "sherd.jsonld"
"""Address of the context. It is a name: nothing is ever fetched from it, shapes/sherd.jsonld is read."""

COLUMN: Final = WO + "column/"
"""Properties that hold a cell as it was written. What follows from a cell has terms of its own."""


@cache
def context() -> object:
    """What shapes/sherd.jsonld holds under `@context`.

    >>> context()["rows"]
    {'@reverse': 'sosa:hasFeatureOfInterest'}
    """
    return json.loads(shapes("sherd.jsonld").read_text(encoding="utf-8"))["@context"]
