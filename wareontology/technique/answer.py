"""The answer for one sherd: every key that people, programs and the page read."""

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any, Final

from wareontology import __version__, paths
from wareontology.graph.sources import sources
from wareontology.sherd.record import Sherd
from wareontology.technique import computed_source, rule_record, rules
from wareontology.technique.case import (
    MAIN,
    Case,
    Odds,
    air_odds,
    applied_odds,
    carbon_odds,
    family_odds,
    material_odds,
    whole_odds,
)
from wareontology.technique.count_traditions import counted_in
from wareontology.technique.likelihoods.tables import DRAWS
from wareontology.technique.look_alikes import look_alikes
from wareontology.technique.next_test import next_tests
from wareontology.technique.posterior import Marginals
from wareontology.technique.repeats import Repeats
from wareontology.technique.trail import Trail
from wareontology.technique.verdict import robust, verdicts
from wareontology.technique.weigh import conflict, flips

SCHEMA: Final = "https://wareontology.example/shape/answer.schema.json"
HASHED: Final = (
    "vocabulary.ttl", "regions.ttl", "sources.ttl", "likelihoods.csv", "priors.csv", "histories.csv",
    "counts.csv", "counting.csv", "rule_records.json", "traditions.json.gz", "tests.csv", "limits.csv",
    "munsell.csv", "colour_words.csv", "columns.csv",
)  # fmt: skip
ENGINES: Final = {"fast": rules.evaluate, "shacl": rules.evaluate_by_standard_engine}
_PLACES: Final = 6


def answers(
    sherds: Iterable[Sherd], *, draws: int = DRAWS, question: str | None = None, engine: str = "fast",
    explain: str | None = None, priors: Path | None = None,
) -> Iterator[dict[str, Any]]:  # fmt: skip
    """One answer a sherd, in order; see `answer`. What was seen on an earlier sherd is not asked again."""
    repeats = Repeats()
    for sherd in sherds:
        found = repeats.find(sherd)
        if found is None:
            found = answer(
                sherd, draws=draws, question=question, engine=engine, explain=explain, priors=priors
            )
            repeats.keep(sherd, found)
        yield found


def answer(
    sherd: Sherd, *, draws: int = DRAWS, question: str | None = None, engine: str = "fast",
    explain: str | None = None, drawn: Case | None = None, priors: Path | None = None,
) -> dict[str, Any]:  # fmt: skip
    """What one sherd says: materials, fire, how sure, why, and what to do next.

    draws: how many common draws of the uncertain numbers tell how robust the answer is; 0 for none.
    question: rank the next tests for this question alone (`atmosphere`, `ending`, `temperature`, `space`
        or a unit such as `paint`). engine: `fast`, or `shacl` for the findings by the standard engine.
    explain: say for this question what moved its odds, as the key `explain`. priors: a TOML file of a
        person's own priors (`likelihoods.own_priors`).
    drawn: the case under its draws, from whoever has it already; else it is made.

    Raises ValueError for an unknown question or engine.
    """
    if engine not in ENGINES:
        raise ValueError(f"engine: found {engine!r}; would do: {' or '.join(ENGINES)}")
    case = Case.of(sherd, own=priors)
    for name, asked_for in (("question", question), ("explain", explain)):
        if asked_for is not None and asked_for not in case.questions():
            raise ValueError(f"{name}: found {asked_for!r}; would do: one of {', '.join(case.questions())}")
    if drawn is None and draws:
        drawn = Case.of(sherd, draws, own=priors)
    shares = robust(case, drawn) if drawn is not None else None
    clash = conflict(case)
    verdict = verdicts(case, shares, clash, drawn)
    asked = [question] if question is not None else open_questions(verdict)
    findings, not_applied = ENGINES[engine](sherd, case.units)
    trail = Trail(case)
    belief = _belief(case, case.marginals)
    why = {} if explain is None else {"explain": _explained(case, explain, verdict, trail)}
    return {
        "schema": SCHEMA,
        "software": f"wareontology {__version__}",
        "data_hash": data_hash(),
        "sherd": sherd.sherd,
        "observer": sherd.observer,
        **belief,
        "flat": _belief(case, _flat(case, priors)),
        "priors": _priors(case, priors),
        "findings": [_finding(finding) for finding in findings],
        "not_applied": [{"rule": one.rule, "unit": one.unit, "why": one.why} for one in not_applied],
        "verdict": verdict,
        "conflict": clash,
        "robust": shares,
        "next_tests": next_tests(case, asked),
        "flips": flips(case, case.questions()),
        "look_alikes": look_alikes(sherd, belief),
        "not_looked": not_looked(case),
        "sources": _sources({(one.source, one.basis) for one in findings if one.source}, trail),
        "notes": [*case.units.notes, *endings_apart(case), *trail.against_physics()],
        **why,
    }


def _explained(
    case: Case, question: str, verdict: Mapping[str, Mapping[str, Any]], trail: Trail
) -> dict[str, Any]:
    from wareontology.technique.explain import explain  # only where it is asked for

    return explain(case, question, verdict[question]["value"], trail)


