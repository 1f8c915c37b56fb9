"""How well odds foretold what was published: log score, Brier, calibration. Numbers in, numbers out.

A prediction is a mapping of value to probability that sums to 1. A label is the set of values of which any
is right: its probability is their sum.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from math import log2, sqrt
from statistics import NormalDist
from typing import Final, TypeAlias

_EQUAL: Final = 9
Prediction: TypeAlias = Mapping[str, float]


def probability_of(prediction: Prediction, label: Collection[str]) -> float:
    """Probability given to a label.

    >>> probability_of({"iron": 0.5, "gloss": 0.25, "organic": 0.25}, {"iron", "gloss"})
    0.75
    """
    return sum(prediction.get(value, 0.0) for value in sorted(label))


def top(prediction: Prediction) -> str:
    """The likeliest value; of those equal to nine figures the first by name, so rounding decides nothing.

    >>> top({"reducing": 0.4, "neutral": 0.4, "oxidising": 0.2})
    'neutral'
    """
    return min(prediction, key=lambda value: (-round(prediction[value], _EQUAL), value))


def log_score(probabilities: Sequence[float]) -> float:
    """Mean of log2 P(label), in bits: 0 is perfect, each bit below it halves the odds given to the truth.

    Raises ValueError for an empty list and for a label that was held impossible.

    >>> log_score([0.5, 0.25])
    -1.5
    """
    if any(p <= 0.0 for p in probabilities):
        raise ValueError("found a label held impossible; would do: a probability above 0 for every label")
    return sum(log2(p) for p in probabilities) / _count(probabilities)


def brier(predictions: Sequence[Prediction], labels: Sequence[Collection[str]]) -> float:
    """Mean Brier score in the form of 1950: squares summed over all classes, so 0 to 2.

    (Brier 1950. The form for two classes in common use is half of it.) The values of a label count as one.

    >>> round(brier([{"a": 0.7, "b": 0.2, "c": 0.1}], [{"a"}]), 2)
    0.14
    """
    total = 0.0
    for prediction, label in zip(predictions, labels, strict=True):
        others = sum(p * p for value, p in prediction.items() if value not in label)
        total += (1.0 - probability_of(prediction, label)) ** 2 + others
    return total / _count(predictions)


@dataclass(frozen=True, slots=True)
class Bin:
    """Claims with a probability from `low` to `high`: how many, their mean, the share that came true."""

    low: float
    high: float
    count: int
    mean: float
    true: float


def calibration(claims: Sequence[tuple[float, bool]], bins: int = 10) -> tuple[Bin, ...]:
    """Sort claims (probability, came true) into equal bins of probability; empty bins are left out.

    >>> [(b.count, b.mean, b.true) for b in calibration([(0.9, True), (0.9, False), (0.2, False)], bins=2)]
    [(1, 0.2, 0.0), (2, 0.9, 0.5)]
    """
    sorted_in: dict[int, list[tuple[float, bool]]] = {}
    for p, came_true in claims:
        sorted_in.setdefault(min(int(p * bins), bins - 1), []).append((p, came_true))
    return tuple(
        Bin(
            i / bins,
            (i + 1) / bins,
            len(group),
            sum(p for p, _ in group) / len(group),
            sum(came_true for _, came_true in group) / len(group),
        )
        for i, group in sorted(sorted_in.items())
    )


def calibration_error(bins: Sequence[Bin]) -> float:
    """Expected calibration error: gap between mean and share, weighed by count.

    It depends on the bins; say how many.

    >>> calibration_error((Bin(0.5, 1.0, 4, 0.75, 0.5),))
    0.25
    """
    return sum(b.count * abs(b.mean - b.true) for b in bins) / _claims(bins)


def murphy(bins: Sequence[Bin]) -> tuple[float, float, float]:
    """Reliability, resolution and uncertainty of two-class claims (Murphy 1973).

    The Brier score (mean form, 0 to 1) is reliability - resolution + uncertainty, exactly so where all
    claims of a bin are equal.

    >>> murphy((Bin(0.0, 0.5, 1, 0.0, 0.0), Bin(0.5, 1.0, 1, 1.0, 1.0)))
    (0.0, 0.25, 0.25)
    """
    n = _claims(bins)
    base = sum(b.count * b.true for b in bins) / n
    reliability = sum(b.count * (b.mean - b.true) ** 2 for b in bins) / n
    resolution = sum(b.count * (b.true - base) ** 2 for b in bins) / n
    return reliability, resolution, base * (1 - base)


def wilson(holds: int, total: int, confidence: float = 0.95) -> tuple[float, float]:
    """Score interval of a share: it stays within 0 and 1 and is sound for few too.

    Equation: (p + z²/2n ± z √(p(1 − p)/n + z²/4n²)) / (1 + z²/n), z the normal quantile of the confidence.
    Source: Wilson 1927, Journal of the American Statistical Association 22:209-212 (from memory, unverified;
    checked by the definition: at each end the normal test just fails). Of nothing it is 0 to 1.

    >>> [round(end, 3) for end in wilson(18, 20)]
    [0.699, 0.972]
    """
    if not total:
        return 0.0, 1.0
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    share, weight = holds / total, z * z / total
    middle = (share + weight / 2) / (1 + weight)
    half = z * sqrt(share * (1 - share) / total + weight / (4 * total)) / (1 + weight)
    return min(share, max(0.0, middle - half)), max(share, min(1.0, middle + half))  # rounding kept out


def _count(items: Sequence[object]) -> int:
    if not items:
        raise ValueError("nothing to score: found 0 predictions; would do: 1 or more")
    return len(items)


def _claims(bins: Sequence[Bin]) -> int:
    _count(bins)
    return sum(b.count for b in bins)
