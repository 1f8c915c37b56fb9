"""What one test's libraries change must not reach the next: a colour library sets how numpy prints."""

from collections.abc import Iterator
from typing import Final

import numpy as np
import pytest

PRINTED: Final = np.get_printoptions()


def pytest_collection_finish() -> None:
    """Undo what importing the test modules changed."""
    np.set_printoptions(**PRINTED)


@pytest.fixture(autouse=True)
def _as_numpy_prints() -> Iterator[None]:
    yield
    np.set_printoptions(**PRINTED)
