"""Reading a firing log: gaps allowed, every fault named, nothing else lost; long logs."""

import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.errors import Unreadable
from wareontology.firing.log import PLACES, gaps, thinned
from wareontology.firing.log_columns import columns, events, template
from wareontology.firing.log_read import MOST_FAULTS, from_bytes, from_rows, from_text, read
from wareontology.firing.plan import example, examples
from wareontology.firing.steps import steps
from wareontology.paths import data


def fault_of(text: str) -> str:
    (fault,) = from_text(text).faults
    return str(fault)


def test_the_invented_log_is_read_whole() -> None:
    found = read(data("demo", "firing_log.csv"))
    assert found.faults == ()
    log = found.log
    assert log.readings == 20
    assert log.zero_s() == 93 * 60  # covered 10:43, first row 9:10
    assert log.first("opened") == 27 * 3600
    top = log.temperature_c[log.at("top")]
    assert top.tolist() == [540.0, 740.0]  # the words for a glow (data/glow_words.csv)
    assert log.give_or_take_c[log.at("bottom")].tolist() == [20.0]


def test_an_emf_is_turned_to_heat_with_its_cold_end() -> None:
    # independent: as tests/firing/test_thermocouple.py
    found = from_text("time,emf_mv,cold_junction_c\n0,35.0,25\n")
    assert found.log.temperature_c[0] == pytest.approx(866.999, abs=0.001)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("time,temperature_c\n10:00,100\n9:59,90\n",
         "row 3, column time: found '9:59' (it goes back before 10:00); would do: a time at or after 10:00"),
        ("time,temperature_c\n10:00,100\n95,90\n", "the rows before have a time of day"),
        ("time,glow\n2026-05-02T10:00,red\n2026-05-02T11:00+02:00,red\n", "the rows before have a date"),
        ("time,temperature_c\n,100\n", "column time: found ''"),
        ("time,emf_mv\n1,33\n", "row 2, column cold_junction_c: found 'nothing'"),
        ("time,emf_mv,cold_junction_c\n1,33,\n", "the temperature where the wires end, beside each emf_mv"),
        ("time,emf_mv,cold_junction_c\n1,33275,20\n", "-5.891 to 54.886 mV; 33.275 if it was µV"),
        ("time,emf_mv,cold_junction_c\n1,54.5,80\n", "beyond a type K thermocouple"),
        ("time,emf_mv,cold_junction_c\n1,33,300\n", "column cold_junction_c: found '300'"),
        ("time,temperature_c\n1,1490\n", "-200 to 1372 °C; 810 if it was °F"),
        ("time,temperature_c\n1,1500 F\n", "would do: 815.556, the number alone, in °C"),
        ("time,temperature_c\n1,nan\n", "column temperature_c: found 'nan'"),
        ("time,cone,glow\n1,010,orange\n", "two ways of telling one heat"),
        ("time,cone\n1,O10\n", "column cone: found 'O10'; would do: "),
        ("time,glow\n1,chery red\n", "would do: cherry red"),
        ("time,place,glow\n1,midle,orange\n", "column place: found 'midle'; would do: mid"),
        ("time,event\n1,coverd\n", "column event: found 'coverd'; would do: covered"),
        ("time,cold_junction_c\n1,20\n", "would do: emf_mv beside it, or neither"),
        ("time,glow\n1,orange,,x\n", "found '4 cells'; would do: 2, as the heading has"),
    ],
)  # fmt: skip
def test_each_fault_names_where_what_and_what_would_do(text: str, said: str) -> None:
    assert said in fault_of(text)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no heading"),
        ("# only remarks\n", "no heading"),
        ("time,temperature_f\n", "temperature_c, with (°F - 32) / 1.8"),
        ("time,emf_uv\n", "µV / 1000"),
        ("time,time\n", "time twice"),
        ("place,glow\n", "no column time"),
        ("time,glw\n", "would do: glow"),
    ],
)
def test_what_is_no_log_is_refused_whole(text: str, said: str) -> None:
    with pytest.raises(Unreadable, match=re.escape(said)):
        from_text(text)


def test_a_row_with_a_fault_is_left_out_and_the_rest_is_read() -> None:
    found = from_text("time,place,glow\n1,mid,orange\n2,mid,mauve\n,,\n3,top,cherry\n")
    assert [fault.row for fault in found.faults] == [3]
    assert found.log.temperature_c.tolist() == [900.0, 740.0]
    assert found.log.last_s == 120.0


@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "utf-16"])
def test_semicolons_decimal_commas_and_codings(coding: str) -> None:
    text = "time;place;temperature_c;note\r\n2026-05-02 10:00;mid;812,5;Rauch über dem Rand\r\n"
    found = from_bytes(text.encode(coding))
    assert found.faults == ()
    assert found.log.temperature_c.tolist() == [812.5]
    assert found.log.said[0].note == "Rauch über dem Rand"


def test_bytes_that_are_no_text_are_refused(tmp_path: Path) -> None:
    with pytest.raises(Unreadable, match="no utf-8"):
        from_bytes(b"time,glow\n1,\xff\n")
    with pytest.raises(Unreadable, match="no text"):
        from_bytes(b"time\0glow\n")
    with pytest.raises(Unreadable, match="No such file"):
        read(tmp_path / "none.csv")


def test_200_000_rows_are_read_and_thinned_without_losing_an_end() -> None:
    rows = 200_000
    lines = [f"{one / 60:.3f},mid,{500 + 300 * np.sin(one / 9000):.2f}" for one in range(rows)]
    found = from_text("time,place,temperature_c\n" + "\n".join(lines))
    assert found.faults == ()
    assert found.log.readings == rows
    at, heat = thinned(found.log.time_s, found.log.temperature_c)
    assert at.size <= 1200
    assert heat.max() == found.log.temperature_c.max()
    assert heat.min() == found.log.temperature_c.min()


def test_a_file_full_of_faults_is_not_read_to_its_end() -> None:
    found = from_text("time,glow\n" + "1,mauve\n" * (MOST_FAULTS + 500))
    assert len(found.faults) == MOST_FAULTS + 1
    assert found.faults[-1].why == "not read on"


@given(
    st.lists(
        st.tuples(st.floats(0, 5000), st.sampled_from(["top", "mid", ""]), st.floats(-100, 1300)), max_size=20
    )
)
def test_rows_in_the_order_of_time_are_all_read(rows: list[tuple[float, str, float]]) -> None:
    rows.sort()
    told = [{"time": f"{at:.4f}", "place": place, "temperature_c": f"{heat:.2f}"} for at, place, heat in rows]
    found = from_rows(told)
    assert found.faults == ()
    assert np.all(np.diff(found.log.time_s) >= 0)
    assert found.log.temperature_c.tolist() == [round(heat, 2) + 0.0 for _, _, heat in rows]


def test_gaps_are_named_and_allowed() -> None:
    found = from_rows(
        [{"time": "0", "event": "lit"}, {"time": "40", "event": "covered"}, {"time": "300", "event": "cool"},
         {"time": "700", "event": "opened"}]
    ).log  # fmt: skip
    assert gaps(found) == ((0.0, 2400.0), (18000.0, 42000.0))


def test_places_events_and_the_blank_log_agree() -> None:
    assert columns()["place"].choices == PLACES[:-1]
    assert from_text(template()).faults == ()
    ends = {one.ends for one in events().values() if one.ends}
    for name in examples():
        assert {step.title for step in steps(example(name))} <= ends
