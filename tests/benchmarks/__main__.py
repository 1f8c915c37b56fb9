"""`python -m tests.benchmarks [NAME ...]`: one table of ratios."""

import sys
from importlib import import_module
from pathlib import Path

from tests.benchmarks import table


def main(names: list[str]) -> int:
    """Print the table; 0 where every target is reached, 1 where one is not, 2 for a name that is none."""
    here = Path(__file__).parent
    known = sorted(path.stem for path in here.glob("*.py") if not path.stem.startswith("_"))
    unknown = [name for name in names if name not in known]
    if unknown:
        print(f"found {', '.join(unknown)}; would do: {', '.join(known)}", file=sys.stderr)
        return 2
    ratios = []
    for name in names or known:
        print(f"measuring {name}", file=sys.stderr, flush=True)
        ratios += list(import_module(f"tests.benchmarks.{name}").ratios())
    print(table(ratios))
    return 0 if all(one.met for one in ratios) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
