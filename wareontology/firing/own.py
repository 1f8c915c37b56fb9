"""A potter's own numbers: triangles fitted to what was learned, as TOML, read again for `simulate`."""

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from wareontology.errors import BreaksShape, Fault, Unreadable
from wareontology.firing import uncertain
from wareontology.firing.plan import Plan

if TYPE_CHECKING:
    from wareontology.firing.learn import Learned

_LARGEST: Final = 1_000_000
_ENDS: Final = ("low", "likeliest", "high")


@dataclass(frozen=True, slots=True)
class OwnRange:
    """One own range. of: the range it stands for, as "earth-dry gaps"; "" where it stands for any."""

    name: str
    of: str
    low: float
    likeliest: float
    high: float


@dataclass(frozen=True, slots=True)
class OwnNumbers:
    """Own ranges. Those of another paint, cover or fuel than a plan's are left aside for it."""

    ranges: tuple[OwnRange, ...]

    def of_plan(self, plan: Plan) -> dict[str, tuple[float, float, float]]:
        """The ranges that hold for a plan, by name of input, as `simulate` takes them.

        >>> from wareontology.firing.plan import example
        >>> mine = from_text('[cover_gaps]\\nof = "sand gaps"\\nlow = 1e-5\\nlikeliest = 1e-4\\nhigh = 1e-3')
        >>> mine.of_plan(example("covered-pit"))
        {}
        """
        own = {(one.name, one.of): (one.low, one.likeliest, one.high) for one in self.ranges}
        found = {}
        for each in uncertain.inputs(plan, uncertain.tables()):
            for of in (f"{each.range.data_set} {each.range.symbol}", ""):
                if (each.name, of) in own:
                    found[each.name] = own[each.name, of]
                    break
        return found


def to_toml(found: "Learned") -> str:
    """What was learned as TOML, for `simulate --own FILE`. Ranges that did not move are left out."""
    names = ", ".join(dict.fromkeys(one.plan.name for one in found.after))
    lines = [
        "# Own numbers, learned by wareontology from what these firings showed:",
        f"# {names}".replace("\n", " "),
        f"# Effective sample size {found.members:.0f} of {found.after[0].members} simulated firings,"
        f" {found.sets:.1f} of {found.after[0].sets} sets of laws.",
        "# Each range is a triangle and stands alone: how they hang together is lost. `of` says what it is",
        "# the range of: it is left aside for another paint, cover or fuel. What differs from fire to fire",
        "# is mixed with what is usual.",
        "# Use: wareontology simulate PLAN --own THIS_FILE",
    ]
    for one in sorted(found.moved, key=lambda each: each.name):
        if one.own is None:
            continue
        low, likeliest, high = (_figures(value) for value in one.own)
        lines += [
            "", f"# {one.words}", f"[{one.name}]", f'of = "{one.of}"', f"low = {low}",
            f"likeliest = {likeliest}", f"high = {high}",
        ]  # fmt: skip
    return "\n".join(lines) + "\n"


def read(path: Path | str) -> OwnNumbers:
    """Own numbers from a TOML file. Unreadable, or BreaksShape with every fault."""
    try:
        raw = Path(path).read_bytes()
    except OSError as error:
        raise Unreadable(f"{path}: {error.strerror}; would do: a file that learn --own wrote") from error
    if len(raw) > _LARGEST:
        raise Unreadable(f"{path}: found {len(raw):,} bytes; would do: a file that learn --own wrote")
    try:
        return from_text(raw.decode("utf-8"), Path(path).name)
    except UnicodeDecodeError:
        raise Unreadable(f"{path}: found bytes that are not UTF-8; would do: a text file in UTF-8") from None


def from_text(text: str, file: str = "own numbers") -> OwnNumbers:
    """Own numbers from a text.

    >>> from_text("[grain_m]\\nlow = 1e-6\\nlikeliest = 2e-6\\nhigh = 1e-7")
    Traceback (most recent call last):
    wareontology.errors.BreaksShape: own numbers, column grain_m: found '1e-06, 2e-06, 1e-07'; would do: \
low, likeliest and high, rising
    """
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise Unreadable(f"{file}: {error}; would do: [grain_m] with low, likeliest and high") from error
    faults: list[Fault] = []
    ranges = [_range(file, name, value, faults) for name, value in table.items()]
    if faults:
        raise BreaksShape(faults)
    return OwnNumbers(tuple(one for one in ranges if one is not None))


def _range(file: str, name: str, value: Any, faults: list[Fault]) -> OwnRange | None:
    if name not in uncertain.NAMES:
        near = get_close_matches(name, sorted(uncertain.NAMES), 2, 0.5) or sorted(uncertain.NAMES)
        faults.append(Fault(file, None, name, name, " or ".join(near)))
        return None
    parts: Mapping[str, Any] = value if isinstance(value, dict) else {}
    unknown = set(parts) - {*_ENDS, "of"}
    three = [parts.get(end) for end in _ENDS]
    if unknown or not all(isinstance(one, int | float) and not isinstance(one, bool) for one in three):
        faults.append(Fault(file, None, name, _shown(parts or value), "low, likeliest and high as numbers"))
        return None
    low, likeliest, high = (float(one) for one in three)  # type: ignore[arg-type]
    if not (np.isfinite(low) and np.isfinite(high) and low <= likeliest <= high):
        found = ", ".join(f"{one:g}" for one in (low, likeliest, high))
        faults.append(Fault(file, None, name, found, "low, likeliest and high, rising"))
        return None
    return OwnRange(name, str(parts.get("of", "")), low, likeliest, high)


def _shown(value: object) -> str:
    if isinstance(value, Mapping):
        return ", ".join(_parts(value.items()))
    return str(value)


def _parts(items: Iterable[tuple[object, object]]) -> Iterable[str]:
    for key, value in items:
        yield f"{key} = {value}"


def _figures(value: float) -> str:
    """Four figures, as TOML writes a number."""
    text = f"{value:.4g}"
    return text if any(mark in text for mark in ".e") else f"{text}.0"
