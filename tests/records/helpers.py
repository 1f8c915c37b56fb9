"""What the tests of the store share: a note kept, a picture, a process that saves."""

import io
import os
import subprocess
import sys
from pathlib import Path
from typing import Final

from PIL import Image

from wareontology.records.store import Store
from wareontology.records.version import Version

ROOT: Final = Path(__file__).resolve().parent.parent.parent


def keep(store: Store, name: str, text: str, over: Version | None = None, who: str = "AB") -> Version:
    """One note saved on top of a version, or as a new one."""
    expected = over.number if over is not None else None
    return store.put("note", name, {"text": text}, who=who, why="a test", expected_version=expected)


def text_of(store: Store, name: str) -> str | None:
    found = store.get("note", name)
    return None if found is None or found.body is None else str(found.body["text"])


def picture(form: str = "PNG", size: tuple[int, int] = (40, 30), **options: object) -> bytes:
    out = io.BytesIO()
    Image.linear_gradient("L").resize(size).convert("RGB").save(out, form, **options)
    return out.getvalue()


def process(script: str, *arguments: str) -> "subprocess.Popen[str]":
    """Python in a process of its own, its output read line by line."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    return subprocess.Popen(
        [sys.executable, "-c", script, *arguments],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment, cwd=ROOT,
    )  # fmt: skip
