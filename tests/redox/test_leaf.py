"""redox is a leaf: it imports errors and paths of ours and no more, loads nothing, and needs only numpy."""

import ast
import subprocess
import sys
from pathlib import Path

import wareontology.redox

FOLDER = Path(wareontology.redox.__file__).parent


def test_it_imports_only_itself_and_errors() -> None:
    for file in FOLDER.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            names = [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            names += [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            for name in names:
                if name.startswith("wareontology"):
                    allowed = ["wareontology.errors", "wareontology.redox"]
                    if file.name == "build_gas.py":  # the builder alone knows where data lies
                        allowed.append("wareontology.paths")
                    assert name.startswith(tuple(allowed)), f"{file.name} imports {name}"


def test_importing_all_of_it_needs_neither_scipy_nor_cantera() -> None:
    modules = [f"wareontology.redox.{file.stem}" for file in FOLDER.glob("*.py") if file.stem != "__init__"]
    heavy = {"scipy", "cantera", "rdflib", "matplotlib"}
    code = f"import sys, {', '.join(modules)}; print(sorted({heavy} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
