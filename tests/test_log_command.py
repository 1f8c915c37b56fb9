"""`log` and `learn`: what a person asks, what is answered, what is kept, what is refused."""

import json
from pathlib import Path

import numpy as np
import pytest

from tests.helpers_cli import DEMO, run
from wareontology.firing import own
from wareontology.firing.plan import example

LOG, OUTCOME = str(DEMO / "firing_log.csv"), str(DEMO / "outcome.csv")


def test_an_example_and_a_blank_are_written(tmp_path: Path) -> None:
    example = run("log", "--example")
    assert example.stdout == Path(LOG).read_text(encoding="utf-8")
    blank = tmp_path / "blank.csv"
    blank.write_text(run("log", "--template").stdout, encoding="utf-8")
    assert run("log", str(blank)).exit_code == 0
    assert run("learn", "--template").stdout.splitlines()[-1].startswith("place,zone")


def test_a_log_in_words_with_its_plan_and_picture(tmp_path: Path) -> None:
    picture = tmp_path / "log.svg"
    result = run("log", LOG, "--plan", "covered-pit", "--out", str(picture))
    assert result.exit_code == 0, result.stderr
    assert "Mid. Highest 752 °C, 5 either way" in result.stdout
    assert "The last step is done." in result.stdout
    assert "Carbon monoxide" in result.stdout
    assert "covered" in picture.read_text(encoding="utf-8")


def test_a_log_as_data_from_standard_input() -> None:
    said = "time,place,glow,event\n0,,,lit\n45,,,preheated\n60,top,dark red,\n"
    result = run("log", "-", "--plan", "covered-pit", "--json", stdin=said)
    assert result.exit_code == 0, result.stderr
    found = json.loads(result.stdout)
    assert (found["readings"], found["now"]["step"]["title"], found["now"]["ends"]) == (1, "Fire", "top")


def test_faults_are_named_the_rest_is_read_and_the_exit_is_one() -> None:
    result = run("log", "-", stdin="time,temperature_c\n10:00,100\n9:00,90\n10:10,1490\n10:20,150\n")
    assert result.exit_code == 1
    assert "row 3, column time" in result.stderr
    assert "810 if it was °F" in result.stderr
    assert "2 readings" in result.stdout


def test_200_000_rows_are_read_and_drawn(tmp_path: Path) -> None:
    rows = 200_000
    path, picture = tmp_path / "long.csv", tmp_path / "long.svg"
    heat = 400 + 350 * np.sin(np.arange(rows) / 40_000)
    lines = [f"{at / 60:.3f},mid,{value:.1f}" for at, value in enumerate(heat)]
    path.write_text("time,place,temperature_c\n" + "\n".join(lines), encoding="utf-8")
    result = run("log", str(path), "--out", str(picture))
    assert result.exit_code == 0, result.stderr
    assert "200,000 readings" in result.stdout
    assert picture.stat().st_size < 300_000


def test_a_firing_is_kept_line_by_line(tmp_path: Path) -> None:
    records = str(tmp_path / "records")
    begun = run("log", "--firing", "May", "--plan", "trench", "--keep", "--who", "AB", "--records", records)
    assert begun.exit_code == 0, begun.stderr
    for cells in ("time=0 event=lit", "time=20 place=top glow=dark red note=west side first"):
        assert (
            run("log", "--firing", "May", "--add", cells, "--who", "AB", "--records", records).exit_code == 0
        )
    found = json.loads(run("log", "--firing", "May", "--records", records, "--json").stdout)
    assert found["plan"] == "Trench smothered with damp earth"
    assert found["readings"] == 1
    assert found["events"][1]["note"] == "west side first"


def test_a_photo_is_kept_with_its_firing(tmp_path: Path) -> None:
    from PIL import Image

    from wareontology.records.store import Store

    records, photo = str(tmp_path / "records"), tmp_path / "pit.png"
    Image.new("RGB", (20, 10), "red").save(photo)
    begun = ["log", "--firing", "May", "--plan", "trench", "--keep", "--who", "AB", "--records", records]
    assert run(*begun, "--photo", str(photo)).exit_code == 0
    (kept,) = Store(records).find("photo", about=("firing", "May")).things
    assert kept.body is not None
    assert kept.body["width_px"] == 20


