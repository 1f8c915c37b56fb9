"""The computed rows of data/likelihoods.csv: made from the ensemble, put in their place in the file."""

import csv
import hashlib
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Final

import numpy as np

from wareontology import paths
from wareontology.redox import buffers
from wareontology.redox.arrays import Floats
from wareontology.technique import hypotheses as h
from wareontology.technique.likelihoods.computed import BASIS, Computed
from wareontology.technique.likelihoods.schema import REFIRE_STEPS
from wareontology.technique.likelihoods.shipped import shipped_tables
from wareontology.technique.physics import laws
from wareontology.technique.physics.ensemble import Chances, Ensemble
from wareontology.technique.physics.fold import folded
from wareontology.technique.physics.refire import USUAL_C, Chip

LEAST: Final = 0.01
"""A chance below this is left to the leak that every outcome has."""
ALIKE: Final = 0.03
"""Neighbouring temperature bands whose chances differ by less share their rows."""

ONE_CLASS: Final = (("550-700", "700-800"), ("900-1000", "above-1000"))
"""Bands that share their rows in every case, so that the posterior has one class of fires for them."""

_JUDGED: Final = float(np.log(2))
"""Half and twice the odds: no computed number that rests on judged ranges is surer than a judged one."""

_IRON: Final = ("magnetite-reoxidation", "maghemite-to-hematite", "hematite-reduction", "oxidised-colour")
_CARBON: Final = ("carbon-burnout", "oxygen-diffusion")
_RESTS_ON: Final[Mapping[str, tuple[tuple[str, ...], tuple[str, ...]]]] = {
    # paint: oxygen lines, data sets of rates
    "iron": (("hematite-magnetite",), _IRON),
    "iron-organic": (("hematite-magnetite",), (*_IRON, *_CARBON)),
    "gloss": (("hematite-magnetite",), _IRON),
    "manganese": (
        ("bixbyite-hausmannite", "hausmannite-manganosite"),
        ("manganese-heating-record", "magnetite-reoxidation", "hematite-reduction"),
    ),
    "organic": ((), _CARBON),
}


@dataclass(frozen=True)
class Rows:
    """Every computed row of one ensemble, as cells in the order of the file's columns."""

    ensemble: Ensemble

    @cached_property
    def leak(self) -> float:
        return shipped_tables().leak

    def all(self) -> dict[tuple[str, str], list[list[str]]]:
        """Rows by table and paint (or `*`)."""
        made = {("paint_colour", paint): list(self._colours(paint)) for paint in _RESTS_ON}
        chip = Chip(self.ensemble)
        for paint in ("iron", "iron-organic", "organic", "manganese"):
            source = str(self.source(paint))
            made["refire_turns", paint] = list(self._steps(paint, chip.steps(paint), source))
        for paint, heat in (("iron", USUAL_C), ("iron-organic", USUAL_C), ("manganese", 1000.0)):
            after = chip.after(paint, heat)
            made["refire_after", paint] = list(self._words("refire_after", paint, after, self.source(paint)))
        made["refire_minutes", "*"] = [self._doubling(chip)]
        return made

    def source(self, paint: str) -> Computed:
        """What a paint's rows rest on, named as in data/constants.csv."""
        constants = self.ensemble.draws.constants
        lines, rates = _RESTS_ON[paint]
        sets = [name for pair in lines for name in buffers.data_sets(constants, pair)]
        named = tuple(dict.fromkeys((*sets, *rates)))
        used = [row for row in constants.rows if row.data_set in named and row.provenance]
        digest = hashlib.sha256(repr(used).encode())
        for name in ("fire_histories.csv", "phase_colours.csv", "gas.csv"):
            digest.update(paths.data(name).read_bytes())
        return Computed(
            named, self.ensemble.draws.size, self.ensemble.seed, laws.VERSION, digest.hexdigest()[:8]
        )

    @cached_property
    def _folded(self) -> Mapping[tuple[str, str, str], list[Chances]]:
        return folded(self.ensemble)

    def _colours(self, paint: str) -> Iterator[list[str]]:
        """For each local history and atmosphere before it the bands that are alike, hottest last."""
        for history in h.HISTORIES:
            before = [
                atmosphere for atmosphere in h.ATMOSPHERE if (paint, history, atmosphere) in self._folded
            ]
            for atmosphere in before:
                fire = _fires(atmosphere, before)
                for bands, chances in _grouped(self._folded[paint, history, atmosphere]):
                    heat = "*" if len(bands) == len(h.TEMPERATURE) else "|".join(bands)
                    given = f"{paint};{history};{fire};{heat}"
                    yield from self._words("paint_colour", given, chances, self.source(paint))

    def _words(self, table: str, given: str, chances: Chances, source: Computed) -> Iterator[list[str]]:
        """A row for each word that is not left to the leak, likeliest first; listed and leaks add up to 1."""
        width = len(h.COLOURS) + (2 if table == "refire_after" else 0)
        value = chances.value
        listed = [place for place in np.argsort(-value, kind="stable") if value[place] >= LEAST]
        room = 1 - self.leak * (width - len(listed))
        scale = min(room / value[listed].sum(), 1.0)
        for place in listed:
            low, high = _spread(
                value[place], chances.by_set[:, place],
                chances.judged_low[place], chances.judged_high[place],
            )  # fmt: skip
            yield _row(table, given, h.COLOURS[place], (value[place], low, high), scale, str(source))

    def _steps(self, paint: str, by_set: Floats, source: str) -> Iterator[list[str]]:
        value = np.maximum(by_set.mean(axis=0), self.leak)
        value = value / value.sum()
        for place, step in enumerate(REFIRE_STEPS[:-1]):
            middle = _log_odds(value[place])
            judged = _share(middle - _JUDGED), _share(middle + _JUDGED)
            low, high = _spread(value[place], by_set[:, place], *judged)
            yield _row("refire_turns", paint, step, (value[place], low, high), 1.0, source)

    def _doubling(self, chip: Chip) -> list[str]:
        """Of the iron law; one number stands for every paint."""
        by_set = chip.kelvin_per_doubling()
        numbers = (by_set.mean(), by_set.min(), by_set.max())
        cells = [f"{number:.3g}" for number in numbers]
        return ["refire_minutes", "*", "celsius_per_doubling", *cells, BASIS, str(self.source("iron"))]


