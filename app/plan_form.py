"""A firing plan as a form and back: every field with its unit in words, blanks for what is usual."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from wareontology.firing import structures
from wareontology.firing.plan import Plan
from wareontology.firing.plan_fields import FIELDS, Field

HEADS: Final = {
    "": "What", "site": "The place", "load": "The load", "fuel": "The fuel", "fire": "The fire",
    "cover": "The end", "open": "Opening",
}  # fmt: skip
UNIT_WORDS: Final = {
    "m": "metres", "mm": "millimetres", "kg": "kilograms", "c": "°C", "min": "minutes", "s": "seconds",
    "m_s": "metres a second", "share": "share, 0.01 is one in a hundred",
}  # fmt: skip
_THINGS: Final = {
    ("", "structure"): "structure", ("", "procedure"): "procedure", ("fuel", "kind"): "fuel",
    ("cover", "material"): "cover", ("cover", "smoke_fuel"): "fuel",
}  # fmt: skip
_WORDS: Final = {("", "name"), ("", "note")}
LONGEST: Final = 500


@dataclass(frozen=True, slots=True)
class Control:
    """One field of the form. held: what the plan itself says; usual: what is taken where it says nothing."""

    key: str
    words: str
    unit: str
    held: str
    usual: str
    choices: tuple[tuple[str, str], ...]
    span: str


def sections(held: Mapping[str, str], usual: Plan | None) -> list[tuple[str, list[Control]]]:
    """The form's sections, each with its controls.

    >>> from wareontology.firing.plan import example
    >>> [head for head, _ in sections({}, example("trench"))][:3]
    ['What', 'The place', 'The load']
    """
    found: dict[str, list[Control]] = {}
    for field in FIELDS:
        found.setdefault(field.section, []).append(_control(field, held, usual))
    return [(HEADS[section], controls) for section, controls in found.items()]


def held_of(plan: Plan) -> dict[str, str]:
    """What a plan itself says, as the form holds it."""
    found = {}
    for field in FIELDS:
        if (field.section, field.name) in plan.given:
            value = plan.values[field.section, field.name]
            found[_key(field)] = f"{value:g}" if isinstance(value, float) else str(value)
    return found | {"name": plan.name, "structure": plan.structure, "procedure": plan.procedure}


def held_in(form: Mapping[str, str]) -> dict[str, str]:
    """What was typed into a form, blanks left out."""
    keys = [_key(field) for field in FIELDS]
    return {key: form[key].strip()[:LONGEST] for key in keys if form.get(key, "").strip()}


def toml(held: Mapping[str, str]) -> str:
    """The form as a plan's TOML. A number that is none is written as words, so that reading it says what
    would do.

    >>> print(toml({"structure": "pit", "cover.depth_m": "0,1"}))
    structure = "pit"
    <BLANKLINE>
    [cover]
    depth_m = 0.1
    <BLANKLINE>
    """
    lines: list[str] = []
    section = ""
    for field in FIELDS:
        text = held.get(_key(field), "")
        if not text:
            continue
        if field.section != section:
            section = field.section
            lines += ["", f"[{section}]"]
        lines.append(f"{field.name} = {_number(text) if field.is_number else _quoted(text)}")
    return "\n".join(lines) + "\n"


def _control(field: Field, held: Mapping[str, str], usual: Plan | None) -> Control:
    key = _key(field)
    value = usual.values.get((field.section, field.name)) if usual is not None else None
    said = "" if value is None else f"{value:g}" if isinstance(value, float) else str(value)
    span = f"{field.low:g} to {field.high:g}" if field.is_number else ""
    unit = UNIT_WORDS.get(field.unit, "")
    return Control(key, field.meaning, unit, held.get(key, ""), said, _choices(field), span)


def _choices(field: Field) -> tuple[tuple[str, str], ...]:
    kind = _THINGS.get((field.section, field.name))
    if kind is not None:
        none = (("none", "none"),) if field.section == "cover" else ()
        known = [(one.name, one.label) for one in structures.things(kind).values() if one.name != "none"]
        return (*none, *known)
    return tuple((choice, choice.replace("-", " ")) for choice in field.choices)


def _key(field: Field) -> str:
    return f"{field.section}.{field.name}" if field.section else field.name


def _number(text: str) -> str:
    plain = text.replace(",", ".")
    try:
        value = float(plain)
    except ValueError:
        return _quoted(text)
    if value != value or value in (float("inf"), float("-inf")):
        return _quoted(text)
    return repr(value)


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
