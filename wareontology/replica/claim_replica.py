"""A claim from the other side: does the reasoner find the replica's own traits compatible with it?"""

from collections.abc import Sequence
from typing import Any, Final

from wareontology.replica.claim_facts import off
from wareontology.replica.claim_read import Claim
from wareontology.replica.claim_rivals import Claimed, Weighed, claimed, rivals, telling, weighed
from wareontology.sherd.record import Sherd
from wareontology.technique.answer import answer
from wareontology.technique.limits import limits

_ASKED: Final = 3
_PLACES: Final = 4


def from_replica(claim: Claim, sherds: Sequence[Sherd]) -> list[dict[str, Any]]:
    """Each record of a replica with what the reasoner makes of it, knowing nothing of how it was fired.

    reading: `compatible` where the claimed way is the likeliest or has at least the limit of a rival,
    `against` where it is hardly possible under both priors, else `doubtful`. sceptic: the tests a sceptic
    would ask for next.
    """
    by = claimed(claim.form)
    return [_one(claim, by, sherd) for sherd in sherds]


def _one(claim: Claim, by: Claimed, sherd: Sherd) -> dict[str, Any]:
    found = weighed([sherd], by)
    odds, flat, prior = (round(p, _PLACES) for p in found.claimed(by))
    said = answer(sherd, draws=0)
    return {
        "sherd": sherd.sherd,
        "reading": reading(found, by),
        "p": odds,
        "flat": flat,
        "before": prior,
        "kept": round(found.kept, _PLACES),
        "likeliest": dict(zip(("atmosphere", "ending", "paint"), _likeliest(found), strict=True)),
        "looks_off": [
            {
                "zone": trait.zone,
                "layer": trait.layer,
                "trait": trait.trait,
                "originals": theirs,
                "replica": ours,
            }
            for trait, theirs, ours in off(claim.originals, sherd)
        ],
        "verdict": said["verdict"],
        "sceptic": _sceptic(sherd, by, found, said),
    }


def reading(found: Weighed, by: Claimed) -> str:
    """compatible, doubtful or against."""
    odds, flat, _ = found.claimed(by)
    if max(odds, flat) < limits()["claim_hardly"]:
        return "against"
    likeliest = by.holds(_likeliest(found))
    others = rivals(found, by, limits()["claim_rival"])
    above = [one for one in others if max(one[1:]) > max(odds, flat)]
    return "compatible" if likeliest or not above else "doubtful"


def _likeliest(found: Weighed) -> tuple[str, str, str | None]:
    return max(found.odds, key=lambda way: (found.odds[way], way[0], way[1], way[2] or ""))


def _sceptic(sherd: Sherd, by: Claimed, found: Weighed, said: dict[str, Any]) -> list[dict[str, Any]]:
    """First what would tell the claimed way from its likeliest rivals, then what is undecided at all."""
    others = rivals(found, by, limits()["claim_rival_listed"])[:_ASKED]
    asked = [test for test in telling([sherd], by, [way for way, _, _ in others]) if test is not None]
    asked += [{"sherd": sherd.sherd, **test} for test in said["next_tests"]]
    by_place = {(test["test"], test["where"]): test for test in reversed(asked)}
    return [by_place[key] for key in dict.fromkeys((test["test"], test["where"]) for test in asked)][:_ASKED]