def open_questions(verdict: Mapping[str, Mapping[str, Any]]) -> list[str]:
    """The undecided questions that the next test should settle: the atmosphere, the ending, slips and paints.

    The body's clay, the heat and the structure are ranked only where they are asked for.
    """
    return [
        name
        for name, found in verdict.items()
        if found["state"] == "undecided" and name.partition(":")[0] in MAIN
    ]


def _flat(case: Case, priors: Path | None) -> Marginals:
    """Marginals under flat firings. What was seen is as likely there: only the fires' prior differs."""
    return Case.of(case.sherd, flat=True, own=priors).given([case.items])


def _belief(case: Case, result: Marginals) -> dict[str, Any]:
    paints = case.units.paints
    whole = whole_odds(case.model, case.sherd, result)
    return {
        "materials": {unit.key: _plain(material_odds(unit, result)) for unit in case.units.all()},
        "families": {unit.key: _plain(family_odds(unit, result)) for unit in paints},
        "carbon": {"body": _plain(carbon_odds(result))},
        "applied": {unit.key: _plain(applied_odds(unit, result)) for unit in paints},
        **{question: _plain(odds) for question, odds in whole.items()},
        "air": {zone: _plain(odds) for zone, odds in air_odds(result).items()},
    }


def _finding(finding: rules.Finding) -> dict[str, Any]:
    return {
        "rule": finding.rule,
        "unit": finding.unit,
        "concludes": finding.concludes,
        "kind": finding.kind,
        "because": list(finding.because),
        "unless": [{"exception": label, "state": state} for label, state in finding.unless],
        "source": finding.source,
        "basis": finding.basis,
        "record": rule_record.shipped()[finding.rule],
    }


def _plain(odds: Odds) -> dict[str, float]:
    return {value: round(float(p[0]), _PLACES) for value, p in odds.items()}


def _priors(case: Case, own: Path | None) -> dict[str, Any]:
    nearest = next(region for region in case.model.regions if case.model.tables.has_region(region))
    behind = 0 if own is not None else len(counted_in(nearest))
    counted = "stated fields of published traditions counted over common practice"
    practice = "your own" if own is not None else counted if behind else "common practice"
    return {
        "table": "priors.csv and counts.csv" if own is None else own.name,
        "region": case.sherd.region,
        "level": nearest,
        "white_firing_clay": case.model.scarcity,
        "traditions": behind,
        "basis": f"the region's geology; {practice}",
    }


def not_looked(case: Case) -> list[str]:
    """Zones and traits that were not looked at and would matter, as a reader would name them."""
    zones = {row.zone for row in case.sherd.rows} | case.sherd.looked
    missing = [
        name
        for zone, name in (("interior", "inside"), ("exterior", "outside"), ("break", "broken edge"))
        if zone not in zones
    ]
    wanted = {
        "paint": ("edge", "relief", "lustre", "magnet", "rubs_off", "refire_colour"),
        "slip": ("lustre", "refire_colour"),
        "body": ("core",),
    }
    for unit in case.units.all():
        for column in wanted[unit.layer] if unit.rows else ():
            if not any(row.get(column) for row in unit.rows):
                missing.append(f"{unit.key}: {_NAMES.get(column, column)}")
    return missing


def endings_apart(case: Case) -> list[str]:
    """Where mouth-down and a leaky cover are both likely and a surface met the air: what tells them apart."""
    ending = whole_odds(case.model, case.sherd, case.marginals)["ending"]
    likely = sorted(ending, key=lambda value: -float(ending[value][0]))[:2]
    aired = [
        zone
        for zone, odds in air_odds(case.marginals).items()
        if float(odds["open"][0] + odds["leaked"][0]) > 0.5
    ]
    if set(likely) != {"mouth-down", "sealed"} or not aired:
        return []
    return [
        f"The {' and the '.join(aired)} met the air: the pot stood mouth-down, or its cover leaked there. "
        "To tell them apart look at the rim (half and half all round where it stood mouth-down), for "
        "stacking or fuel-contact marks (a leak or a touching neighbour reddens one side only), and at other "
        "sherds of the same pot."
    ]


_NAMES: Final = {"refire_colour": "refiring", "rubs_off": "rubbing"}


def _sources(cited: set[tuple[str, str]], trail: Trail) -> list[dict[str, str]]:
    """Sources of the rules that fired and of the rows that mattered, each with the basis of what rests on it;
    for what was computed the data sets and the ensemble."""
    return [
        {"id": key, "citation": computed_source.citation(key) or sources().get(key, key), "basis": basis}
        for key, basis in sorted(cited | set(trail.bases()))
    ]


@cache
def data_hash() -> str:
    """SHA-256 over every data file and rule that an answer rests on, the first 16 digits."""
    digest = hashlib.sha256()
    for path in (*(paths.data(name) for name in HASHED), paths.shapes("rules.ttl")):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:16]
