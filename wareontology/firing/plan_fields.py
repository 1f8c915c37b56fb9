"""What may stand in a firing plan: each quantity with its unit in its name, its limits and what it is."""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Field:
    """One key of a plan. A number has limits and a `stem` that its unit follows; a word has choices, or
    none."""

    section: str
    name: str
    meaning: str
    low: float | None = None
    high: float | None = None
    choices: tuple[str, ...] = ()

    @property
    def is_number(self) -> bool:
        return self.low is not None

    @property
    def stem(self) -> str:
        """The name without its unit.

        >>> Field("cover", "depth_m", "", 0, 2).stem, Field("load", "pots", "", 1, 9).stem
        ('depth', 'pots')
        """
        return self.name.removesuffix(f"_{self.unit}") if self.unit else self.name

    @property
    def unit(self) -> str:
        last = self.name.rsplit("_", 1)[-1]
        whole = "m_s" if self.name.endswith("_m_s") else last
        return whole if whole in UNITS else ""


UNITS: Final = {
    "m": "m", "mm": "mm", "kg": "kg", "c": "°C", "min": "min", "s": "s", "m_s": "m/s", "share": "of 1",
}  # fmt: skip
TARGETS: Final = ("black-on-white",)
ZONES: Final = ("inside", "outside", "both")
PAINTS: Final = ("iron", "iron-gloss")
TOP_BY: Final = ("glow", "cone", "thermocouple")
MOUTHS: Final = ("up", "down")
SECTIONS: Final = ("", "site", "load", "fuel", "fire", "cover", "open")

FIELDS: Final = (
    Field("", "name", "what the plan is called"),
    Field("", "structure", "what is fired in"),
    Field("", "procedure", "how the fire is ended"),
    Field("", "target", "what is wanted", choices=TARGETS),
    Field("", "target_zone", "where it is wanted", choices=ZONES),
    Field("", "paint", "an iron paint, or one made so fine that it sinters", choices=PAINTS),
    Field("", "note", "anything"),
    Field("site", "altitude_m", "height above the sea", -430, 5500),
    Field("site", "air_c", "temperature of the air", -30, 50),
    Field("site", "wind_m_s", "wind", 0, 20),
    Field("load", "pots", "how many pots", 1, 5000),
    Field("load", "radius_m", "half the width of the heap of pots", 0.05, 5),
    Field("load", "length_m", "length of a long load", 0.1, 20),
    Field("load", "width_m", "width of a long load", 0.1, 5),
    Field("load", "height_m", "height of the heap of pots", 0.05, 5),
    Field("load", "pot_diameter_m", "width of a pot", 0.02, 1),
    Field("load", "wall_mm", "thickness of a pot's wall", 1, 30),
    Field("load", "moisture_share", "water left in the pots, of their dry weight", 0, 0.3),
    Field("load", "mouth", "how the pots stand in the load", choices=MOUTHS),
    Field("fuel", "kind", "what is burned"),
    Field("fuel", "mass_kg", "how much of it", 0.1, 20000),
    Field("fire", "preheat_min", "time at the edge of the fire before flames reach the pots", 0, 1440),
    Field("fire", "heat_min", "time from flames to the top heat", 1, 2880),
    Field("fire", "soak_min", "time kept there", 0, 1440),
    Field("fire", "top_c", "top heat, at the hottest pots", 400, 1100),
    Field("fire", "top_by", "how the top heat is told", choices=TOP_BY),
    Field("cover", "material", "what is laid over"),
    Field("cover", "depth_m", "how deep", 0.001, 2),
    Field("cover", "delay_s", "from open flames, or from the fire, to shut", 0, 3600),
    Field("cover", "charcoal_kg", "charcoal put under the cover, coals of the fire not counted", 0, 2000),
    Field("cover", "charcoal_inside_kg", "charcoal shut in under the mouth of each pot", 0, 20),
    Field("cover", "depth_in_charcoal_m", "charcoal over the topmost pots", 0, 1),
    Field("cover", "smoke_fuel", "fresh fuel thrown in before it is shut"),
    Field("cover", "smoke_fuel_kg", "how much of it", 0, 1000),
    Field("open", "below_c", "opened when the middle of the load is cooler than this", 20, 800),
)
BY_NAME: Final = {(one.section, one.name): one for one in FIELDS}

_TO_METRE: Final = {
    "m": 1.0,
    "cm": 0.01,
    "mm": 0.001,
    "km": 1000.0,
    "in": 0.0254,
    "inch": 0.0254,
    "ft": 0.3048,
}
_TO_KG: Final = {"kg": 1.0, "g": 0.001, "lb": 0.45359237, "lbs": 0.45359237, "t": 1000.0}
_TO_S: Final = {"s": 1.0, "sec": 1.0, "min": 60.0, "h": 3600.0, "hours": 3600.0}
_TO_M_S: Final = {"m_s": 1.0, "km_h": 1 / 3.6, "mph": 0.44704, "knots": 0.514444}
_TO_SHARE: Final = {"share": 1.0, "percent": 0.01}
_OF_UNIT: Final = {
    "m": _TO_METRE, "mm": _TO_METRE, "kg": _TO_KG, "min": _TO_S, "s": _TO_S, "m_s": _TO_M_S,
    "share": _TO_SHARE,
}  # fmt: skip


def other_units(field: Field) -> tuple[str, ...]:
    """Units a number may have been given in by mistake.

    >>> other_units(BY_NAME["cover", "depth_m"])[:2]
    ('cm', 'mm')
    """
    known = ("f", "k") if field.unit == "c" else tuple(_OF_UNIT.get(field.unit, ()))
    return tuple(unit for unit in known if unit != field.unit)


def converted(field: Field, value: float, unit: str) -> float | None:
    """A value in another unit, in the field's own; None where that unit is none of its kind.

    >>> converted(BY_NAME["cover", "depth_m"], 4, "in"), converted(BY_NAME["fire", "top_c"], 1472, "f")
    (0.1016, 800.0)
    """
    if field.unit == "c":
        ways = {"c": value, "f": (value - 32) / 1.8, "k": value - 273.15}
        return round(ways[unit], 6) if unit in ways else None
    scale = _OF_UNIT.get(field.unit, {})
    return round(value * scale[unit] / scale[field.unit], 9) if unit in scale else None
