"""What is loaded at the start: nothing heavy stands between a person and an answer."""

import os
import subprocess
import sys
from pathlib import Path
from typing import Final

import pytest

ROOT: Final = Path(__file__).resolve().parent.parent
HEAVY: Final = (
    "pyshacl", "owlrl", "scipy", "scipy.stats", "matplotlib", "colour", "rdflib", "openpyxl", "networkx",
    "pandas", "flask",
)  # fmt: skip

_INFER: Final = """
import contextlib, io
with contextlib.redirect_stdout(io.StringIO()) as out:
    code = wareontology.cli.cli.main(["infer", "data/demo/one_sherd.csv"{options}], standalone_mode=False)
assert not code, code
assert "K-14" in out.getvalue()
"""


@pytest.mark.parametrize(
    "then",
    ["", _INFER.format(options=""), _INFER.format(options=', "--json"')],
    ids=["import", "infer", "infer --json"],
)
def test_nothing_heavy_is_loaded(then: str) -> None:
    code = (
        f"import sys, wareontology.cli\n{then}\nprint(*(name for name in {HEAVY!r} if name in sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.split() == []


def test_the_command_line_itself_loads_no_part_of_ours() -> None:
    ours = "name.startswith(('wareontology', 'numpy'))"
    code = f"import sys, wareontology.cli; print(*(name for name in sys.modules if {ours}))"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert set(done.stdout.split()) == {
        "wareontology",
        "wareontology.cli",
        "wareontology.cli_out",
        "wareontology.errors",
    }
