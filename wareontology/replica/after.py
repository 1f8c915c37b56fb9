"""What remains of a technique's evidence if a plan succeeds: other ways to the look, and what would tell."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from wareontology.replica.claim_rivals import Claimed, Weighed, rivals, telling, weighed
from wareontology.replica.look import Look
from wareontology.replica.means import PaintRecipe, ways
from wareontology.technique import hypotheses as h
from wareontology.technique.limits import limits

_LISTED: Final = 3
_PLACES: Final = 4
NOTES: Final = (
    "A pot that comes out shows that it can be done so, not that it was.",
    "What a sherd tells of a firing is the same whoever fired it: the other ways still give the look.",
)


@dataclass
class After:
    """The ways to a look by the reasoner, asked once for all plans."""

    look: Look
    _weighed: dict[str | None, Weighed] = field(default_factory=dict)

    def remains(self, procedure: str, made: Mapping[str, PaintRecipe]) -> dict[str, Any]:
        """Chance that pots of this look were fired and painted so (regional and flat), and what else gives
        it, likeliest first, each with the test that would tell it apart."""
        unit, paint = next(
            ((unit, one) for unit, one in made.items() if unit.startswith("paint")), (None, None)
        )
        atmosphere, ending = ways(procedure)
        name = unit.partition(":")[2] or None if unit else None
        by = Claimed(atmosphere, ending, frozenset((paint.made_of,)) if paint else frozenset(h.PAINT), name)
        if name not in self._weighed:
            self._weighed[name] = weighed(self.look.sherds, by)
        found = self._weighed[name]
        odds, flat, prior = (round(p, _PLACES) for p in found.claimed(by))
        others = rivals(found, by, limits()["claim_rival_listed"])[:_LISTED]
        tests = telling(self.look.sherds, by, [way for way, _, _ in others])
        listed = [
            {
                **dict(zip(("atmosphere", "ending", "paint"), way, strict=True)), "p": round(p, _PLACES),
                "flat": round(even, _PLACES), "differs": list(by.differs(way)), "test": test,
            }
            for (way, p, even), test in zip(others, tests, strict=True)
        ]  # fmt: skip
        return {"p": odds, "flat": flat, "before": prior, "rivals": listed}
