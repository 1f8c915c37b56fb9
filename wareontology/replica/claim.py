"""A claim judged: three separate verdicts, what it lacks, what else would give the look, what it rests on."""

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from typing import Any, Final

from wareontology import __version__, paths
from wareontology.replica.claim_fields import Form
from wareontology.replica.claim_gaps import Gap, gaps
from wareontology.replica.claim_learned import learned, sources, taught
from wareontology.replica.claim_read import Claim
from wareontology.replica.claim_rivals import Claimed, Way, Weighed, claimed, rivals, telling, weighed
from wareontology.replica.claim_verdicts import VERDICTS, bearings, speaks_for, verdicts
from wareontology.replica.success_share import Share, share
from wareontology.sherd.record import Sherd
from wareontology.technique.answer import data_hash as answer_hash
from wareontology.technique.limits import limits

HASHED: Final = ("claim_fields.csv", "claim_reasons.csv", "materials.ttl", "tradition_terms.ttl")
_PLACES: Final = 4
NOTES: Final = (
    "Three verdicts, each apart. That a thing can be done does not say that it was done so.",
    "Pots of one firing share its luck: the interval takes them as independent and is narrower for it.",
    "A sherd tells little of what it was fired in: that rests on what was found in the ground.",
    "Nothing here says what a pot is worth or whether it is genuine.",
)


def judged(claim: Claim) -> dict[str, Any]:
    """The answer to a claim, as plain data.

    Keys: schema software data_hash claim verdicts gaps rivals claimed_odds share learned taught sources
    notes. A verdict has state, reason (in words) and because (codes of claim-reason).

    Raises BreaksShape where the claim lacks what it must have.
    """
    lacking = list(gaps(claim))
    by = claimed(claim.form)
    looks = claim.originals or claim.replicas
    found = weighed(looks, by) if looks else None
    counted = _share(claim.form)
    codes = [gap.code for gap in lacking]
    reasons = [*codes, *_of_success(codes), *_of_share(counted, codes)]
    reasons += _of_look(found, by) if claim.originals and found is not None else []
    verdict = verdicts(reasons)
    lacking += [Gap(code, "the claim") for code in reasons if code not in codes and not speaks_for(code)]
    over = [name for name in claim.form.get("says", ()) if verdict[name].state != "shown"]
    lacking += [Gap("overclaimed", "the claim", ", ".join(over))] if over else []
    return {
        "schema": "https://wareontology.example/def/Claim",
        "software": f"wareontology {__version__}",
        "data_hash": data_hash(),
        "claim": _plain(claim.form),
        "verdicts": {
            name: {"state": one.state, "reason": one.reason(), "because": list(one.because)}
            for name, one in verdict.items()
        },
        "gaps": [_gap(gap) for gap in lacking],
        "rivals": list(_rivals(looks, by, found)) if found is not None else [],
        "claimed_odds": _claimed_odds(found, by, "originals" if claim.originals else "replicas"),
        "share": _share_data(counted),
        "learned": learned(claim.form),
        "taught": taught(claim.form),
        "sources": sources(claim.form),
        "notes": list(NOTES),
    }


def _share(form: Form) -> Share | None:
    fired = sum(one["fired"] for one in form.get("series", ()))
    out = sum(one["came_out"] for one in form.get("series", ()))
    return share(out, fired, limits()["claim_confidence"]) if fired and out <= fired else None


def _of_success(codes: Sequence[str]) -> list[str]:
    """A success, seen or documented and right at every zone: nothing speaks against possible."""
    against = [code for code in codes if "possible" in bearings()[code]]
    return [] if against else ["success-right-everywhere"]


def _of_share(counted: Share | None, codes: Sequence[str]) -> list[str]:
    if counted is None:
        return []
    limit = limits()["claim_share"]
    if counted.high < limit:
        return ["seldom-comes-out"]
    return ["comes-out-reliably"] if counted.low >= limit else ["few-pots"]


def _of_look(found: Weighed, by: Claimed) -> list[str]:
    """What the originals say: of the two priors the one that is worse for the claim counts."""
    odds, flat, prior = found.claimed(by)
    least, most = min(odds, flat), max(odds, flat)
    codes = []
    if most < limits()["claim_hardly"]:
        codes.append("evidence-against-technique")
    others = rivals(found, by, limits()["claim_rival"])
    if others:
        codes.append("rival-gives-this-look")
    gained = _odds(odds) >= limits()["claim_more_than_prior"] * _odds(prior)
    decided = least >= limits()["claim_decided"] and found.kept >= limits()["claim_kept"] and gained
    if not decided:
        codes.append("evidence-undecided")
    return codes or ["others-do-not"]


def _odds(p: float) -> float:
    return p / max(1 - p, 1e-12)


def _gap(gap: Gap) -> dict[str, Any]:
    return {
        "code": gap.code,
        "sentence": gap.sentence,
        "where": gap.where,
        "found": gap.found,
        "bears_on": [name for name in VERDICTS if name in bearings()[gap.code]],
    }


def _rivals(looks: Sequence[Sherd], by: Claimed, found: Weighed) -> Iterator[dict[str, Any]]:
    """The other ways, likeliest first, each with the test that would tell it from the claimed one."""
    others = rivals(found, by, limits()["claim_rival_listed"])
    tests = telling(looks, by, [way for way, _, _ in others])
    for (way, odds, flat), test in zip(others, tests, strict=True):
        yield {**_way(way), "p": round(odds, _PLACES), "flat": round(flat, _PLACES),
               "differs": list(by.differs(way)), "test": test}  # fmt: skip


def _way(way: Way) -> dict[str, str | None]:
    return dict(zip(("atmosphere", "ending", "paint"), way, strict=True))


def _claimed_odds(found: Weighed | None, by: Claimed, of: str) -> dict[str, Any] | None:
    if found is None:
        return None
    odds, flat, prior = (round(p, _PLACES) for p in found.claimed(by))
    return {"p": odds, "flat": flat, "before": prior, "kept": round(found.kept, _PLACES),
            "sherds": found.count, "of": of}  # fmt: skip


def _share_data(counted: Share | None) -> dict[str, Any] | None:
    if counted is None:
        return None
    low, value, high = (round(p, _PLACES) for p in (counted.low, counted.value, counted.high))
    return {"came_out": counted.came_out, "fired": counted.fired, "value": value, "low": low, "high": high,
            "confidence": limits()["claim_confidence"]}  # fmt: skip


def _plain(form: Form) -> dict[str, Any]:
    """The form as JSON has it: lists for tuples."""
    return {key: _plain_value(value) for key, value in form.items()}


def _plain_value(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_plain_value(one) for one in value]
    return _plain(value) if isinstance(value, Mapping) else value


@cache
def data_hash() -> str:
    """SHA-256 over every data file and shape a claim's answer rests on, the first 16 digits."""
    digest = hashlib.sha256(answer_hash().encode())
    for path in (*(paths.data(name) for name in HASHED), paths.shapes("claims.ttl")):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:16]