def test_a_line_with_a_fault_is_not_kept(tmp_path: Path) -> None:
    records = str(tmp_path / "records")
    run("log", "--firing", "May", "--plan", "trench", "--keep", "--who", "AB", "--records", records)
    result = run("log", "--firing", "May", "--add", "glow=mauve", "--who", "AB", "--records", records)
    assert result.exit_code == 1
    assert "cherry red" in result.stderr
    assert json.loads(run("log", "--firing", "May", "--records", records, "--json").stdout)["readings"] == 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["log"], "no FILE"),
        (["log", LOG, "--keep", "--who", "AB"], "--firing NAME"),
        (["log", "--firing", "May", "--keep"], "--who NAME"),
        (["log", LOG, "--out", "log.pdf"], ".svg or .png"),
        (["log", LOG, "--firing", "May"], "one of the two"),
        (["learn", "covered-pit"], "no PLAN and OUTCOME"),
    ],
)
def test_wrong_usage_is_two(words: list[str], said: str) -> None:
    result = run(*words)
    assert result.exit_code == 2
    assert said in result.stderr


def test_learning_in_words_and_own_numbers_for_simulate(tmp_path: Path) -> None:
    mine = tmp_path / "mine.toml"
    result = run("learn", "covered-pit", OUTCOME, "--log", LOG, "--own", str(mine), "--members", "3000")
    assert result.exit_code == 0, result.stderr
    assert "Before and after" in result.stdout
    for name in ("sealing_length_m", "char_kj_mol", "cover_gaps", "at_cover_c"):
        assert f"({name}" in result.stdout
    assert "even firings of 3,000 drawn" in result.stdout
    assert "sealing_growth" in own.read(mine).of_plan(example("covered-pit"))
    chances = [
        json.loads(run("simulate", "covered-pit", "--members", "200", "--json", *more).stdout)[0]["chance"]
        for more in ([], ["--own", str(mine)])
    ]
    assert chances[1] > chances[0]


def test_learning_as_data_from_two_firings() -> None:
    also = ["--also", "pull-and-cover", OUTCOME, "none"]
    result = run("learn", "covered-pit", OUTCOME, *also, "--members", "1000", "--json")
    found = json.loads(result.stdout)
    assert [one["plan"] for one in found["firings"]] == [
        "Covered pit, iron black on white", "Pull and cover, mouth-down",
    ]  # fmt: skip
    assert result.exit_code == (1 if found["refused"] else 0)


def test_what_cannot_be_explained_is_refused_with_exit_one(tmp_path: Path) -> None:
    hot, mine = tmp_path / "hot.csv", tmp_path / "mine.toml"
    rows = [f"{minutes},mid,900," for minutes in (5, 60, 600)]
    hot.write_text("time,place,temperature_c,event\n0,,,covered\n" + "\n".join(rows), encoding="utf-8")
    result = run("learn", "covered-pit", OUTCOME, "--log", str(hot), "--members", "400", "--own", str(mine))
    assert result.exit_code == 1
    assert "No simulated firing explains what was seen" in result.stdout
    assert not mine.exists()


def test_a_log_with_a_fault_is_not_learned_from(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text("time,place,glow\n1,mid,mauve\n", encoding="utf-8")
    result = run("learn", "covered-pit", OUTCOME, "--log", str(path), "--members", "100")
    assert result.exit_code == 1
    assert "column glow" in result.stderr


def test_show_knows_the_faults_of_firing() -> None:
    result = run("show", "Lime pops")
    assert result.exit_code == 0
    assert "Sign." in result.stdout
    data = json.loads(run("show", "fire cloud", "--json").stdout)
    assert data["fault"] == "fire-cloud"
    assert data["citation"]
    unknown = run("show", "spaling")
    assert unknown.exit_code == 1
    assert "spalling" in unknown.stderr
    assert "(traditions)" in unknown.stderr
