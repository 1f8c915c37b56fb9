"""Firings a plan tries: every structure with every end of its fire, and one thing changed at a time."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from wareontology.firing import plan as plans
from wareontology.firing.plan import Plan
from wareontology.firing.plan_fields import SECTIONS
from wareontology.firing.structures import things
from wareontology.replica.means import Limits, at_hand

Key = tuple[str, str]
Values = Mapping[Key, float | str]

DEPTHS_M: Final = (0.05, 0.1, 0.2, 0.3)
CHARCOAL_KG: Final = (0.0, 1.0, 4.0)
INSIDE_KG: Final = (0.05, 0.1, 0.3)
_NOTE: Final = (
    "# Written by wareontology plan: computed, nobody has fired it. Edit the numbers to your own fire.\n"
    "# Slip-fit, shrinkage and colour tiles come first.\n"
    "# Carbon monoxide kills: fire in the open, stay upwind.\n"
)


@dataclass(frozen=True)
class Fire:
    """One firing to try: what its plan gives; the rest is usual for its structure."""

    values: Values

    @property
    def structure(self) -> str:
        return str(self.values["", "structure"])

    @property
    def procedure(self) -> str:
        return str(self.values["", "procedure"])

    @property
    def pair(self) -> tuple[str, str]:
        return self.structure, self.procedure

    @cached_property
    def plan(self) -> Plan:
        """The checked plan."""
        return plans.from_text(self.toml(), "plan")

    def but(self, **changes: float | str) -> "Fire":
        """The same with something else; names as `cover__depth_m`."""
        changed = {(section, name): value for key, value in changes.items()
                   for section, _, name in [key.rpartition("__")]}  # fmt: skip
        return Fire({**self.values, **changed})

    def toml(self) -> str:
        """Its plan as TOML, which `simulate` and `log` read.

        >>> print(Fire({("", "structure"): "pit", ("fire", "top_c"): 800.0}).toml().split(chr(10), 3)[3])
        structure = "pit"
        <BLANKLINE>
        [fire]
        top_c = 800.0
        <BLANKLINE>
        """
        parts = []
        for section in SECTIONS:
            lines = [
                f"{name} = {json.dumps(value, ensure_ascii=False)}"
                for (of, name), value in self.values.items()
                if of == section
            ]
            head = [f"[{section}]"] if section and lines else []
            parts += ["\n".join([*head, *lines]) + "\n"] if lines else []
        return _NOTE + "\n".join(parts)


def first(structure: str, procedure: str, by: Limits) -> Fire:
    """A structure's usual fire with one of its ends, within the limits.

    >>> first("covered-pit", "smother", Limits()).plan.word("cover", "material")
    'earth-dry'
    """
    ends, of = things("procedure")[procedure], things("structure")[structure]
    fuels = at_hand("fuel", by)
    values: dict[Key, float | str] = {
        ("", "name"): f"{of.label}, {ends.label}", ("", "structure"): structure, ("", "procedure"): procedure,
        ("", "target"): "black-on-white", ("", "target_zone"): "both", ("", "paint"): "iron",
        ("site", "altitude_m"): by.altitude_m,
        ("fuel", "kind"): "hardwood" if "hardwood" in fuels else fuels[0],
        ("fire", "top_c"): of.usual("top_c"), ("fire", "top_by"): "glow",
    }  # fmt: skip
    covers = at_hand("cover", by)
    if "covers" in ends.does:
        values["cover", "material"] = "earth-dry" if "earth-dry" in covers else covers[0]
        values["cover", "depth_m"] = DEPTHS_M[1]
    if "shuts the mouth" in ends.does:
        values["cover", "charcoal_inside_kg"] = INSIDE_KG[1]
    return Fire(values)


def changes(structure: str, procedure: str, by: Limits) -> Iterator[Mapping[str, float | str]]:
    """What may be changed in such a fire, one thing at a time: heat, soak, fuel, cover, depth, charcoal, how
    the pots stand. For `Fire.but`."""
    of = things("structure")[structure]
    top, does = of.quantity("top_c"), things("procedure")[procedure].does
    for end in (top.low, top.high):
        yield {"fire__top_c": round((end + top.usually) / 2 / 10) * 10.0}
    yield {"fire__soak_min": 3 * of.usual("soak_min")}
    yield from ({"fuel__kind": fuel} for fuel in at_hand("fuel", by))
    if "covers" in does:
        yield from ({"cover__material": one} for one in at_hand("cover", by))
        yield from ({"cover__depth_m": one} for one in DEPTHS_M)
        if "charcoal" not in by.without:
            yield from ({"cover__charcoal_kg": one} for one in CHARCOAL_KG)
    if "shuts the mouth" in does:
        yield from ({"cover__charcoal_inside_kg": one} for one in INSIDE_KG)
    elif "pulls" not in does:
        yield {"load__mouth": "down"}
