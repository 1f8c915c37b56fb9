"""Traditions found after tables and rules were frozen, never used to make either: data/blind_set.csv."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from wareontology.data_rows import rows


@dataclass(frozen=True, slots=True)
class BlindWare:
    """One ware of the blind set. cluster: kindred wares share one, so that they count as one witness.

    doubt: why it may not be wholly blind; empty where nothing speaks against it.
    """

    cluster: str
    doubt: str


@cache
def blind_set() -> Mapping[str, BlindWare]:
    """Every ware of the blind set by id, in the order of the file.

    >>> all(ware.cluster for ware in blind_set().values())
    True
    """
    return MappingProxyType(
        {row["tradition"]: BlindWare(row["cluster"], row["doubt"]) for row in rows("blind_set.csv")}
    )
