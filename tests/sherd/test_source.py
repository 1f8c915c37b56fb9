import io
import os
import sys
import threading
from pathlib import Path
from typing import IO, Any, cast

import pytest

from wareontology.errors import Unreadable
from wareontology.sherd import source
from wareontology.sherd.source import Format, opened, sniff


@pytest.mark.parametrize(
    ("head", "kind", "encoding"),
    [
        (b"sherd,zone", "csv", "utf-8"),
        (b"\xef\xbb\xbfsherd,zone", "csv", "utf-8-sig"),
        ("sherd,zone".encode("utf-16"), "csv", "utf-16"),
        (b"\xfe\xff" + "sherd,zone".encode("utf-16-be"), "csv", "utf-16"),
        (b'  \n{"sherd"', "json", "utf-8"),
        (b"\xef\xbb\xbf[", "json", "utf-8-sig"),
        (b"PK\x03\x04", "xlsx", ""),
        (b"@prefix wo: <", "turtle", "utf-8"),
        (b"PREFIX wo: <", "turtle", "utf-8"),
        (b"BASE DIAMETER,zone", "csv", "utf-8"),
    ],
)
def test_sniff(head: bytes, kind: Format, encoding: str) -> None:
    assert sniff(head, "t") == (kind, encoding)


@pytest.mark.parametrize(
    ("head", "found"),
    [
        (b"", "nothing in it"),
        (b" \r\n\t", "nothing in it"),
        (b"\xef\xbb\xbf", "nothing in it"),
        (b"\xff\xfe", "nothing in it"),
        (b"sherd\x00zone", "a binary file"),
        ("sherd".encode("utf-32"), "text in UTF-32"),
        (b"\xd0\xcf\x11\xe0", "an old spreadsheet"),
        (b"\x1f\x8b\x08", "a gzip file"),
        (b"%PDF-1.7", "a PDF"),
    ],
)
def test_what_is_no_table(head: bytes, found: str) -> None:
    with pytest.raises(Unreadable, match=f"^t: found {found}.*; would do: "):
        sniff(head, "t")


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("missing.csv", "no such file"),
        ("", "a folder"),
        ("x" * 5000, "a file that cannot be opened"),
        ("a\0b", "a file that cannot be opened"),
    ],
)
def test_what_cannot_be_opened(tmp_path: Path, name: str, found: str) -> None:
    with pytest.raises(Unreadable, match=f"found {found}.*; would do: "), opened(f"{tmp_path}/{name}"):
        pass


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_without_leave_to_read(tmp_path: Path) -> None:
    path = tmp_path / "shut.csv"
    path.write_text("sherd,zone,layer\n")
    path.chmod(0)
    with pytest.raises(Unreadable, match="Permission denied"), opened(path):
        pass


def test_a_turtle_file_may_start_with_a_remark(tmp_path: Path) -> None:
    path = tmp_path / "sherds.ttl"
    path.write_text("# invented\n@prefix a: <b:> .\n")
    with opened(path) as found:
        assert found.format == "turtle"


def test_standard_input_can_be_read_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"sherd,zone\n")))
    with opened("-") as found:
        assert found.name == "standard input"
        assert [found.whole(), found.whole()] == [b"sherd,zone\n"] * 2


def test_a_pipe_can_be_read_twice(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    writer = threading.Thread(target=pipe.write_bytes, args=(b"sherd,zone\n",))
    writer.start()
    with opened(pipe) as found:
        assert [found.whole(), found.whole()] == [b"sherd,zone\n"] * 2
    writer.join()


class Endless(io.RawIOBase):
    """A stream that never ends and counts what was taken from it."""

    def __init__(self, unit: bytes) -> None:
        self.unit, self.taken = unit, 0

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: bytearray) -> int:  # type: ignore[override]
        size = len(buffer)
        buffer[:] = (self.unit * (size // len(self.unit) + 1))[:size]
        self.taken += size
        return size


def buffered(stream: io.RawIOBase) -> IO[bytes]:
    return io.BufferedReader(cast(Any, stream))


def test_an_endless_binary_pipe_is_refused_at_its_start(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = Endless(b"\0")
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(buffered(stream)))
    with pytest.raises(Unreadable, match="binary"), opened("-"):
        pass
    assert stream.taken <= 2 * 2**20


def test_an_endless_table_ends_at_the_most_that_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(source, "MOST_SPOOLED", 2**22)
    stream = Endless(b"sherd,zone\n")
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(buffered(stream)))
    with pytest.raises(Unreadable, match="more than"), opened("-"):
        pass
    assert stream.taken <= 2**22 + 2 * 2**20


def test_what_is_held_whole_has_a_most(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(source, "MOST_AT_ONCE", 2**20)
    path = tmp_path / "large.json"
    path.write_bytes(b"[" + b" " * 2**20)
    with opened(path) as found, pytest.raises(Unreadable, match="more than 1 MB of JSON"):
        found.text()


def test_a_wrong_byte_is_named_with_its_line(tmp_path: Path) -> None:
    path = tmp_path / "t.json"
    path.write_bytes('[\n\n"ü"]'.encode("cp1252"))
    with opened(path) as found, pytest.raises(Unreadable, match="line 3: found the byte FC"):
        found.text()
