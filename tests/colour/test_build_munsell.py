"""data/munsell.csv is what its builder writes."""

from pathlib import Path

from wareontology import paths
from wareontology.colour.build_munsell import write


def test_the_shipped_table_is_a_fresh_one(tmp_path: Path) -> None:
    fresh = write(tmp_path / "munsell.csv").read_text(encoding="utf-8").splitlines()
    shipped = paths.data("munsell.csv").read_text(encoding="utf-8").splitlines()
    # The header names the version of colour-science it was built with; the numbers must not depend on it.
    numbers = [[line for line in lines if not line.startswith("#")] for lines in (fresh, shipped)]
    assert numbers[0] == numbers[1]
    assert fresh[0] == shipped[0]
