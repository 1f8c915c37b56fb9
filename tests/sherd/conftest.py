from pathlib import Path

import pytest


@pytest.fixture(scope="session")
def cases() -> Path:
    """Tables to read, good and bad."""
    return Path(__file__).resolve().parent.parent / "cases" / "tables"
