"""A claim as a person fills it in: every field checked against what it takes, every fault said."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from wareontology.errors import BreaksShape, Fault
from wareontology.graph.vocabulary import nearest as nearest_word
from wareontology.graph.vocabulary import resolve, scheme
from wareontology.replica.claim_fields import Field, Form, fields, nearest
from wareontology.replica.materials import named

LONGEST: Final = 4000
"""Characters of one text."""
_DEEPEST: Final = 6
_WHOLE: Final = re.compile("-?[0-9]{1,9}")


@dataclass
class Checker:
    """Checks the parts of one claim; `faults` gathers what is wrong."""

    file: str
    faults: list[Fault] = field(default_factory=list)

    def part(self, of: str, found: object, where: str = "") -> dict[str, Any]:
        """The fields of a part, each as it must be; what is not is left out and noted."""
        if not isinstance(found, Mapping) or where.count(",") > _DEEPEST:
            self._note(where or of, found, f"a part with {', '.join(fields(of))}")
            return {}
        for key in found:
            if key not in fields(of):
                self._note(_at(where, str(key)), key, nearest(of, str(key)), "no such field")
        return {
            key: value
            for key, one in fields(of).items()
            if key in found and (value := self._value(one, found[key], where)) not in (None, ())
        }

    def _value(self, one: Field, found: object, where: str) -> Any:
        several: list[object] = list(found) if isinstance(found, (list, tuple)) else [found]
        if not one.many:
            if len(several) != 1:
                self._note(_at(where, one.key), f"{len(several)} values", "one value")
                return None
            return self._one(one, several[0], _at(where, one.key))
        if one.kind == "word" and isinstance(found, str) and _spaced(one, found):
            several = [*found.replace(",", " ").split()]
        values = []
        for number, item in enumerate(several, start=1):
            place = f"{_at(where, one.key)} {number}" if one.kind == "node" else _at(where, one.key)
            if (value := self._one(one, item, place)) is not None:
                values.append(value)
        return tuple(values)

    def _one(self, one: Field, found: object, where: str) -> Any:
        if one.kind == "node":
            return self.part(one.takes[0], found, where)
        if one.kind in ("number", "year"):
            return self._whole(found, where)
        if one.kind == "yes":
            if isinstance(found, bool):
                return found
            return self._refused(where, found, "true or false")
        text = str(found).strip() if isinstance(found, (str, int, float)) else ""
        if not text or len(text) > LONGEST:
            return self._refused(where, found, f"text of 1 to {LONGEST} characters")
        if one.kind == "word":
            return self._word(one, text, where)
        return self._material(text, where) if one.kind == "material" else text

    def _whole(self, found: object, where: str) -> Any:
        """A whole number, also as text."""
        text = str(found).removesuffix(".0") if not isinstance(found, bool) else ""
        if _WHOLE.fullmatch(text):
            return int(text)
        return self._refused(where, found, "a whole number")

    def _word(self, one: Field, text: str, where: str) -> str | None:
        for name in one.takes:
            if (value := resolve(name, text)) is not None:
                return value
        close = [word for name in one.takes for word in nearest_word(name, text)]
        known = close or [word for name in one.takes for word in scheme(name).notations()][:20]
        self._note(where, text, ", ".join(known), "no such word")
        return None

    def _material(self, text: str, where: str) -> str | None:
        try:
            return named(text).key
        except BreaksShape as error:
            self._note(where, text, error.faults[0].would_do, "no such material")
            return None

    def _refused(self, where: str, found: object, would_do: str) -> Any:
        """None, and a fault."""
        self._note(where, found, would_do)

    def _note(self, where: str, found: object, would_do: str, why: str = "") -> None:
        self.faults.append(Fault(self.file, None, where, str(found), would_do, why=why))


def _spaced(one: Field, text: str) -> bool:
    """Whether a text lists several words: `interior exterior`."""
    return not any(resolve(name, text) is not None for name in one.takes)


def _at(where: str, key: str) -> str:
    return f"{where}, {key}" if where else key


def with_people(form: Form) -> dict[str, Any]:
    """The form with a person for every name it uses: a name that no person has as key is itself one.

    >>> with_people({"writer": "Adda Brenning"})["person"]
    ({'key': 'Adda Brenning'},)
    """
    people = list(form.get("person", ()))
    known = {person.get("key") for person in people}
    for name in _people("claim", form):
        if name not in known:
            known.add(name)
            people.append({"key": name})
    return {**form, **({"person": tuple(people)} if people else {})}


def _people(of: str, form: Form) -> list[str]:
    found: list[str] = []
    for key, one in fields(of).items():
        values = form.get(key, ())
        for value in values if isinstance(values, tuple) else (values,):
            if one.kind == "person":
                found.append(value)
            elif one.kind == "node":
                found += _people(one.takes[0], value)
    return found
