"""Faults of firing: all that the trade names are there, whole, and found under any of their names."""

import pytest

from wareontology.firing.faults import ARISES, fault, faults, nearest
from wareontology.graph.sources import source_records

NAMED = [
    "fire cloud", "smoke-grey slip", "red flash", "brown-out", "spalling", "cooling crack", "lime pop",
    "scum", "crazing", "crawling", "slip peel", "bleeding", "soft paint", "flaking", "ash stuck", "bloating",
    "warping", "green overfire",
]  # fmt: skip


@pytest.mark.parametrize("name", NAMED)
def test_every_fault_the_trade_names_is_found(name: str) -> None:
    assert fault(name) is not None


@pytest.mark.parametrize("key", sorted(faults()))
def test_a_fault_is_whole(key: str) -> None:
    one = faults()[key]
    assert one.arises in ARISES
    assert all((one.sign, one.cause, one.remedy, one.mistaken_for))
    assert set(one.mistaken_for) <= set(faults()) - {key}
    assert (one.basis == "published") == (one.source is not None)
    if one.source is not None:
        assert source_records()[one.source].may_be_cited()


def test_names_are_nobodys_twice() -> None:
    names = [name.casefold() for one in faults().values() for name in (one.key, one.label, *one.alternates)]
    spelt = [name.replace("-", " ") for name in names]
    owners = {name: {one.key for one in faults().values() if name in {n.casefold().replace("-", " ") for n in
              (one.key, one.label, *one.alternates)}} for name in spelt}  # fmt: skip
    assert all(len(keys) == 1 for keys in owners.values())


def test_an_unknown_one_is_none_and_the_nearest_is_offered() -> None:
    assert fault("sunburn") is None
    assert nearest("spaling")[0] == "spalling"
    assert nearest("xyzzy") == ()
