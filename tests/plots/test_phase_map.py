"""The phase map: the same bytes each time, named, dotted where weak, sources beneath."""

import struct
import sys
import xml.etree.ElementTree as Tree
from subprocess import run

import pytest

from wareontology.plots.phase_map import DATA, phase_map
from wareontology.plots.style import data_hash
from wareontology.redox.named_gas import Named
from wareontology.redox.phases import PHASES
from wareontology.report.gas import tables

GASES = (
    Named(800, co_co2=1e-4),
    Named(900, oxygen=0.2095),
    Named(700, fuel_air=1.0),
    Named(1080, fuel_air=1.5, fuel="charcoal", altitude_m=2500),
    Named(300, co_co2=1.0),
)


@pytest.fixture(scope="module")
def drawn() -> str:
    return phase_map(tables(), GASES[0]).decode()


def words(svg: str) -> list[str]:
    return [element.text or "" for element in Tree.fromstring(svg).iter() if element.tag.endswith("}text")]


@pytest.mark.parametrize("named", GASES, ids=Named.words)
def test_the_same_gas_gives_the_same_bytes(named: Named) -> None:
    first, second = (phase_map(tables(), named) for _ in range(2))
    assert first == second
    assert b"<dc:date>" not in first


def test_every_field_and_axis_is_named_in_letters(drawn: str) -> None:
    said = " ".join(words(drawn))
    for names in PHASES.values():
        for name in names:
            assert name in said
    for text in ("temperature, °C", "oxygen pressure, log10 bar", "air", "charcoal", "the gas"):
        assert text in said


def test_source_and_data_hash_stand_beneath(drawn: str) -> None:
    said = " ".join(words(drawn))
    assert data_hash(DATA) in said
    assert "frost-1991" in said
    assert "nasa-tm4513" in said
    assert "no verdict hangs on it" in said


def test_what_is_weak_is_dotted_and_the_spread_is_shaded(drawn: str) -> None:
    # three lines of iron, two of manganese in reach, pyrolusite, two of copper, one of lead, four of the gas
    assert drawn.count("stroke-dasharray") >= 9 + 4
    assert drawn.count("fill-opacity") >= 9 + 4


def test_the_gas_moves_the_picture() -> None:
    assert len({phase_map(tables(), named) for named in GASES}) == len(GASES)


def test_png_for_slides_is_twice_a_page(drawn: str) -> None:
    picture = phase_map(tables(), GASES[0], "png")
    assert picture[:8] == b"\x89PNG\r\n\x1a\n"
    width, _ = struct.unpack(">II", picture[16:24])
    root = Tree.fromstring(drawn)
    points = float(root.attrib["width"].removesuffix("pt"))
    assert width == pytest.approx(points / 72 * 200, abs=2)


def test_matplotlib_waits_until_something_is_drawn() -> None:
    code = "import sys, wareontology.cli, wareontology.plots.phase_map; sys.exit('matplotlib' in sys.modules)"
    assert run([sys.executable, "-c", code], check=False).returncode == 0
