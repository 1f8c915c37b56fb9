"""The cells of a plan's text, each checked on its own: limits, choices, units, slips of the pen."""

import re
from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from typing import Any

from wareontology.errors import Fault
from wareontology.firing.plan_fields import BY_NAME, FIELDS, SECTIONS, Field, converted, other_units

Key = tuple[str, str]


class Lines:
    """Where a key stands in the text: TOML's reader does not say.

    >>> print(Lines("[cover]\\ndepth_m = 9", "a.toml").fault("cover", "depth_m", 9, "0.001 to 2"))
    a.toml, row 2, column cover.depth_m: found '9'; would do: 0.001 to 2
    """

    def __init__(self, text: str, file: str) -> None:
        self.file = file
        self._rows: dict[tuple[str, str], int] = {}
        section = ""
        for number, line in enumerate(text.splitlines(), 1):
            head = re.match(r"\s*\[\s*([^\[\]]+?)\s*\]", line)
            key = re.match(r"\s*[\"']?([^\s=\"'#]+)[\"']?\s*=", line)
            if head:
                section = head[1]
                self._rows.setdefault((section, ""), number)
            elif key:
                self._rows.setdefault((section, key[1]), number)

    def fault(self, section: str, name: str, found: object, would_do: str, why: str = "") -> Fault:
        """A fault at a key, or in a whole section."""
        column = f"{section}.{name}" if section and name else section or name
        return Fault(self.file, self._rows.get((section, name)), column, str(found), would_do, why=why)


def cells(table: Mapping[str, Any], lines: Lines, faults: list[Fault]) -> Iterator[tuple[Key, float | str]]:
    """Every cell that stands well on its own; what does not goes to `faults`."""
    for key, value in table.items():
        if isinstance(value, dict):
            if key not in SECTIONS:
                near = get_close_matches(key, SECTIONS[1:], n=2) or SECTIONS[1:]
                faults.append(lines.fault(key, "", f"[{key}]", " or ".join(f"[{one}]" for one in near)))
                continue
            for name, inner in value.items():
                yield from _cell(key, name, inner, value, lines, faults)
        else:
            yield from _cell("", key, value, table, lines, faults)


def _cell(
    section: str, name: str, value: Any, beside: Mapping[str, Any], lines: Lines, faults: list[Fault]
) -> Iterator[tuple[tuple[str, str], float | str]]:
    field = BY_NAME.get((section, name))
    if field is None:
        faults.append(_unknown(section, name, value, beside, lines))
    elif not field.is_number:
        if not isinstance(value, str):
            faults.append(lines.fault(section, name, value, 'a word in quotes, such as "…"'))
        elif field.choices and value not in field.choices:
            near = get_close_matches(value, field.choices, n=1) or field.choices
            faults.append(lines.fault(section, name, value, " or ".join(near)))
        else:
            yield (section, name), value
    elif isinstance(value, bool) or not isinstance(value, int | float):
        faults.append(lines.fault(section, name, value, _from_words(field, value)))
    elif not _low(field) <= value <= _high(field):
        span = f"{_low(field):g} to {_high(field):g} ({field.meaning})"
        faults.append(lines.fault(section, name, value, span))
    else:
        yield (section, name), float(value)


def _low(field: Field) -> float:
    return float("-inf") if field.low is None else field.low


def _high(field: Field) -> float:
    return float("inf") if field.high is None else field.high


def _from_words(field: Field, value: Any) -> str:
    """What would do for a number given as words, such as "10 cm"."""
    said = re.fullmatch(r"\s*(-?[\d.]+)\s*°?\s*([A-Za-z_/%]+)\s*", str(value))
    if said:
        unit = said[2].lower().replace("/", "_").replace("%", "percent")
        right = converted(field, float(said[1]), unit)
        if right is not None:
            return f"{field.name} = {right:g}"
    return f"{field.name} as a number, from {_low(field):g} to {_high(field):g}"


def _unknown(section: str, name: str, value: Any, beside: Mapping[str, Any], lines: Lines) -> Fault:
    """A key no plan has: another unit, another section, or a slip of the pen."""
    for field in FIELDS:
        for unit in other_units(field) if field.section == section and field.is_number else ():
            if (
                name != f"{field.stem}_{unit}"
                or isinstance(value, bool)
                or not isinstance(value, int | float)
            ):
                continue
            right = f"{field.name} = {converted(field, value, unit):g}"
            both = f"{field.name} alone: it is given in two units" if field.name in beside else right
            return lines.fault(section, name, value, both)
        if field.section == section and field.stem == name and field.unit:
            return lines.fault(section, name, value, f"{field.name}, with its unit in its name")
    elsewhere = [one for one in FIELDS if one.name == name]
    if elsewhere:
        where = f"[{elsewhere[0].section}]" if elsewhere[0].section else "the head of the plan"
        return lines.fault(section, name, value, f"{name} under {where}")
    known = [one.name for one in FIELDS if one.section == section]
    near = get_close_matches(name, known, n=3, cutoff=0.5) or known
    return lines.fault(section, name, value, " or ".join(near))
