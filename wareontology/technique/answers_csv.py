"""Answers as CSV that no spreadsheet takes for formulas: a line a sherd, or a line a value."""

import csv
import io
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final

from wareontology.sherd.csv_out import guarded
from wareontology.sherd.record import Sherd
from wareontology.technique.words_for_odds import ranked

Answered = Iterable[tuple[Sherd, Mapping[str, Any]]]

WHOLE: Final = ("atmosphere", "ending", "temperature", "space")
HEADING: Final = (
    "sherd", "observer", "region", "site",
    *(f"{question}{part}" for question in WHOLE for part in ("", "_p", "_state")),
    "temperature_low", "temperature_high", "body", "slips", "paints", "conflict_bits", "next_test",
    "data_hash",
)  # fmt: skip
ODDS_HEADING: Final = ("sherd", "observer", "question", "value", "p", "p_flat", "verdict")


def to_csv(answers: Answered) -> str:
    """A line a sherd: the likeliest of each question, its probability, decided or not, and the next test."""
    return _table(HEADING, (_line(sherd, answer) for sherd, answer in answers))


def odds_csv(answers: Answered) -> str:
    """A line a value of each question, with its probability here and under flat firings."""
    return _table(ODDS_HEADING, (line for sherd, answer in answers for line in _odds(sherd, answer)))


def _line(sherd: Sherd, answer: Mapping[str, Any]) -> list[str]:
    verdict = answer["verdict"]
    about = [sherd.seen[name].text if name in sherd.seen else "" for name in ("region", "site")]
    cells = [sherd.sherd, sherd.observer or "", *about]
    for question in WHOLE:
        cells += [verdict[question]["value"], _p(verdict[question]["p"]), verdict[question]["state"]]
    tests = answer["next_tests"]
    cells += [*verdict["temperature"]["interval"], _layers(answer, "body")]
    cells += [_layers(answer, layer) for layer in ("slip", "paint")]
    return [
        *cells,
        f"{answer['conflict']['bits']:.2f}",
        tests[0]["label"] if tests else "",
        answer["data_hash"],
    ]


def _layers(answer: Mapping[str, Any], layer: str) -> str:
    """The likeliest of each layer of a kind: `paint:line iron-family 0.84 decided`."""
    said = [
        f"{unit} {verdict['value']} {_p(verdict['p'])} {verdict['state']}"
        for unit, verdict in answer["verdict"].items()
        if unit.partition(":")[0] == layer
    ]
    return "; ".join(said)


def _odds(sherd: Sherd, answer: Mapping[str, Any]) -> Iterator[list[str]]:
    flat = answer["flat"]
    questions = {question: (answer[question], flat[question]) for question in WHOLE}
    questions |= {unit: (odds, flat["materials"][unit]) for unit, odds in answer["materials"].items()}
    for question, (here, apart) in questions.items():
        state = answer["verdict"][question]["state"]
        for value, p in ranked(here):
            yield [sherd.sherd, sherd.observer or "", question, value, _p(p), _p(apart[value]), state]


def _p(p: float) -> str:
    return f"{p:.4f}"


def _table(heading: Iterable[str], lines: Iterable[list[str]]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(heading)
    writer.writerows([guarded(cell) for cell in line] for line in lines)
    return out.getvalue()
