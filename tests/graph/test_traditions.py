"""The reader of traditions: what is stated, what is from memory, and how an unknown one is met."""

import gzip
from collections import Counter
from pathlib import Path

import pytest

from wareontology import paths
from wareontology.errors import BreaksShape, Unreadable
from wareontology.graph import traditions as module
from wareontology.graph.namespaces import RDF, WO
from wareontology.graph.store import described
from wareontology.graph.traditions import (
    nearest,
    side_of,
    tradition,
    tradition_sources,
    traditions,
)
from wareontology.graph.traditions_index import tradition_files
from wareontology.graph.vocabulary import region_path, scheme
from wareontology.sherd.columns import ABOUT, FIELDS, columns
from wareontology.technique.hypotheses import REGIMES


def test_every_tradition_of_the_files_is_read_once() -> None:
    written = Counter(
        address.rsplit("/", 1)[1]
        for path in tradition_files()
        for address, said in described(path).items()
        if WO + "Tradition" in said.get(RDF + "type", ())
    )
    assert set(written.values()) == {1}
    assert set(written) == set(traditions())


def test_those_of_the_first_table_are_there_and_a_third_is_memory_alone() -> None:
    # Counted in the table the work starts from: 88 rows, 27 of them memory throughout, 22 with a stated
    # atmosphere. Rio Grande glaze ware is memory there and stated here: a list beside the table records that
    # a summary was read, with its paint and its atmosphere.
    assert len(traditions()) >= 88
    memory = [one.id for one in traditions().values() if one.is_from_memory()]
    assert len(memory) == 26
    assert "us-rio-grande-glaze" not in memory
    assert sum(bool(one.terms("atmosphere")) for one in traditions().values()) >= 23


def test_a_file_holds_the_traditions_of_its_region() -> None:
    for path in tradition_files():
        ids = [
            address.rsplit("/", 1)[1]
            for address, said in described(path).items()
            if WO + "Tradition" in said.get(RDF + "type", ())
        ]
        assert ids, path.name
        assert {traditions()[name].region for name in ids} == {path.stem}


def test_what_is_stated_has_a_source_that_was_seen_and_memory_has_none() -> None:
    for one in traditions().values():
        for said in one.statements:
            assert said.basis in ("stated", "memory", "inferred")
            assert bool(said.sources) == (said.basis != "memory"), (one.id, said)
            assert (said.inferred_from is not None) == (said.basis == "inferred"), (one.id, said)
            assert all(tradition_sources()[key].may_be_cited() for key in said.sources), (one.id, said)


def test_what_is_stated_of_a_fire_is_a_legal_pair() -> None:
    endings = {ending for _, ending in REGIMES}
    for one in traditions().values():
        pairs = {(air, end) for air in one.terms("atmosphere") for end in one.terms("ending")}
        assert not pairs or pairs & set(REGIMES), one.id
        assert one.terms("ending") <= endings


def test_a_cell_that_is_seen_is_stated_once() -> None:
    for one in traditions().values():
        places = Counter(
            (said.field, said.zone, said.layer, said.name)
            for said in one.statements
            if said.side == "seen" and said.basis == "stated"
        )
        assert not [place for place, count in places.items() if count > 1], one.id


def test_coordinates_are_whole_degrees() -> None:
    for one in traditions().values():
        for field, most in (("latitude", 90), ("longitude", 180)):
            for said in one.of(field, None):
                assert abs(int(said.value)) <= most


def test_years_run_forward_and_regions_are_known() -> None:
    for one in traditions().values():
        starts, ends = one.of("date_from", None), one.of("date_to", None)
        if starts and ends:
            assert int(starts[0].value) <= int(ends[0].value), one.id
        assert region_path(one.region)[-1] == "world"


def test_kin_is_kin_of_traditions_that_are_there() -> None:
    for one in traditions().values():
        for other in (*one.twins, *one.influenced_by, *one.influenced):
            assert other in traditions()
        for twin in one.twins:
            assert one.id in traditions()[twin].twins


def test_the_three_stage_and_the_sealed_and_the_smudged_are_mapped_as_meant() -> None:
    # The table's labels: oxidising_reducing_oxidising, reducing_sealed_cooling, oxidised_then_smudged.
    def fire(name: str) -> tuple[set[str], set[str]]:
        return set(traditions()[name].terms("atmosphere")), set(traditions()[name].terms("ending"))

    assert fire("aeg-attic-gloss") == ({"reducing"}, {"air-finish"})
    assert fire("per-sican-black") == ({"reducing"}, {"sealed"})
    assert fire("ind-black-red-ahar") == ({"oxidising"}, {"smudged"})
    assert fire("lev-red-white-blue") == (set(), set())


def test_memory_is_shown_and_not_among_what_is_stated() -> None:
    minyan = traditions()["aeg-grey-minyan"]
    assert minyan.is_from_memory()
    assert minyan.first("atmosphere") is None
    assert minyan.first("atmosphere", None) == "reducing"
    assert minyan.groups == ()
    # the atmosphere of the trichrome is from memory, its paints are stated
    trichrome = traditions()["bal-cucuteni"]
    assert trichrome.terms("atmosphere") == frozenset()
    assert {said.name: said.value for said in trichrome.of("paint")} == {
        "black": "iron-manganese",
        "red": "iron",
    }


def test_an_inferred_statement_says_from_what() -> None:
    (body,) = traditions()["us-chuska-organic"].of("body", "inferred")
    assert (body.value, body.inferred_from) == ("red-firing", "refire_colour")


@pytest.mark.parametrize("typed", ["us-tusayan-white", "TUSAYAN WHITE WARE", " tusayan_white  ware"])
def test_a_tradition_is_found_by_id_and_by_label(typed: str) -> None:
    assert tradition(typed).id == "us-tusayan-white"


def test_an_unknown_tradition_is_met_with_the_nearest_names() -> None:
    with pytest.raises(BreaksShape, match=r"found 'tusayan wite'.*us-tusayan-white"):
        tradition("tusayan wite")
    assert nearest("zzzzqqq") == ()
    with pytest.raises(BreaksShape, match="as `browse` lists them"):
        tradition("zzzzqqq")


def test_every_column_that_is_an_observation_is_a_field_that_is_seen() -> None:
    fields = scheme("field")
    seen = {concept.notation for concept in fields.concepts if concept.broader == "seen"}
    # applied and phases are concluded and describing here; two columns are of one pot and of no tradition
    other = {"applied", "phases", "diameter_cm", "rim_percent"}
    assert seen == {column.name for column in columns()} - ABOUT - set(FIELDS) - other
    with pytest.raises(KeyError):
        side_of("wobble")


def test_no_heavy_library_is_needed() -> None:
    import subprocess
    import sys

    code = (
        "import sys; from wareontology.graph.traditions import traditions; assert traditions();"
        "print(*(name for name in ('rdflib', 'owlrl', 'pyshacl', 'networkx') if name in sys.modules))"
    )
    root = paths.data().parent
    done = subprocess.run([sys.executable, "-c", code], cwd=root, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == ""


@pytest.mark.parametrize(
    "content", [None, b"no gzip", gzip.compress(b"{", mtime=0), gzip.compress(b"[]", mtime=0)]
)
def test_a_missing_or_damaged_index_says_so(
    content: bytes | None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / module.INDEX
    if content is not None:
        path.write_bytes(content)
    monkeypatch.setattr(module, "data", lambda name: tmp_path / name)
    module._index.cache_clear()
    try:
        with pytest.raises(Unreadable, match=r"traditions\.json\.gz.*would do"):
            traditions()
    finally:
        module._index.cache_clear()
