"""Tables as typed in against those physics made, on the published labels: `python -m tests.published.compare`
writes compare.csv.

The tables as typed in lie in frozen/by-hand/ and are never edited. They tell no colour of paint by heat.
"""

import csv
import io
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from wareontology import paths
from wareontology.sherd.record import Sherd
from wareontology.sherd.table import read
from wareontology.technique.accuracy import odds_on
from wareontology.technique.case import Case
from wareontology.technique.likelihoods.model import Model
from wareontology.technique.likelihoods.schema import TABLES
from wareontology.technique.likelihoods.shipped import shipped_tables
from wareontology.technique.likelihoods.table_file import Given, read_givens
from wareontology.technique.likelihoods.tables import Tables
from wareontology.technique.scoring import Prediction, brier, log_score, probability_of, top
from wareontology.technique.units import units

HERE: Final = Path(__file__).parent
FILE: Final = HERE / "compare.csv"
SIDES: Final = ("by hand", "physics", "shipped")
"""As typed in; the shipped likelihoods with the priors as typed in; the shipped likelihoods and priors."""
HEAD: Final = ("sherd", "question", "label", *SIDES, *(f"right {side}" for side in SIDES))


_NONE: Final = ("",) * len(SIDES)


def lines(name: str) -> list[dict[str, str]]:
    with (HERE / name).open(encoding="utf-8", newline="") as rows:
        return list(csv.DictReader(line for line in rows if not line.startswith("#")))


@cache
def tables() -> tuple[Tables, ...]:
    """The tables of each side."""
    frozen = HERE / "frozen" / "by-hand"
    likelihoods, priors = frozen / "likelihoods.csv", frozen / "priors.csv"
    return _read(likelihoods, priors), _read(paths.data("likelihoods.csv"), priors), shipped_tables()


def _read(*files: Path) -> Tables:
    """A table that has gained a condition since takes a frozen row for any value of it."""
    givens: list[Given] = []
    for source in files:
        with source.open(encoding="utf-8", newline="") as file:
            rows = [_widened(row) for row in csv.DictReader(file)]
        out = io.StringIO()
        writer = csv.DictWriter(out, fieldnames=list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
        with TemporaryDirectory() as folder:
            path = Path(folder) / source.name
            path.write_text(out.getvalue(), encoding="utf-8")
            givens += read_givens(path, sum(len(given.entries) for given in givens))
    return Tables(givens)


def _widened(row: dict[str, str]) -> dict[str, str]:
    wanted = len(TABLES[row["table"]].given) if row["table"] in TABLES else 0
    missing = wanted - len(row["given"].split(";"))
    return row | {"given": row["given"] + ";*" * max(missing, 0)}


@cache
def sherds() -> Mapping[str, Sherd]:
    return {sherd.sherd: sherd for sherd in read(HERE / "sherds.csv").sherds}


def prediction(line: Mapping[str, str], side: Tables) -> Prediction:
    """The odds on the question of a label under some tables, by family where the label is one."""
    sherd = sherds()[line["sherd"]]
    found = units(sherd)
    case = Case(sherd, found, Model.of(side, sherd.region, False, bool(found.paints)))
    odds = odds_on(case, case.marginals, line["question"], frozenset(line["label"].split("|")))
    assert odds is not None, line
    return odds


def rows() -> Iterator[tuple[str, ...]]:
    """The comparison, a label a row, then count, log score and Brier of each side."""
    scored = [line for line in lines("labels.csv") if line["scored"] == "yes"]
    labels = [frozenset(line["label"].split("|")) for line in scored]
    sides = [[prediction(line, side) for line in scored] for side in tables()]
    for line, label, *each in zip(scored, labels, *sides, strict=True):
        chances = [f"{probability_of(one, label):.3f}" for one in each]
        right = ["yes" if top(one) in label else "no" for one in each]
        yield (line["sherd"], line["question"], line["label"], *chances, *right)
    counts = [sum(top(one) in label for one, label in zip(side, labels, strict=True)) for side in sides]
    scores = [
        log_score([probability_of(one, label) for one, label in zip(side, labels, strict=True)])
        for side in sides
    ]
    briers = [brier(side, labels) for side in sides]
    yield ("all", "top answer right", str(len(scored)), *map(str, counts), *_NONE)
    yield ("all", "log score, mean log2 P(label), bits", "", *(f"{x:.4f}" for x in scores), *_NONE)
    yield ("all", "Brier, sum over classes, 0 to 2", "", *(f"{x:.4f}" for x in briers), *_NONE)


def text() -> str:
    """The file as it is to be."""
    out = io.StringIO()
    out.write(
        "# Chance given to each published label. by hand: the tables as typed in; physics: the shipped\n"
    )
    out.write("# likelihoods with the priors as typed in; shipped: likelihoods and priors as shipped.\n")
    out.write("# Written by python -m tests.published.compare; a test holds it.\n")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(HEAD)
    writer.writerows(rows())
    return out.getvalue()


if __name__ == "__main__":
    FILE.write_text(text(), encoding="utf-8")
    print(FILE)
