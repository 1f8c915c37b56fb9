"""serve, backup and restore as a person starts them."""

import re
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.helpers_cli import environment, run
from wareontology.cli_app import _local_address
from wareontology.records.store import Store


@contextmanager
def served(*options: str, cwd: Path) -> Iterator[tuple["subprocess.Popen[str]", str]]:
    """The command at work in a folder, and the address it says."""
    start = "import sys; sys.argv[0] = 'wareontology'; from wareontology.cli import main; main()"
    one = subprocess.Popen(
        [sys.executable, "-c", start, "serve", "--port", "0", *options],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=cwd,
        env=environment(PYTHONUNBUFFERED="1"),
    )  # fmt: skip
    try:
        assert one.stdout is not None
        said = one.stdout.readline()
        found = re.match(r"(http://127\.0\.0\.1:\d+/) ", said)
        assert found is not None, said + one.communicate(timeout=60)[1]
        yield one, found[1]
    finally:
        one.kill()
        one.communicate()


def stopped(one: "subprocess.Popen[str]") -> tuple[str, str]:
    """What it said after Ctrl-C, to its end."""
    one.send_signal(signal.SIGINT)
    assert one.stdout is not None
    assert one.stderr is not None
    out, errors = one.stdout.read(), one.stderr.read()
    one.wait(timeout=60)
    return out, errors


def page(address: str) -> str:
    for _ in range(100):
        try:
            with urllib.request.urlopen(address, timeout=30) as response:
                return str(response.read().decode())
        except ConnectionError:
            time.sleep(0.1)
    raise AssertionError(f"{address} does not answer")


def test_serve_answers_on_this_machine_alone_and_stops_when_told(tmp_path: Path) -> None:
    with served(cwd=tmp_path) as (one, address):
        assert "How was it made?" in page(address)
        out, errors = stopped(one)
    assert (one.returncode, errors) == (0, "")
    assert "Stopped. What was saved is on the disk." in out
    assert not (tmp_path / "records").exists()  # nothing was saved


def test_serve_phone_shows_what_to_scan_and_type(tmp_path: Path) -> None:
    with served("--phone", "--address", "127.0.0.2", cwd=tmp_path) as (one, address):
        assert "How was it made?" in page(address)
        port = address.rstrip("/").rpartition(":")[2]
        assert page(f"http://127.0.0.2:{port}/phone/pair")  # loopback stands for the net here
        out, _ = stopped(one)
    assert f"http://127.0.0.2:{port}/phone/pair" in out
    assert "█" in out
    assert re.search(r"Then type  \d{3} \d{3}", out)
    assert "can be read by others on the same net" in out


def test_a_port_in_use_says_so_and_names_a_free_one(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        result = run("serve", "--port", str(port), "--records", str(tmp_path / "records"))
    assert result.exit_code == 1
    assert re.search(rf"port {port}: found Address already in use; would do: .*--port \d+", result.stderr)


def test_records_that_cannot_be_used_are_said_before_serving(tmp_path: Path) -> None:
    (tmp_path / "records.sqlite").write_bytes(b"no database" * 500)
    result = run("serve", "--port", "0", "--records", str(tmp_path))
    assert result.exit_code == 1
    assert "damaged database" in result.stderr


@pytest.mark.parametrize("address", ["8.8.8.8", "0.0.0.0", "elsewhere", "::1"])
def test_an_address_that_the_world_may_reach_is_refused(address: str, tmp_path: Path) -> None:
    result = run("serve", "--phone", "--address", address, "--records", str(tmp_path))
    assert result.exit_code == 2
    assert "would do" in result.stderr


def test_an_address_of_a_local_net_is_taken() -> None:
    assert _local_address("192.168.1.20") == "192.168.1.20"
    assert run("serve", "--address", "192.168.1.20").exit_code == 2  # without --phone


def test_backup_and_restore(tmp_path: Path) -> None:
    records, copy = str(tmp_path / "records"), str(tmp_path / "copy")
    made = Store(records).put("note", "n", {"a": 1}, who="AB", why="x", expected_version=None)
    done = run("backup", copy, "--records", records)
    assert (done.exit_code, "1 changes" in done.stdout) == (0, True)
    Store(records).put("note", "n", {"a": 2}, who="AB", why="x", expected_version=made.number)
    brought = run("restore", copy, "--records", records)
    assert brought.exit_code == 0
    now = Store(records).get("note", "n")
    assert now is not None
    assert now.body == {"a": 1}
    kept = re.search(r"kept in (.*)\.\n", brought.stdout)
    assert kept is not None
    before = Store(kept[1], create=False).get("note", "n")
    assert before is not None
    assert before.body == {"a": 2}


def test_backup_of_nothing_and_over_something_is_refused(tmp_path: Path) -> None:
    nothing = run("backup", str(tmp_path / "copy"), "--records", str(tmp_path / "none"))
    assert (nothing.exit_code, "found no records" in nothing.stderr) == (1, True)
    assert not (tmp_path / "none").exists()
    Store(tmp_path / "records")
    over = run("backup", str(tmp_path), "--records", str(tmp_path / "records"))
    assert (over.exit_code, "something there already" in over.stderr) == (1, True)
    missing = run("restore", str(tmp_path / "copy"), "--records", str(tmp_path / "records"))
    assert (missing.exit_code, "found no backup" in missing.stderr) == (1, True)


@pytest.mark.parametrize("command", ["serve", "backup", "restore"])
def test_help_has_an_example(command: str) -> None:
    assert f"wareontology {command}" in run(command, "--help").stdout
