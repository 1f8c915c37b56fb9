"""Files written whole or not at all."""

import os
import stat
from pathlib import Path

import pytest

from wareontology.sherd.whole_file import same_file, write_whole


def test_it_writes_and_leaves_nothing_beside(tmp_path: Path) -> None:
    place = tmp_path / "faults.json"
    write_whole(place, b"first")
    write_whole(place, b"second")
    assert place.read_bytes() == b"second"
    assert list(tmp_path.iterdir()) == [place]


@pytest.mark.skipif(os.name == "nt", reason="modes are of another kind there")
def test_a_new_file_has_the_usual_mode_and_an_old_one_keeps_its_own(tmp_path: Path) -> None:
    plain, place = tmp_path / "plain", tmp_path / "new"
    plain.write_bytes(b"")
    write_whole(place, b"x")
    assert stat.S_IMODE(place.stat().st_mode) == stat.S_IMODE(plain.stat().st_mode)
    place.chmod(0o640)
    write_whole(place, b"y")
    assert stat.S_IMODE(place.stat().st_mode) == 0o640


def test_where_it_fails_what_was_there_is_still_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "faults.json"
    place.write_bytes(b"before")

    def no_room(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", no_room)
    with pytest.raises(OSError, match="No space left"):
        write_whole(place, b"after")
    assert place.read_bytes() == b"before"
    assert list(tmp_path.iterdir()) == [place]


@pytest.mark.skipif(os.name == "nt", reason="links need leave there")
def test_a_link_is_followed_and_stays_a_link(tmp_path: Path) -> None:
    place, link = tmp_path / "real.json", tmp_path / "link.json"
    place.write_bytes(b"before")
    link.symlink_to(place)
    write_whole(link, b"after")
    assert link.is_symlink()
    assert place.read_bytes() == b"after"
    assert same_file(link, place)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes there")
def test_a_pipe_is_written_to_and_stays_a_pipe(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    reader = os.open(pipe, os.O_RDWR | os.O_NONBLOCK)
    write_whole(pipe, b"x")
    assert os.read(reader, 9) == b"x"
    os.close(reader)
    assert stat.S_ISFIFO(pipe.stat().st_mode)
