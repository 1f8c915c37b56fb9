"""A real Chromium, an app served to it on the loopback address, and axe-core to judge its pages."""

import importlib.util
import os
import shutil
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

import pytest
from selenium.webdriver import Chrome, ChromeOptions
from selenium.webdriver.chrome.service import Service
from werkzeug.serving import make_server

from wareontology.app import create_app

CHROMIUM: Final = shutil.which("chromium") or shutil.which("chromium-browser")
DRIVER: Final = shutil.which("chromedriver")
FLAGS: Final = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync",
    "--disable-background-networking", "--disable-component-update", "--force-color-profile=srgb",
    "--hide-scrollbars",
)  # fmt: skip
MISSING: Final = "Chromium and its driver are not installed (apt-get install chromium chromium-driver)"


def need_chromium() -> None:
    """Skip where there is no Chromium; under CI its absence is a failure."""
    if CHROMIUM and DRIVER:
        return
    if os.environ.get("CI"):
        pytest.fail(MISSING)
    pytest.skip(MISSING)


@contextmanager
def served(**config: Any) -> Iterator[str]:
    """The address of a fresh app, served until the end of the block."""
    server = make_server("127.0.0.1", 0, create_app({"TESTING": True, **config}), threaded=True)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


@contextmanager
def chromium(scripts: bool = True, dark: bool = False) -> Iterator[Chrome]:
    """A fresh Chromium, with or without scripts, in a light or a dark system."""
    assert CHROMIUM
    assert DRIVER
    options = ChromeOptions()
    options.binary_location = CHROMIUM
    with tempfile.TemporaryDirectory() as profile:
        for flag in (*FLAGS, f"--user-data-dir={profile}"):
            options.add_argument(flag)
        if not scripts:
            options.add_experimental_option(
                "prefs", {"profile.managed_default_content_settings.javascript": 2}
            )
        driver = Chrome(options=options, service=Service(DRIVER))
        try:
            set_dark(driver, dark)
            yield driver
        finally:
            driver.quit()


def set_dark(driver: Chrome, dark: bool) -> None:
    """What the system prefers, as pages see it."""
    features = [{"name": "prefers-color-scheme", "value": "dark" if dark else "light"}]
    driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": features})


def set_width(driver: Chrome, width: int, height: int = 900) -> None:
    """The width of the page itself, as a phone or a desk has it."""
    driver.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride",
        {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False},
    )


def violations(driver: Chrome) -> list[str]:
    """What axe-core finds on the page that is open: rule, how many places, the first of them."""
    driver.execute_script(_axe())
    found = driver.execute_async_script(
        "const done = arguments[0];"
        "axe.run(document, {resultTypes: ['violations']}).then((found) => done(found.violations));"
    )
    return [f"{one['id']} ×{len(one['nodes'])}: {one['nodes'][0]['html'][:160]}" for one in found]


def _axe() -> str:
    """The axe-core that the package carries; the package itself would load another browser's driver."""
    spec = importlib.util.find_spec("axe_playwright_python")
    assert spec is not None
    assert spec.submodule_search_locations
    return Path(spec.submodule_search_locations[0], "axe.min.js").read_text(encoding="utf-8")
