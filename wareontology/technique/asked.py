"""A table asked sherd by sherd; what goes wrong on one sherd does not stop the others."""

import re
import sys
import traceback
from collections.abc import Iterator
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path
from typing import Any, Final

from wareontology import __version__
from wareontology.errors import Fault, WareontologyError
from wareontology.sherd.handed import Handed
from wareontology.sherd.record import Sherd
from wareontology.technique.answer import answers
from wareontology.technique.case import WHOLE
from wareontology.technique.hypotheses import LAYERS
from wareontology.technique.likelihoods.shipped import shipped_tables
from wareontology.technique.units import units

QUESTIONS: Final = (*WHOLE, *LAYERS)
"""What may be asked of a table; a named slip or paint is slip:NAME or paint:NAME."""


def check_question(question: str) -> None:
    """Raises ValueError for what is no question of any sherd.

    >>> check_question("atmosfere")
    Traceback (most recent call last):
    ValueError: found 'atmosfere'; would do: atmosphere
    """
    if question in QUESTIONS or re.match("(slip|paint):.", question):
        return
    near = get_close_matches(question.casefold(), QUESTIONS, n=1)
    raise ValueError(f"found {question!r}; would do: {''.join(near) or ', '.join(QUESTIONS)}")


def own_priors(file: str | None) -> Path | None:
    """The file of a person's own priors, read once so that its faults are told before any answer."""
    if file is None:
        return None
    shipped_tables(0, Path(file))
    return Path(file)


@dataclass
class Asked:
    """What is asked of a table.

    priors: a TOML file of a person's own priors. stop: raise where this program itself fails on a sherd,
    instead of noting it and asking the next one.

    own_faults: one message for each sherd on which it failed.
    """

    table: Handed
    question: str | None = None
    draws: int = 200
    engine: str = "fast"
    explain: str | None = None
    priors: Path | None = None
    stop: bool = False
    own_faults: list[str] = field(default_factory=list)

    def answers(self) -> Iterator[tuple[Sherd, dict[str, Any]]]:
        """Each good sherd with its answer. Raises Unreadable where there is no table."""
        waiting: dict[tuple[str, str | None], Sherd] = {}
        sherds = self._sherds(waiting)
        done = False
        while not done:
            try:
                for answer in answers(
                    sherds, draws=self.draws, question=self.question, engine=self.engine,
                    explain=self.explain, priors=self.priors,
                ):  # fmt: skip
                    yield waiting.pop((answer["sherd"], answer["observer"])), answer
                done = True
            except (WareontologyError, OSError):
                raise
            except Exception as error:
                if self.stop or not waiting:
                    raise
                self.own_faults += [
                    f"sherd {name} is not answered: {own_fault(error)}" for name, _ in waiting
                ]
                waiting.clear()

    def _sherds(self, waiting: dict[tuple[str, str | None], Sherd]) -> Iterator[Sherd]:
        for sherd in self.table.sherds():
            fault = self._asks_amiss(sherd)
            if fault is not None:
                self.table.refuse([fault])
                continue
            waiting[sherd.sherd, sherd.observer] = sherd
            yield sherd

    def _asks_amiss(self, sherd: Sherd) -> Fault | None:
        """The fault of asking for a layer that the sherd has not."""
        asked = [name for name in (self.question, self.explain) if name is not None and name not in WHOLE]
        if not asked:
            return None
        keys = [unit.key for unit in units(sherd).all()]
        missing = [name for name in asked if name not in keys]
        if not missing:
            return None
        why = "the question asks for a layer that is not on the sherd"
        return Fault(sherd.file, None, None, missing[0], ", ".join(keys), sherd.sherd, why)


def own_fault(error: BaseException) -> str:
    """What to say where the program itself is at fault, and what to hand on.

    >>> try:
    ...     {}["x"]
    ... except KeyError as error:
    ...     own_fault(error).startswith("a fault of this program, not of the table: KeyError: 'x' (")
    True
    """
    frames = traceback.extract_tb(error.__traceback__)
    at = f"{Path(frames[-1].filename).name}, line {frames[-1].lineno}" if frames else "no place known"
    python = ".".join(map(str, sys.version_info[:3]))
    return (
        f"a fault of this program, not of the table: {type(error).__name__}: {error} ({at};"
        f" wareontology {__version__}, Python {python}). Report it with this line and, if it may be"
        " shown, the table. `wareontology --traceback` before the command shows more."
    )
