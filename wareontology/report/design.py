"""An experiment designed, as data: what to fire, where in the pit, what each result would do."""

from typing import Any, Final

from wareontology import __version__
from wareontology.replica.design import Chosen, Question, greedy, readings
from wareontology.replica.design_sheet import laid_out

NOTES: Final = (
    "Tiles of body, slip and paint first: a slip-fit tile and a shrinkage tile before any firing is claimed.",
    "Expected bits take results as independent given a hypothesis; tiles of one firing share its luck, so "
    "fire the same again before much is made of it.",
    "Who fires knows labels and places, who reads the tiles knows labels alone. The key stays with somebody "
    "else until all readings are written down.",
    "Write down the reading before the key is opened, failures too; keep every tile, and mark it for good.",
    "A chip of an original is destroyed by refiring: it needs the owner's leave.",
    "Carbon monoxide kills: fire in the open and stay upwind. Hot pots look cold. Local codes and licensed "
    "practice decide.",
)
_PLACES: Final = 4


def designed(question: Question, most: int, firings: int | None, seed: int) -> dict[str, Any]:
    """The tiles chosen greedily, laid out, with what each result would refute. Errors as `greedy`.

    Keys: software seed hypotheses entropy_bits expected_bits chosen tiles key results notes. `tiles` is what
    whoever fires and reads may see; `key` is what they may not.
    """
    chosen = greedy(question, most, firings)
    placed = laid_out(chosen.trials, seed)
    return {
        "software": f"wareontology {__version__}",
        "seed": seed,
        "hypotheses": {
            name: round(float(p), _PLACES)
            for name, p in zip(question.hypotheses, question.chances(), strict=True)
        },
        "entropy_bits": round(chosen.entropy, _PLACES),
        "expected_bits": round(chosen.bits[-1], _PLACES) if chosen.bits else 0.0,
        "chosen": list(_steps(chosen)),
        "tiles": [{"label": one.label, "firing": one.firing, "place": one.place} for one in placed],
        "key": [{"label": one.label, "tile": one.tile, "control": one.control} for one in placed],
        "results": [
            {
                "trial": one.trial, "result": one.result, "chance": round(one.chance, _PLACES),
                "after": {name: round(p, _PLACES) for name, p in one.after.items()},
                "refutes": list(one.refutes), "supports": list(one.supports),
            }
            for one in readings(question, chosen.trials)
        ],
        "notes": list(NOTES),
    }  # fmt: skip


def _steps(chosen: Chosen) -> list[dict[str, Any]]:
    before = [0.0, *chosen.bits]
    return [
        {"trial": trial.name, "firing": trial.firing, "adds_bits": round(bits - less, _PLACES)}
        for trial, bits, less in zip(chosen.trials, chosen.bits, before, strict=False)
    ]
