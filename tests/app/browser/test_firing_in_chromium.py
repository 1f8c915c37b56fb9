"""The firing's pages in Chromium: axe-core, width, the thumbs' reach, a connection cut by the fire, print."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By

from tests.app.browser.browser import chromium, need_chromium, served, set_width
from tests.app.browser.hand import text_of, wait
from tests.app.browser.test_connection_cut import cut
from tests.app.browser.test_pages_in_chromium import FINGER_PX, LOOKS, look, printed_pages, sound
from wareontology.firing.log_read import from_text
from wareontology.firing.plan import example_text, examples
from wareontology.paths import data
from wareontology.records.store import Store
from wareontology.replica import firings_kept

DEMO_LOG = data("demo", "firing_log.csv").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def fire(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, Store]]:
    """An app served with two firings kept: one just planned, one logged to its end."""
    folder: Path = tmp_path_factory.mktemp("fires") / "records"
    store = Store(folder)
    firings_kept.begin(store, "now", example_text("covered-pit"), who="AB")
    firings_kept.begin(store, "past", example_text("covered-pit"), who="AB")
    firings_kept.keep_file(store, "past", DEMO_LOG, who="AB")
    with served(RECORDS=str(folder)) as address:
        yield address, store


def by_the_fire(driver: Chrome, address: str, name: str) -> None:
    driver.get(f"{address}/fire/{name}")
    wait(driver, lambda d: d.find_elements(By.CSS_SELECTOR, "html[data-ready=fire]"))


@LOOKS
@pytest.mark.parametrize(
    "path",
    [
        "/firing", "/firing/plan?example=trench", "/firing/sheet?example=pull-and-cover", "/firing/compare",
        "/firing/compare?plan=covered-pit&plan=pull-and-cover&plan=trench&plan=updraft", "/fire/past",
        "/fire/past/log",
    ],
)  # fmt: skip
def test_every_page_is_sound(
    driver: Chrome, fire: tuple[str, Store], width: int, dark: bool, path: str
) -> None:
    look(driver, width, dark)
    driver.get(fire[0] + path)
    sound(driver)
    pictures = "return [...document.images].every((each) => each.complete && each.naturalWidth > 100)"
    wait(driver, lambda d: d.execute_script(pictures))


@LOOKS
def test_the_fire_page_is_sound_with_each_panel_open(
    driver: Chrome, fire: tuple[str, Store], width: int, dark: bool
) -> None:
    look(driver, width, dark)
    by_the_fire(driver, fire[0], "past")
    for summary in driver.find_elements(By.CSS_SELECTOR, ".thumb summary"):
        summary.click()
        sound(driver)
        sizes = driver.execute_script(
            "return [...document.querySelectorAll('.thumbs summary, .thumb[open] button')]"
            ".map((each) => each.getBoundingClientRect().height)"
        )
        assert min(sizes) >= FINGER_PX


@LOOKS
def test_the_editor_shows_what_is_likely_and_what_is_amiss(
    driver: Chrome, fire: tuple[str, Store], width: int, dark: bool
) -> None:
    look(driver, width, dark)
    driver.get(f"{fire[0]}/firing/plan")
    driver.execute_script("document.querySelector('[value=look]').click()")
    wait(driver, lambda d: d.find_elements(By.ID, "likely"))
    sound(driver)
    depth = driver.find_element(By.NAME, "cover.depth_m")
    depth.clear()
    depth.send_keys("10 cm")
    driver.execute_script("document.querySelector('[value=look]').click()")
    wait(driver, lambda d: d.find_elements(By.ID, "amiss"))
    assert "depth_m = 0.1" in text_of(driver, "main")
    assert driver.find_element(By.NAME, "cover.depth_m").get_attribute("value") == "10 cm"
    sound(driver)


def test_two_buttons_stand_within_the_thumbs_reach(driver: Chrome, fire: tuple[str, Store]) -> None:
    set_width(driver, 390, 780)
    by_the_fire(driver, fire[0], "now")
    buttons = driver.find_elements(By.CSS_SELECTOR, ".thumb > summary")
    boxes = [driver.execute_script("return arguments[0].getBoundingClientRect()", one) for one in buttons]
    assert len(boxes) == 2
    for box in boxes:
        assert box["height"] >= FINGER_PX
        assert 780 - 120 <= box["top"] <= box["bottom"] <= 780
    assert (
        driver.execute_script("return parseFloat(getComputedStyle(document.getElementById('step')).fontSize)")
        > 40
    )


def test_a_line_takes_two_touches_and_the_connection_may_be_cut(
    driver: Chrome, fire: tuple[str, Store]
) -> None:
    address, store = fire
    set_width(driver, 390, 780)
    by_the_fire(driver, address, "now")
    driver.execute_script("localStorage.clear()")
    done, write = driver.find_elements(By.CSS_SELECTOR, ".thumb > summary")
    done.click()
    driver.find_element(By.CSS_SELECTOR, '.thumb[open] [name=event][value="lit"]:not(#done)').click()
    wait(driver, lambda d: "Saved," in text_of(d, "#held"))
    assert text_of(driver, "#step") == "Preheat"
    cut(driver, True)
    try:
        write.click()
        driver.find_element(By.CSS_SELECTOR, '.thumb[open] [value="dark red"]').click()
        wait(driver, lambda d: "No connection" in text_of(d, "#held"))
        assert "1 held by this phone" in text_of(driver, "#held")
        done.click()
        driver.find_element(By.ID, "done").click()  # the step moves on without a connection
        wait(driver, lambda d: text_of(d, "#step") == "Fire")
        wait(driver, lambda d: "2 held by this phone" in text_of(d, "#held"))
        assert len(store.find("log", about=("firing", "now")).things) == 1
    finally:
        cut(driver, False)
    wait(driver, lambda d: "held by this phone" not in text_of(d, "#held"))
    assert text_of(driver, "#step") == "Fire"
    assert "Last saved" in text_of(driver, "#saved")
    log = firings_kept.log_of(store, "now")
    assert log.faults == ()
    assert [one.event for one in log.log.said] == ["lit", "preheated"]
    assert log.log.readings == 1
    assert driver.execute_script("return localStorage.length") == 1
    assert driver.execute_script("return localStorage['wareontology.fire.now']") == "[]"


def test_lines_held_when_the_page_is_closed_are_sent_when_it_is_opened(
    driver: Chrome, fire: tuple[str, Store]
) -> None:
    address, store = fire
    by_the_fire(driver, address, "now")
    before = len(store.find("log", about=("firing", "now")).things)
    held = '[{"id": "left-behind", "cells": {"time": "2026-05-02T10:00:00+00:00", "note": "held"}}]'
    driver.execute_script("localStorage['wareontology.fire.now'] = arguments[0]", held)
    for _ in range(2):
        by_the_fire(driver, address, "now")
        wait(driver, lambda d: d.execute_script("return localStorage['wareontology.fire.now']") == "[]")
    assert len(store.find("log", about=("firing", "now")).things) == before + 1


def test_without_scripts_a_line_is_written_down_all_the_same(fire: tuple[str, Store]) -> None:
    need_chromium()
    address, store = fire
    firings_kept.begin(store, "plain", example_text("trench"), who="AB")
    with chromium(scripts=False) as driver:
        driver.get(f"{address}/fire/plain")
        driver.find_elements(By.CSS_SELECTOR, ".thumb > summary")[1].click()
        driver.find_element(By.CSS_SELECTOR, '.thumb[open] [value="cherry red"]').click()
        wait(driver, lambda d: "cherry red" in text_of(d, ".last"))
    assert firings_kept.log_of(store, "plain").log.temperature_c.tolist() == [740.0]


@pytest.mark.parametrize("name", examples())
def test_the_plan_and_its_pencil_log_print_on_one_page(
    driver: Chrome, fire: tuple[str, Store], name: str
) -> None:
    driver.get(f"{fire[0]}/firing/sheet?example={name}")
    assert printed_pages(driver) == 1


def test_the_log_of_the_page_is_read_by_the_command(fire: tuple[str, Store]) -> None:
    found = from_text(firings_kept.csv_of(fire[1], "past"))
    assert found.faults == ()
    assert found.log.readings == 20
