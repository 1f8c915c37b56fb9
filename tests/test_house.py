"""The house as it was meant: who may import whom, what is shipped, what lies at the top."""

import ast
import shutil
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path
from typing import Final

import pytest

ROOT: Final = Path(__file__).resolve().parent.parent
CODE: Final = ROOT / "wareontology"

# Each may import those before it; a folder may import itself.
ORDER: Final = (
    ("errors", "paths"),
    ("data_rows",),
    ("colour", "redox", "graph", "land"),
    ("records", "firing", "sherd"),
    ("technique",),
    ("replica",),
    ("report", "plots"),
    ("cli", "__main__", "build", "app"),
)
RANK: Final = {name: rank for rank, names in enumerate(ORDER) for name in names}
TOP: Final = {
    "README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml",
    "wareontology", "app", "shapes", "data", "tests",
}  # fmt: skip


def modules() -> list[Path]:
    return sorted(path for path in CODE.rglob("*.py") if "app" not in path.relative_to(CODE).parts)


def room(path: Path) -> str:
    return _room(path.relative_to(CODE).parts[0].removesuffix(".py"))


def _room(name: str) -> str:
    return "cli" if name.startswith("cli_") else name  # the commands, a file a noun


def imports(path: Path) -> list[str]:
    """Every dotted name a file imports, at its top or inside a function."""
    names = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            names += [node.module, *(f"{node.module}.{name.name}" for name in node.names)]
        elif isinstance(node, ast.Import):
            names += [name.name for name in node.names]
    return names


def imported(path: Path) -> set[str]:
    """Rooms of ours that a module imports."""
    parts = [name.split(".") for name in imports(path)]
    ours = {_room(part[1]) for part in parts if part[0] == "wareontology" and len(part) > 1}
    return ours & set(RANK)


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(CODE)))
def test_imports_go_one_way(path: Path) -> None:
    here = room(path)
    if here == "__init__":
        assert imported(path) == set()
        return
    for other in imported(path) - {here}:
        assert RANK[other] < RANK[here] or RANK[here] == len(ORDER) - 1, f"{here} may not import {other}"


@pytest.mark.parametrize(
    ("library", "rooms"),
    [
        ("rdflib", {"graph"}), ("owlrl", {"graph"}), ("pyshacl", {"graph"}),
        ("pyoxigraph", {"graph", "sherd"}),
        ("networkx", {"graph"}), ("flask", set()), ("click", {"cli", "build"}),
        ("matplotlib", {"plots"}), ("cantera", {"redox"}),
    ],
)  # fmt: skip
def test_each_library_has_its_room(library: str, rooms: set[str]) -> None:
    users = {room(path) for path in modules() if library in {name.split(".")[0] for name in imports(path)}}
    assert users <= rooms


def test_no_module_imports_app_by_its_checkout_name() -> None:
    for path in [*modules(), *sorted((ROOT / "app").rglob("*.py"))]:
        assert "app" not in {name.split(".")[0] for name in imports(path)}, path


def test_nothing_else_at_the_top_level() -> None:
    listed = subprocess.run(
        ["git", "ls-tree", "--name-only", "HEAD"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if listed.returncode:
        pytest.skip("not a git checkout")
    assert {name for name in listed.stdout.split() if not name.startswith(".")} <= TOP


def test_every_package_is_listed() -> None:
    listed = set(tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["setuptools"]["packages"])
    present = {
        ".".join(path.parent.relative_to(ROOT).parts)
        for path in CODE.rglob("__init__.py")
        if "app" not in path.relative_to(CODE).parts
    }
    assert listed == present | {"wareontology.app", "wareontology.shapes", "wareontology.data"}


def test_the_wheel_holds_what_the_tree_holds(tmp_path: Path) -> None:
    copy = tmp_path / "tree"  # built from a copy, so that no build folder is left in the checkout
    shutil.copytree(
        ROOT, copy, symlinks=True, ignore=shutil.ignore_patterns(".*", "build", "*.egg-info", "__pycache__")
    )
    command = [
        "wheel",
        "--quiet",
        "--no-deps",
        "--no-build-isolation",
        "--wheel-dir",
        str(tmp_path),
        str(copy),
    ]
    done = subprocess.run(
        [sys.executable, "-m", "pip", *command], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    (wheel,) = tmp_path.glob("*.whl")
    held = {name for name in zipfile.ZipFile(wheel).namelist() if name.startswith("wareontology/")}
    tree = {f"wareontology/{path.relative_to(CODE).as_posix()}" for path in modules()}
    tree.add("wareontology/py.typed")
    for folder in ("app", "shapes", "data"):
        tree |= {
            f"wareontology/{path.relative_to(ROOT).as_posix()}"
            for path in (ROOT / folder).rglob("*")
            if path.is_file() and "__pycache__" not in path.parts
        }
    assert held == tree


def test_the_ci_runs_the_command_of_the_readme() -> None:
    command = (ROOT / ".ci" / "run").read_text().strip().splitlines()[-1]
    assert command in (ROOT / "README.md").read_text(encoding="utf-8")
    assert "'.[dev]'" in command
