"""The deduction step by step: what was seen, what follows by which rule, unless what, how the rule fared."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from wareontology.technique.phrases import sentence
from wareontology.technique.prose_basis import numbers
from wareontology.technique.rule_record import in_words

Answer = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the deduction in words.

    kind: implies, excludes or cautions. record: how the rule fared on published wares; None where it was not
    tried. source: its number among the answer's sources; None where it rests on its basis alone.
    """

    number: int
    rule: str
    label: str
    unit: str
    kind: str
    because: str
    so: str
    not_looked: tuple[str, ...]
    ruled_out: tuple[str, ...]
    record: str | None
    source: int | None
    basis: str


def steps(answer: Answer) -> Iterator[Step]:
    """Each finding of an answer as a step, numbered from 1."""
    numbered = numbers(answer)
    for place, finding in enumerate(answer["findings"], start=1):
        so = _so(finding)
        yield Step(
            number=place,
            rule=finding["rule"],
            label=rule_label(finding["rule"]),
            unit=finding["unit"],
            kind=finding["kind"],
            because=sentence("; ".join(finding["because"])),
            so=sentence(f"caution: {so}") if finding["kind"] == "cautions" else sentence(f"so {so}"),
            not_looked=_exceptions(finding, "not looked"),
            ruled_out=_exceptions(finding, "ruled out"),
            record=in_words(finding["record"], answer["priors"]["region"]),
            source=numbered.get(finding["source"]),
            basis=finding["basis"],
        )


def step_words(step: Step) -> str:
    """A step as one paragraph."""
    said = [step.because, step.so]
    if step.not_looked:
        said.append(f"Unless, not looked for: {'; '.join(step.not_looked)}.")
    if step.ruled_out:
        said.append(f"Looked for and ruled out: {'; '.join(step.ruled_out)}.")
    if step.record is not None:
        said.append(step.record)
    said.append(f"[{step.source}]" if step.source else f"({step.basis})")
    return " ".join(said)


def rule_label(name: str) -> str:
    """A rule's label; its name where it is none of ours."""
    from wareontology.technique.rules import rule

    try:
        return rule(name).label
    except KeyError:
        return name


def _exceptions(finding: Mapping[str, Any], state: str) -> tuple[str, ...]:
    return tuple(one["exception"] for one in finding["unless"] if one["state"] == state)


def _so(finding: Mapping[str, Any]) -> str:
    """The conclusion in the rule's own words, where the rule is one of ours."""
    from wareontology.technique.rules import rule

    try:
        return rule(finding["rule"]).so
    except KeyError:
        return str(finding["concludes"])