def _fires(atmosphere: str, before: Sequence[str]) -> str:
    """How a row names its atmosphere. One that never leads to the history stands with the first that does, so
    that the table is whole."""
    if len(before) == 1:
        return "*"
    idle = [one for one in h.ATMOSPHERE if one not in before] if atmosphere == before[0] else []
    return "|".join([*idle, atmosphere])


def _grouped(chances: Sequence[Chances]) -> Iterator[tuple[tuple[str, ...], Chances]]:
    """Runs of neighbouring bands whose chances are alike, each with their mean."""
    runs: list[list[int]] = []
    for place, here in enumerate(chances):
        pair = (h.TEMPERATURE[place - 1], h.TEMPERATURE[place])
        if runs and (pair in ONE_CLASS or np.abs(here.value - chances[runs[-1][0]].value).max() < ALIKE):
            runs[-1].append(place)
        else:
            runs.append([place])
    for run in runs:
        parts = [chances[place] for place in run]
        mean = Chances(*(sum(getattr(one, name) for one in parts) / len(parts) for name in Chances.__slots__))
        yield tuple(h.TEMPERATURE[place] for place in run), mean


def _spread(value: float, by_set: Floats, judged_low: float, judged_high: float) -> tuple[float, float]:
    """Low and high: the sets of laws from their 5th to their 95th part and the judged words, in log odds, as
    two independent widths."""
    floor = 1e-3
    sets = [_log_odds(float(x)) for x in np.clip(np.percentile(by_set, (5, 95)), floor, 1 - floor)]
    words = [_log_odds(min(max(x, floor), 1 - floor)) for x in (judged_low, judged_high)]
    middle = _log_odds(value)
    down = np.hypot(max(middle - sets[0], 0), max(middle - words[0], 0))
    up = np.hypot(max(sets[1] - middle, 0), max(words[1] - middle, 0))
    return _share(middle - down), _share(middle + up)


def _log_odds(share: float) -> float:
    return float(np.log(share / (1 - share)))


def _share(log_odds: float) -> float:
    return float(1 / (1 + np.exp(-log_odds)))


def _row(
    table: str, given: str, outcome: str, numbers: tuple[float, float, float], scale: float, source: str
) -> list[str]:
    """Three figures, rounded so that low and high stay on their side of the value."""
    value = np.floor(numbers[0] * scale * 1e4) / 1e4
    low = min(np.floor(numbers[1] * scale * 1e4) / 1e4, value)
    high = max(np.ceil(numbers[2] * scale * 1e4) / 1e4, value)
    cells = [f"{number:.4g}" for number in (value, max(low, 1e-4), min(high, 0.9999))]
    return [table, given, outcome, *cells, BASIS, source]


# --- the file ---


def written(lines: Sequence[str], made: Mapping[tuple[str, str], Sequence[Sequence[str]]]) -> str:
    """The file with its computed rows made anew: each paint's stand where its old ones stood. Every other
    line is kept as it is. KeyError for a table and paint the file has no rows of."""
    left = dict(made)
    seen: set[tuple[str, str]] = set()
    text: list[str] = []
    for line in lines:
        table, given, *_ = next(csv.reader([line]))
        key = (table, given.partition(";")[0])
        if key not in made:
            text.append(line)
        elif key not in seen:
            seen.add(key)
            text += [_line(row) for row in left.pop(key)]
    if left:
        raise KeyError(f"likelihoods.csv: no rows to put anew for {sorted(left)}")
    return "\n".join([*text, ""])


def _line(cells: Sequence[str]) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="").writerow(cells)
    return out.getvalue()


def write(target: Path | None = None, ensemble: Ensemble | None = None) -> Path:
    """Write data/likelihoods.csv with its computed rows made anew, and say where. The same input gives the
    same bytes."""
    shipped = paths.data("likelihoods.csv")
    lines = shipped.read_text(encoding="utf-8").splitlines()
    path = target or shipped
    path.write_text(written(lines, Rows(ensemble or Ensemble()).all()), encoding="utf-8", newline="")
    return path
