"""`python -m tests`: ruff, mypy and pytest, in that order; stops at the first that fails."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
STEPS = (
    ("ruff", "check", "."),
    ("ruff", "format", "--check", "."),
    ("mypy",),
    ("pytest", "--numprocesses", "auto", "--dist", "loadfile"),  # a worker a core, a file to one worker
)


def main() -> int:
    """Exit code of the first step that fails, else 0."""
    for step in STEPS:
        print(f"== {' '.join(step)}", flush=True)
        code = subprocess.run([sys.executable, "-m", *step], cwd=ROOT, check=False).returncode
        if code:
            return code
    return 0


if __name__ == "__main__":
    sys.exit(main())
