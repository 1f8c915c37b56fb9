"""A firing plan: read from TOML, checked, filled in from what is usual for its structure.

Every quantity has its unit in its name. What is not given is taken from data/structures.ttl; `given` says
what was. A fault names the line, what was found and what would do.
"""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import Any, Final

from wareontology.errors import BreaksShape, Fault, Unreadable
from wareontology.firing import structures
from wareontology.firing.plan_cells import Lines, cells
from wareontology.paths import data

_LARGEST: Final = 1_000_000  # bytes; a plan is a page
_USUAL: Final[Mapping[tuple[str, str], Any]] = {
    ("", "target"): "black-on-white", ("", "target_zone"): "both", ("", "paint"): "iron", ("", "note"): "",
    ("site", "altitude_m"): 0.0, ("site", "air_c"): 20.0, ("site", "wind_m_s"): 1.0,
    ("load", "pots"): 10.0, ("load", "pot_diameter_m"): 0.18, ("load", "wall_mm"): 5.0,
    ("load", "moisture_share"): 0.01, ("load", "mouth"): "up", ("fuel", "kind"): "hardwood",
    ("fire", "top_by"): "glow", ("cover", "material"): "none", ("cover", "depth_m"): 0.1,
    ("cover", "charcoal_kg"): 0.0, ("cover", "charcoal_inside_kg"): 0.0,
    ("cover", "depth_in_charcoal_m"): 0.0, ("cover", "smoke_fuel"): "none", ("cover", "smoke_fuel_kg"): 0.0,
    ("open", "below_c"): 60.0,
}  # fmt: skip
"""What is taken where neither the plan nor the structure says (common practice, or none of it)."""
_OF_STRUCTURE: Final = {
    ("load", "radius_m"): "load_radius_m", ("load", "length_m"): "load_length_m",
    ("load", "width_m"): "load_width_m", ("load", "height_m"): "load_height_m",
    ("fuel", "mass_kg"): "fuel_kg", ("fire", "preheat_min"): "preheat_min", ("fire", "heat_min"): "heat_min",
    ("fire", "soak_min"): "soak_min", ("fire", "top_c"): "top_c",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Plan:
    """A checked plan. `values`: section and name to what holds; `given`: which of them the plan itself
    says."""

    name: str
    structure: str
    procedure: str
    target: str
    target_zone: str
    paint: str
    values: Mapping[tuple[str, str], float | str]
    given: frozenset[tuple[str, str]]

    def number(self, section: str, name: str) -> float:
        """A number of the plan, in the unit its name ends in. KeyError for what is no number of a plan.

        >>> example("covered-pit").number("cover", "depth_m")
        0.1
        """
        return float(self.values[section, name])

    def word(self, section: str, name: str) -> str:
        """A word of the plan.

        >>> example("covered-pit").word("fuel", "kind")
        'juniper'
        """
        return str(self.values[section, name])

    def does(self, what: str) -> bool:
        """Whether its procedure pulls, covers, shuts the mouth or opens hot.

        >>> example("pull-and-cover").does("shuts the mouth")
        True
        """
        return what in structures.things("procedure")[self.procedure].does

    @property
    def area_m2(self) -> float:
        """Ground the load covers, m2: a pot's mouth where the pot is pulled.

        >>> round(example("trench").area_m2, 1)
        2.4
        """
        if self.does("pulls"):
            return 3.141592653589793 * (self.number("load", "pot_diameter_m") / 2) ** 2
        if self.number("load", "length_m"):
            return self.number("load", "length_m") * self.number("load", "width_m")
        return 3.141592653589793 * self.number("load", "radius_m") ** 2


def read(path: Path | str) -> Plan:
    """The plan in a TOML file. Unreadable where it cannot be read, BreaksShape with every fault in it."""
    try:
        raw = Path(path).read_bytes()
    except OSError as error:
        raise Unreadable(f"{path}: {error.strerror}; would do: a plan, such as simulate --example") from error
    if len(raw) > _LARGEST:
        raise Unreadable(f"{path}: found {len(raw)} bytes; would do: a plan of a page or two")
    try:
        return from_text(raw.decode("utf-8"), Path(path).name)
    except UnicodeDecodeError as error:
        raise Unreadable(f"{path}: found bytes that are not UTF-8; would do: a text file in UTF-8") from error


def from_text(text: str, file: str = "plan") -> Plan:
    """The plan in a text.

    >>> from_text('structure = "pit"').procedure
    'leave'
    >>> from_text('structure = "pit"\\n[cover]\\ndepth_cm = 10')
    Traceback (most recent call last):
    wareontology.errors.BreaksShape: plan, row 3, column cover.depth_cm: found '10'; would do: depth_m = 0.1
    """
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise Unreadable(f"{file}: {error}; would do: lines such as depth_m = 0.1 under [cover]") from error
    lines = Lines(text, file)
    faults: list[Fault] = []
    given = dict(cells(table, lines, faults))
    things = {kind: _named(kind, given, lines, faults) for kind in ("structure", "procedure")}
    for kind, key in (
        ("fuel", ("fuel", "kind")),
        ("fuel", ("cover", "smoke_fuel")),
        ("cover", ("cover", "material")),
    ):
        if given.get(key) not in (None, "none"):
            given[key] = _thing(kind, str(given[key]), key, lines, faults)
    if faults:
        raise BreaksShape(faults)
    structure = structures.things("structure")[things["structure"]]
    procedure = things["procedure"] or structure.ends[0]
    values = _filled(given, structure, structures.things("procedure")[procedure])
    plan = Plan(
        str(given.get(("", "name"), structure.label)), structure.name, procedure, str(values["", "target"]),
        str(values["", "target_zone"]), str(values["", "paint"]), values, frozenset(given),
    )  # fmt: skip
    faults += _at_odds(plan, lines)
    if faults:
        raise BreaksShape(faults)
    return plan


def examples() -> tuple[str, ...]:
    """Names of the plans that are shipped, all invented.

    >>> examples()
    ('covered-pit', 'open-fire', 'pull-and-cover', 'trench', 'updraft')
    """
    return tuple(sorted(path.stem for path in data("plans").glob("*.toml")))


def example_text(name: str) -> str:
    """The text of a shipped plan, to be edited. BreaksShape that offers the nearest for an unknown name."""
    if name not in examples():
        near = get_close_matches(name, examples(), n=3, cutoff=0.4) or examples()
        raise BreaksShape([Fault("simulate", None, "--example", name, " or ".join(near))])
    return data("plans", f"{name}.toml").read_text(encoding="utf-8")


def example(name: str) -> Plan:
    """A shipped plan."""
    return from_text(example_text(name), f"{name}.toml")


def _named(kind: str, given: Mapping[tuple[str, str], float | str], lines: Lines, faults: list[Fault]) -> str:
    if ("", kind) not in given:
        if kind == "structure":
            known = " or ".join(structures.things(kind))
            faults.append(lines.fault("", kind, "nothing", known))
        return ""
    return _thing(kind, str(given["", kind]), ("", kind), lines, faults)


def _thing(kind: str, text: str, key: tuple[str, str], lines: Lines, faults: list[Fault]) -> str:
    try:
        return structures.named(kind, text).name
    except BreaksShape as error:
        faults.append(lines.fault(*key, text, error.faults[0].would_do))
        return ""


def _filled(
    given: Mapping[tuple[str, str], float | str], structure: structures.Thing, procedure: structures.Thing
) -> dict[tuple[str, str], float | str]:
    values = {**_USUAL, **{key: structure.usual(name) for key, name in _OF_STRUCTURE.items()}}
    values["cover", "delay_s"] = procedure.usual("delay_s")
    if "opens hot" in procedure.does:
        values["open", "below_c"] = procedure.usual("open_c")
    if "shuts the mouth" in procedure.does:
        values["load", "mouth"] = "down"
    if "covers" in procedure.does:
        values["cover", "material"] = "earth-dry"
    if ("load", "radius_m") in given:
        values["load", "length_m"] = values["load", "width_m"] = 0.0
    return {**values, **given}


def _at_odds(plan: Plan, lines: Lines) -> Iterator[Fault]:
    """What stands well alone and not together."""
    ends = structures.things("structure")[plan.structure].ends
    if plan.procedure not in ends:
        yield lines.fault("", "procedure", plan.procedure, f"{' or '.join(ends)} for {plan.structure}")
    if plan.does("covers") and plan.word("cover", "material") == "none":
        yield lines.fault("cover", "material", "none", "a cover, such as earth-dry", "the procedure covers")
    if plan.procedure == "leave" and plan.word("cover", "material") != "none":
        yield lines.fault("cover", "material", plan.word("cover", "material"), 'procedure = "smother"')
    if plan.number("cover", "charcoal_inside_kg") and plan.word("load", "mouth") == "up":
        yield lines.fault(
            "cover", "charcoal_inside_kg", plan.number("cover", "charcoal_inside_kg"),
            'mouth = "down" under [load]', "an open mouth shuts nothing in",
        )  # fmt: skip
    if plan.number("cover", "smoke_fuel_kg") and plan.word("cover", "smoke_fuel") == "none":
        yield lines.fault("cover", "smoke_fuel", "none", "a fuel, such as dung")
    long_and_wide = {("load", "length_m"), ("load", "width_m")} & plan.given
    if long_and_wide and ("load", "radius_m") in plan.given:
        yield lines.fault("load", "radius_m", "radius with length or width", "one of the two")
