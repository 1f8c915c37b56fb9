"""One Chromium and one served app for all browser tests; without Chromium they skip by name."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from selenium.webdriver import Chrome

from tests.app.browser.browser import chromium, need_chromium, served, set_dark, set_width


@pytest.fixture(scope="session")
def app_address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    records: Path = tmp_path_factory.mktemp("served") / "records"
    with served(RECORDS=str(records)) as address:
        yield address


@pytest.fixture(scope="session")
def _one_chromium() -> Iterator[Chrome]:
    need_chromium()
    with chromium() as driver:
        yield driver


@pytest.fixture
def driver(_one_chromium: Chrome) -> Chrome:
    """Chromium as a desk has it, in a light system, with no cookie of another test."""
    set_width(_one_chromium, 1440)
    set_dark(_one_chromium, False)
    _one_chromium.delete_all_cookies()
    return _one_chromium
