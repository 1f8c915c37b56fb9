from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("unhurried", deadline=None)  # a busy machine is no fault of the code
settings.load_profile("unhurried")


@pytest.fixture(scope="session")
def cases() -> Path:
    """Tables to read, good and bad."""
    return Path(__file__).resolve().parent.parent / "cases" / "tables"
