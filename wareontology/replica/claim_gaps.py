"""What a claim lacks, by shapes/claims.ttl: what refuses it, and the gaps that weaken it."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain
from typing import Final

from wareontology.errors import BreaksShape, Fault
from wareontology.graph.namespaces import local
from wareontology.graph.shacl_report import Broken, broken
from wareontology.graph.vocabulary import scheme
from wareontology.paths import shapes
from wareontology.replica.claim_facts import facts
from wareontology.replica.claim_read import Claim
from wareontology.replica.claim_turtle import triples, written
from wareontology.sherd import iris

REASONS: Final = "claim-reason"
_GAP: Final = "Gap-"


@dataclass(frozen=True, slots=True)
class Gap:
    """Something a claim lacks: its code, where in the claim, and what was found there."""

    code: str
    where: str
    found: str = ""

    @property
    def sentence(self) -> str:
        return scheme(REASONS)[self.code].definition


def gaps(claim: Claim) -> tuple[Gap, ...]:
    """The gaps of a claim, in the order of the scheme. Raises BreaksShape where it lacks what it must."""
    addresses = {sherd.sherd: iris.of_sherd(sherd) for sherd in (*claim.originals, *claim.replicas)}
    text = written(chain(triples(claim.form, addresses), facts(claim)))
    results = broken(text, shapes("claims.ttl"))
    refused = [one for one in results if one.severity == "violation"]
    if refused:
        raise BreaksShape([_fault(claim, one) for one in refused])
    found = {gap for one in results for gap in _gap(claim, one)}
    order = scheme(REASONS).notations()
    return tuple(sorted(found, key=lambda gap: (order.index(gap.code), gap.where)))


def _fault(claim: Claim, one: Broken) -> Fault:
    key = local(one.path) if one.path else ""
    where = ", ".join(filter(None, (_where(claim, one.focus), key)))
    return Fault(claim.file, None, where, one.value or "nothing", one.message)


def _gap(claim: Claim, one: Broken) -> Iterator[Gap]:
    if one.shape.startswith(_GAP):
        code = one.shape.removeprefix(_GAP)
        yield Gap(code, _where(claim, one.focus) or "the claim", _found(claim, code, one.focus))


def _where(claim: Claim, address: str) -> str:
    """A part of the claim as a person finds it: `series 1, evidence 2`."""
    parts = address.removeprefix(claim.address()).strip("/").split("/")
    pairs = [f"{key} {number}" for key, number in zip(parts[::2], parts[1::2], strict=False)]
    return ", ".join(pair.replace("fire 1", "fire") for pair in pairs)


def _found(claim: Claim, code: str, address: str) -> str:
    """What was found there, for the gaps that follow from a computation."""
    said = [value.strip('"') for subject, key, value in facts(claim) if subject == f"<{address}>"
            and local(key.strip("<>")) == _FOUND.get(code)]  # fmt: skip
    return "; ".join(said)


_FOUND: Final = {"other-means": "unlike", "wrong-look": "wrong_at", "zone-not-shown": "not_shown_at"}
