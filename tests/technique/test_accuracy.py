"""The accuracy report: kept first score, fresh numbers, honest intervals."""

import json
import random

import pytest
from click.testing import CliRunner

from tests.published.compare import tables as compared
from wareontology.cli import cli
from wareontology.graph.traditions import traditions
from wareontology.paths import data
from wareontology.report.accuracy import FIRST, first_score, shipped
from wareontology.report.accuracy_prose import three_lines
from wareontology.technique.accuracy import Scored, blind, score, summary
from wareontology.technique.answer import data_hash
from wareontology.technique.blind_set import blind_set
from wareontology.technique.count_traditions import countable, tables_from
from wareontology.technique.likelihoods.shipped import shipped_tables
from wareontology.technique.scoring import probability_of


def test_the_first_score_is_that_of_the_frozen_tables() -> None:
    again = {(one.tradition, one.question): one for one in blind(blind_set(), compared()[0])}
    kept = first_score()
    assert {(one.tradition, one.question) for one in kept} == set(again)
    for one in kept:
        wanted = again[one.tradition, one.question].predictions["answer"]
        assert one.label == again[one.tradition, one.question].label
        assert one.predictions["answer"] == pytest.approx(wanted, abs=2e-6)


def test_the_kept_file_agrees_with_the_one_beside_the_frozen_tables() -> None:
    rows = data(FIRST).parents[1] / "tests" / "published" / "frozen" / "before-blind" / "score.csv"
    lines = [
        line.split(",") for line in rows.read_text(encoding="utf-8").splitlines() if not line.startswith("#")
    ][1:]
    kept = {
        (one.tradition, one.question): probability_of(one.predictions["answer"], one.label)
        for one in first_score()
    }
    assert len(lines) == len(kept)
    for tradition, question, _, probability, *_ in lines:
        assert kept[tradition, question] == pytest.approx(float(probability), abs=1e-4)


def test_the_shipped_report_is_a_fresh_one() -> None:
    # All of the blind set, and twelve wares of the leave-one-out: the whole takes half a minute.
    assert shipped()["data_hash"] == data_hash(), "python -m wareontology.build accuracy"
    kept = {(one["how"], one["tradition"], one["question"]): one for one in shipped()["labels"]}
    known = blind_set()
    fresh = {("blind", one.tradition, one.question): one for one in blind(known, tables_from(countable()))}
    for ware in random.Random(4).sample(sorted(traditions()), 12):
        cluster = known[ware].cluster if ware in known else ware
        others = [other for other in countable() if other.id != ware]
        for one in score(traditions()[ware], tables_from(others), cluster):
            fresh["leave one out", one.tradition, one.question] = one
    for key, one in fresh.items():
        assert kept[key]["probability"] == pytest.approx(
            probability_of(one.predictions["answer"], one.label), abs=1e-4
        )


def test_the_summary_follows_from_the_labels() -> None:
    found = [one for one in shipped()["labels"] if one["how"] == "leave one out"]
    said = shipped()["leave_one_out"]["answer"]
    assert said["labels"] == len(found)
    assert said["top_right"] == sum(one["right"] for one in found)
    assert sum(one["count"] for one in said["reliability"]) == len(found)


def test_the_answers_beat_what_is_usual_and_the_bare_rules_on_the_blind_set() -> None:
    # What the tool is for: a sherd's traits must say more than the region alone. Measured, not tuned.
    blind_part = shipped()["blind"]
    for way in ("region", "world", "rules"):
        assert blind_part["first"]["log_score"]["low"] > blind_part["baselines"][way]["log_score"]["high"]


def test_no_ware_of_the_blind_set_is_counted_in_a_prior() -> None:
    assert not {ware.id for ware in countable()} & set(blind_set())
    assert set(blind_set()) <= set(traditions())
    assert len(blind_set()) >= 30


def one_of(cluster: str, p: float) -> Scored:
    return Scored(cluster, cluster, "q", frozenset({"x"}), {"answer": {"x": p, "y": 1 - p}})


def test_kindred_wares_are_one_witness() -> None:
    apart = [one_of(str(n), 0.9 if n % 2 else 0.2) for n in range(8)]
    together = [
        Scored(o.tradition, str(int(o.cluster) % 2), o.question, o.label, o.predictions) for o in apart
    ]
    wide, narrow = (summary(found)["log_score"] for found in (together, apart))
    assert wide["high"] - wide["low"] > narrow["high"] - narrow["low"]
    assert wide["value"] == narrow["value"]


def test_a_label_that_allows_everything_is_not_scored() -> None:
    for ware in traditions().values():
        for one in score(ware, shipped_tables()):
            assert not one.label >= set(one.predictions["answer"])


def test_every_way_of_answering_gives_odds() -> None:
    for one in score(traditions()["us-tusayan-white"], shipped_tables()):
        assert set(one.predictions) == {"answer", "region", "world", "rules"}
        for prediction in one.predictions.values():
            assert sum(prediction.values()) == pytest.approx(1, abs=1e-6)


def test_the_command_shows_the_shipped_report() -> None:
    text = CliRunner().invoke(cli, ["accuracy"])
    assert text.exit_code == 0
    assert "first score" in text.output
    assert text.output.index("first score") < text.output.index("now, none of it")
    found = json.loads(CliRunner().invoke(cli, ["accuracy", "--json"]).output)
    assert found["blind"]["first"]["labels"] == len(first_score())


def test_the_readme_shows_it_in_three_lines() -> None:
    readme = (data().parent / "README.md").read_text(encoding="utf-8")
    for line in three_lines(shipped()):
        assert line in readme
