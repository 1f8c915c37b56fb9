"""Labels a person gives, read and scored."""

import math
from pathlib import Path
from typing import Any

import pytest

from wareontology.errors import BreaksShape, Unreadable
from wareontology.technique.labels import Label, read_labels, score


def answer(sherd: str = "K", **odds: Any) -> dict[str, Any]:
    fire = {"oxidising": 0.5, "neutral": 0.25, "reducing": 0.25}
    paint = {"iron": 0.5, "manganese": 0.125, "organic": 0.375}
    families = {"iron-family": 0.5, "manganese-family": 0.125, "organic": 0.375}
    return {
        "sherd": sherd, "atmosphere": fire, "materials": {"paint:line": paint},
        "families": {"paint:line": families}, **odds,
    }  # fmt: skip


def label(question: str, *values: str, sherd: str = "K") -> Label:
    return Label(sherd, question, frozenset(values), 2)


def written(folder: Path, text: str) -> Path:
    path = folder / "known.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_scores_by_hand() -> None:
    labels = [label("atmosphere", "reducing"), label("atmosphere", "oxidising", "neutral")]
    found = score([answer()], labels)["all"]
    assert (found["labels"], found["top_right"]) == (2, 1)
    assert found["log_score_bits"] == pytest.approx((math.log2(0.25) + math.log2(0.75)) / 2, abs=1e-4)
    assert found["blind_bits"] == pytest.approx((math.log2(1 / 3) + math.log2(2 / 3)) / 2, abs=1e-4)
    # 0.75² + 0.5² + 0.25² for the first; (1 - 0.75)² + 0.25² for the second: the squares by hand
    assert found["brier"] == pytest.approx((0.5625 + 0.25 + 0.0625 + 0.0625 + 0.0625) / 2, abs=1e-4)


def test_a_family_is_scored_among_families_and_a_material_among_materials() -> None:
    labels = [label("paint:line", "manganese-family"), label("paint:line", "iron", "organic")]
    found = score([answer()], labels)["questions"]["paint"]
    assert found["log_score_bits"] == pytest.approx((math.log2(0.125) + math.log2(0.875)) / 2, abs=1e-4)


def test_each_observer_of_a_sherd_is_scored() -> None:
    both = [answer(), answer(atmosphere={"oxidising": 0.0, "neutral": 0.0, "reducing": 1.0})]
    assert score(both, [label("atmosphere", "reducing")])["all"]["labels"] == 2


@pytest.mark.parametrize("one", [label("atmosphere", "reducing", sherd="L"), label("slip", "gloss")])
def test_a_label_of_what_was_not_answered_is_refused(one: Label) -> None:
    with pytest.raises(BreaksShape):
        score([answer()], [one])


def test_labels_are_read(tmp_path: Path) -> None:
    path = written(
        tmp_path, "sherd,question,value\nK,atmosphere,reducing | neutral\nK,paint:line,iron-family\n"
    )
    assert read_labels(path) == [
        Label("K", "atmosphere", frozenset({"reducing", "neutral"}), 2),
        Label("K", "paint:line", frozenset({"iron-family"}), 3),
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("sherd,question\nK,atmosphere\n", "found the heading sherd, question"),
        ("", "found the heading nothing"),
        ("sherd,question,value\nK,atmosfere,reducing\n", "row 2, column question"),
        ("sherd,question,value\nK,atmosphere,red\n", "oxidising | neutral | reducing"),
        ("sherd,question,value\n,atmosphere,reducing\n", "row 2, column sherd"),
        ("sherd,question,value\nK\n", "row 2, column question"),
    ],
)
def test_what_is_no_label_is_refused(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises((BreaksShape, Unreadable)) as caught:
        read_labels(written(tmp_path, text))
    assert said in str(caught.value)


def test_no_file_and_no_text_are_refused(tmp_path: Path) -> None:
    (tmp_path / "binary").write_bytes(b"\xff\xfe\x00")
    for name in ("none", "binary"):
        with pytest.raises(Unreadable):
            read_labels(tmp_path / name)
