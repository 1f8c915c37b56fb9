"""pySHACL on our rules file: what it is given, what it says, and what goes wrong silently there."""

import subprocess
import sys
from pathlib import Path

import pytest

from wareontology.errors import BreaksShape
from wareontology.graph.namespaces import RDF, RULE, TERM, WO, sherd, term
from wareontology.graph.shacl import fired
from wareontology.graph.store import described
from wareontology.paths import shapes
from wareontology.technique.fact_book import read_fact_book
from wareontology.technique.rule_book import read_rules

SHERD = sherd("K 1")
SLIP, PAINT = SHERD + "/layer/slip", SHERD + "/layer/paint"
TYPE = RDF + "type"

PLAIN = [
    (SHERD, TYPE, WO + "Sherd"),
    (SHERD, WO + "hasUnit", SLIP),
    (SHERD, WO + "hasUnit", PAINT),
    (SHERD, WO + "region", term("region", "colorado-plateau")),
    *((SHERD, WO + "lookedWhole", term("zone", zone)) for zone in ("interior", "exterior", "break")),
    (SLIP, TYPE, WO + "Slip"),
    (SLIP, WO + "colour", term("colour", "white")),
    (PAINT, TYPE, WO + "Paint"),
    (PAINT, WO + "liesOn", SLIP),
    (PAINT, WO + "colour", term("colour", "black")),
    (PAINT, WO + "edge", term("edge", "sharp")),
]
"""A white slip and a sharp black paint on the Colorado Plateau, looked at whole, nothing red; invented."""

WHITE = (RULE + "NotOxidisingFromWhiteSlipRule", SHERD)
IRON = (RULE + "IronFamilyFromBlackOnWhiteSlipRule", PAINT)
NOT_ALONE = (RULE + "NotManganeseAloneFromBlackInReductionRule", PAINT)


def test_a_chain_of_rules_fires() -> None:
    assert fired(PLAIN) == {WHITE, IRON, NOT_ALONE}


def test_absent_is_not_missing() -> None:
    looked = (SHERD, WO + "lookedWhole", term("zone", "exterior"))
    assert fired([triple for triple in PLAIN if triple != looked]) == set()
    assert fired([*PLAIN, (SHERD, WO + "redOn", PAINT)]) == set()


def test_the_tree_of_regions_is_walked() -> None:
    # a place within the Plateau, invented
    place = TERM + "region/invented-valley"
    broader = (place, "http://www.w3.org/2004/02/skos/core#broader", term("region", "colorado-plateau"))
    moved = [(s, p, place if p == WO + "region" else o) for s, p, o in PLAIN]
    assert WHITE in fired([*moved, broader])
    assert fired(moved) == set()


def changed(tmp_path: Path, old: str, new: str) -> Path:
    text = shapes("rules.ttl").read_text(encoding="utf-8")
    assert old in text
    path = tmp_path / "rules.ttl"
    path.write_text(text.replace(old, new), encoding="utf-8")
    return path


def test_a_wrong_order_dies_silently_in_shacl_and_is_refused_by_us(tmp_path: Path) -> None:
    third = "shape:PaintThird a sh:NodeShape ; sh:targetClass wo:Paint ; sh:order"
    path = changed(tmp_path, f"{third} 3", f"{third} 0")
    assert fired(PLAIN, path) == {WHITE}, "the rules that read its conclusion are lost without a word"
    found = described(path)
    with pytest.raises(BreaksShape, match="the order of NotOxidisingFromWhiteSlipRule"):
        read_rules(found, read_fact_book(found))


def test_a_bare_not_fires_where_nobody_looked_and_is_refused_by_us(tmp_path: Path) -> None:
    looked = "    wo:judgedBy shape:InteriorLooked, shape:ExteriorLooked, shape:BreakLooked ."
    path = changed(tmp_path, looked, "    .")
    path.write_text(
        path.read_text(encoding="utf-8").replace(
            "        shape:InteriorLooked, shape:ExteriorLooked, shape:BreakLooked,\n", ""
        ),
        encoding="utf-8",
    )
    blank = [triple for triple in PLAIN if triple[1] != WO + "lookedWhole"]
    assert WHITE in fired(blank, path), "SHACL takes what was not looked at for absent"
    found = described(path)
    with pytest.raises(BreaksShape, match="a bare sh:not"):
        read_rules(found, read_fact_book(found))


def test_nothing_heavy_is_loaded_with_it() -> None:
    code = (
        "import sys, wareontology.technique.rules, wareontology.graph.shacl; "
        "from wareontology.technique.rules import rules_list; rules_list(); "
        "print([name for name in ('rdflib', 'pyshacl', 'owlrl', 'networkx') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
