"""The command line as tests call it: in this process, or in one of its own."""

import os
import subprocess
import sys
from pathlib import Path
from typing import Final

from click.testing import CliRunner, Result

from wareontology.cli import cli

ROOT: Final = Path(__file__).resolve().parent.parent
DEMO: Final = ROOT / "data" / "demo"
ONE: Final = str(DEMO / "one_sherd.csv")

HEADING: Final = "sherd,region,zone,layer,colour,munsell,edge,wall_mm\n"
GOOD: Final = "G-1,,interior,slip,white,,,\nG-1,,interior,paint,black,,sharp,5.5\n"


def run(*arguments: str, stdin: str | bytes | None = None) -> Result:
    return CliRunner().invoke(cli, list(arguments), input=stdin)


def environment(**also: str) -> dict[str, str]:
    """As a user has it: our package to be found, and output that is buffered."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}
    return {**kept, "PYTHONPATH": str(ROOT), **also}


def process(
    *arguments: str, stdin: bytes = b"", before: str = "", cwd: Path = ROOT
) -> "subprocess.CompletedProcess[bytes]":
    """The command in a process of its own; `before` is Python that is run first."""
    start = f"import sys; sys.argv[0] = 'wareontology'\n{before}\nfrom wareontology.cli import main; main()"
    return subprocess.run(
        [sys.executable, "-c", start, *arguments],
        input=stdin,
        capture_output=True,
        cwd=cwd,
        env=environment(),
        check=False,
    )


def written(folder: Path, text: str | bytes, name: str = "lot.csv") -> str:
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return str(path)
