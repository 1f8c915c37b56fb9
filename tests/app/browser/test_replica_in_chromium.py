"""The doors *I want this look* and *Someone claims* in Chromium: axe-core, width, nothing from elsewhere."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By

from tests.app.browser.browser import served
from tests.app.browser.hand import wait
from tests.app.browser.test_pages_in_chromium import _SEND, LOOKS, look, sound
from tests.app.test_replica import ASKED
from tests.replica.test_photo import AREA, GREY, OTHER, scene
from wareontology.app.claim_form import EXAMPLE
from wareontology.paths import data


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("WAREONTOLOGY_CACHE", str(tmp_path_factory.getbasetemp() / "kept"))
        with served(PLAN_MEMBERS=100) as found:
            yield found


@LOOKS
@pytest.mark.parametrize(
    "path",
    ["/look", "/look/recipe", "/look/recipe?material=red-ochre&parts=2&material=red-clay&parts=1", "/claim",
     "/claim?example=1", "/compare", "/compare?example=1"],
)  # fmt: skip
def test_pages_to_fill_in(driver: Chrome, address: str, width: int, dark: bool, path: str) -> None:
    look(driver, width, dark)
    driver.get(address + path)
    sound(driver)


@LOOKS
def test_a_look_is_planned(driver: Chrome, address: str, width: int, dark: bool) -> None:
    look(driver, width, dark)
    driver.get(f"{address}/look")
    driver.execute_script(_SEND, f"{address}/look", ASKED)
    wait(driver, lambda d: "/look/plan/" in d.current_url)
    sound(driver)  # while it is planned, too
    wait(driver, lambda d: d.find_elements(By.CSS_SELECTOR, "section.plan"))
    sound(driver)


@LOOKS
def test_a_look_that_is_refused(driver: Chrome, address: str, width: int, dark: bool) -> None:
    look(driver, width, dark)
    driver.get(f"{address}/look")
    driver.execute_script(_SEND, f"{address}/look", {**ASKED, "altitude_m": "high"})
    wait(driver, lambda d: "It was not planned" in d.find_element(By.TAG_NAME, "main").text)
    sound(driver)


@LOOKS
def test_a_claim_is_judged_from_its_file(driver: Chrome, address: str, width: int, dark: bool) -> None:
    look(driver, width, dark)
    driver.get(f"{address}/claim")
    for field, name in (("file", "claim.toml"), ("originals", "originals.csv"), ("replicas", "replicas.csv")):
        driver.find_element(By.NAME, field).send_keys(str(data("demo", name)))
    driver.find_element(By.CSS_SELECTOR, "main button.first").click()
    wait(driver, lambda d: d.find_elements(By.CSS_SELECTOR, "dl.verdicts"))
    assert "Do others not give it? Not shown." in driver.find_element(By.TAG_NAME, "main").text
    sound(driver)


@LOOKS
def test_a_claim_with_faults(driver: Chrome, address: str, width: int, dark: bool) -> None:
    look(driver, width, dark)
    driver.get(f"{address}/claim")
    driver.execute_script(_SEND, f"{address}/claim", {**EXAMPLE, "ware": "", "series.0.fired": "many"})
    wait(driver, lambda d: d.find_elements(By.CSS_SELECTOR, ".fault"))
    sound(driver)


@LOOKS
def test_two_tables_are_compared(driver: Chrome, address: str, width: int, dark: bool) -> None:
    look(driver, width, dark)
    driver.get(f"{address}/compare")
    for name in ("originals", "replicas"):
        driver.find_element(By.NAME, name).send_keys(str(data("demo", f"{name}.csv")))
    driver.find_element(By.CSS_SELECTOR, "main button.first").click()
    wait(driver, lambda d: "Fresh breaks" in d.find_element(By.TAG_NAME, "main").text)
    sound(driver)


@LOOKS
def test_areas_of_a_photo_are_compared(
    driver: Chrome, address: str, width: int, dark: bool, tmp_path: Path
) -> None:
    look(driver, width, dark)
    driver.get(f"{address}/compare")
    driver.find_element(By.NAME, "photo").send_keys(str(scene(tmp_path)))
    boxes = {"grey": GREY, "original": AREA, "replica": OTHER}
    for name, box in boxes.items():
        driver.find_element(By.NAME, name).send_keys(str(box))
    send = driver.find_elements(By.CSS_SELECTOR, "main form button")[-1]
    driver.execute_script("arguments[0].click()", send)
    wait(driver, lambda d: "Areas of the photo" in d.find_element(By.TAG_NAME, "main").text)
    sound(driver)


@LOOKS
def test_tables_with_faults(driver: Chrome, address: str, width: int, dark: bool, tmp_path: Path) -> None:
    look(driver, width, dark)
    (tmp_path / "bad.csv").write_text("sherd,zone,layer,colour\nA,nowhere,slip,red\n", "utf-8")
    driver.get(f"{address}/compare")
    for name in ("originals", "replicas"):
        driver.find_element(By.NAME, name).send_keys(str(tmp_path / "bad.csv"))
    driver.find_element(By.CSS_SELECTOR, "main button.first").click()
    wait(driver, lambda d: d.find_elements(By.CSS_SELECTOR, ".fault"))
    sound(driver)
