"""What follows from a claim's form by plain arithmetic, as facts that shapes/claims.ttl can read."""

from collections.abc import Iterator, Sequence
from typing import Final

from wareontology.replica.claim_fields import FIELD, Form
from wareontology.replica.claim_read import Claim
from wareontology.replica.claim_turtle import Triple
from wareontology.replica.materials import materials
from wareontology.replica.traits import Trait, mean, overlap, pooled, seen
from wareontology.sherd.record import Sherd
from wareontology.technique.limits import limits

FIRE: Final = ("atmosphere", "ending", "temperature", "structure")
Wrong = tuple[Trait, str, str]
"""A trait that is off, what the originals show and what the replica shows."""


def facts(claim: Claim) -> Iterator[Triple]:
    """The derived facts, in the manner of `claim_turtle.triples`."""
    of = claim.address()
    form = claim.form
    series: Sequence[Form] = form.get("series", ())
    yield _fact(of, "successes", sum(one.get("came_out", 0) for one in series))
    yield _fact(of, "firing_count", sum(one.get("firings", 1) for one in series))
    yield _fact(of, "originals_described", len(claim.originals))
    yield _fact(of, "replicas_described", len(claim.replicas))
    for number, one in enumerate(series, start=1):
        here = f"{of}/series/{number}"
        if one.get("came_out", 0) > 0:
            yield f"<{of}>", f"<{FIELD}successful>", f"<{here}>"
        yield _fact(here, "counts_add", _adds(one))
        for key in _unlike(one.get("fire", {}), form.get("technique", {})):
            yield _fact(f"{here}/fire/1", "unlike", key)
    for number, one in enumerate(form.get("material", ()), start=1):
        modern = one.get("modern", False) or ("is" in one and materials()[one["is"]].access == "modern")
        yield _fact(f"{of}/material/{number}", "is_modern", modern)
    for number, step in enumerate(form.get("step", ()), start=1):
        for place, means in enumerate(step.get("means", ()), start=1):
            here = f"{of}/step/{number}/means/{place}"
            yield _fact(here, "is_modern", means.get("modern", False))
            yield _fact(here, "too_late", means.get("known_from", -99999) > form.get("ware_to", 99999))
    for number, one in enumerate(form.get("ground", ()), start=1):
        claimed = one.get("structure") in form.get("technique", {}).get("structure", ())
        yield _fact(f"{of}/ground/{number}", "of_claimed_structure", claimed)
    for trait, _, _ in wrong(claim):
        yield _fact(of, "wrong_at", f"{trait.zone}, {trait.layer}, {trait.trait}")
    for zone in not_shown(claim):
        yield _fact(of, "not_shown_at", zone)


def _fact(subject: str, key: str, value: object) -> Triple:
    if isinstance(value, bool):
        return f"<{subject}>", f"<{FIELD}{key}>", "true" if value else "false"
    text = str(value) if isinstance(value, int) else f'"{value}"'
    return f"<{subject}>", f"<{FIELD}{key}>", text


def _adds(series: Form) -> bool:
    fired, out = series.get("fired", 0), series.get("came_out", 0)
    return bool(out <= fired and ("failed" not in series or out + series["failed"] == fired))


def _unlike(done: Form, claimed: Form) -> list[str]:
    """Fields in which a fire as it was done is none that is claimed."""
    return [
        key for key in FIRE if done.get(key) and claimed.get(key) and not set(done[key]) <= set(claimed[key])
    ]


def wrong(claim: Claim) -> tuple[Wrong, ...]:
    """Where the likest replica still looks other than the originals; empty where one is right throughout."""
    if not claim.originals or not claim.replicas:
        return ()
    found = [off(claim.originals, replica) for replica in claim.replicas]
    return min(found, key=len)


def off(originals: Sequence[Sherd], replica: Sherd) -> tuple[Wrong, ...]:
    """Where one replica looks other than the originals together."""
    limit = limits()["claim_look_overlap"]
    theirs = {trait: mean(shares) for trait, shares in pooled(originals).items() if trait.refired is None}
    return tuple(
        (trait, _top(theirs[trait]), _top(shares))
        for trait, shares in seen(replica).items()
        if trait in theirs and overlap(theirs[trait], shares) < limit
    )


def _top(shares: object) -> str:
    assert isinstance(shares, dict)
    return str(max(shares, key=lambda word: (shares[word], word)))


def not_shown(claim: Claim) -> tuple[str, ...]:
    """Zones that were seen on originals and on no replica, where replicas are described at all."""
    if not claim.replicas:
        return ()
    theirs = {row.zone for sherd in claim.originals for row in sherd.rows}
    ours = {row.zone for sherd in claim.replicas for row in sherd.rows}
    return tuple(sorted(theirs - ours))
