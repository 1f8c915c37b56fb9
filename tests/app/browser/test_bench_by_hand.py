"""The cases of the first issue, entered by hand at the bench in Chromium, give what the command gives."""

import json
from typing import Any

import pytest
from click.testing import CliRunner
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.support.ui import Select

from tests.app.browser.browser import chromium, need_chromium, set_width
from tests.app.browser.hand import enter, named, press, read_sherd, ready, text_of, type_into, wait
from tests.app.helpers_app import SHOWN
from wareontology.cli import cli
from wareontology.sherd.record import Sherd
from wareontology.sherd.table import read
from wareontology.technique.prose_verdict import verdict_sentences

CASES = sorted(path.stem for path in SHOWN.glob("*.csv"))
(PLAIN,) = read(SHOWN / "plain_case.csv").sherds


def by_command(case: str) -> list[dict[str, Any]]:
    result = CliRunner().invoke(cli, ["infer", str(SHOWN / f"{case}.csv"), "--json"])
    assert result.exit_code == 0
    found: list[dict[str, Any]] = json.loads(result.stdout)
    return found


def without_rows(answer: dict[str, Any]) -> dict[str, Any]:
    """An answer without the numbers of a table's rows, which a form has not."""
    for flip in answer["flips"]:
        flip["row"].pop("number")
    for item in answer["conflict"]["items"]:
        item.pop("rows")
    return answer


def by_bench(driver: Chrome, address: str, sherd: Sherd) -> dict[str, Any]:
    """The answer that the page of a sherd entered by hand gives away as JSON."""
    ready(driver, address)
    enter(driver, sherd)
    read_sherd(driver)
    text = driver.execute_async_script(
        "const done = arguments[0]; const form = document.querySelector('form.files');"
        "const body = new URLSearchParams(new FormData(form)); body.set('form', 'json');"
        "fetch(form.action, {method: 'POST', body}).then((found) => found.text()).then(done);"
    )
    (found,) = json.loads(text)
    return dict(found)


@pytest.mark.parametrize("case", CASES)
def test_the_bench_answers_as_the_command_does(driver: Chrome, app_address: str, case: str) -> None:
    for sherd, told in zip(read(SHOWN / f"{case}.csv").sherds, by_command(case), strict=True):
        found = by_bench(driver, app_address, sherd)
        assert without_rows(found) == without_rows(told), sherd.sherd
        assert text_of(driver, ".answer .lead") == " ".join(verdict_sentences(told))


def test_the_same_by_thumb_on_a_phone(driver: Chrome, app_address: str) -> None:
    set_width(driver, 390, 780)
    (told,) = by_command("plain_case")
    assert without_rows(by_bench(driver, app_address, PLAIN)) == without_rows(told)


def test_the_same_with_scripts_off(app_address: str) -> None:
    need_chromium()
    (told,) = by_command("plain_case")
    with chromium(scripts=False) as driver:
        driver.get(f"{app_address}/bench")
        assert not driver.find_elements(By.CSS_SELECTOR, "html[data-ready]"), "scripts are off"
        enter(driver, PLAIN)
        read_sherd(driver)
        assert text_of(driver, ".answer .lead") == " ".join(verdict_sentences(told))
        press(driver, driver.find_element(By.XPATH, "//button[contains(., 'Back to the bench')]"))
        wait(driver, lambda d: d.find_elements(By.ID, "r2"))
        assert named(driver, "r1.edge", "sharp").is_selected()


def test_the_answer_reads_itself_anew_and_nothing_typed_is_lost(driver: Chrome, app_address: str) -> None:
    ready(driver, app_address)
    enter(driver, PLAIN)
    wait(driver, lambda d: "reducing" in text_of(d, "#reading"))
    before = text_of(driver, "#reading .verdict")
    press(driver, named(driver, "r1.colour", "red"))
    wait(driver, lambda d: text_of(d, "#reading .verdict") != before)
    field = named(driver, "r0.munsell")
    press(driver, field)
    field.send_keys("10YR 8/99")
    wait(driver, lambda d: d.find_elements(By.CSS_SELECTOR, '#reading [data-field="r0.munsell"]'))
    assert driver.switch_to.active_element == field
    assert field.get_attribute("value") == "10YR 8/99"
    assert field.get_attribute("aria-invalid") == "true"
    type_into(driver, "r0.munsell", "10YR 8/2")
    wait(driver, lambda d: d.find_elements(By.CSS_SELECTOR, "#reading .verdict"))
    assert field.get_attribute("aria-invalid") is None
    assert named(driver, "r1.edge", "sharp").is_selected()
    assert named(driver, "s.sherd").get_attribute("value") == "plain"


def test_a_layer_taken_out_can_be_put_back_with_all_it_held(driver: Chrome, app_address: str) -> None:
    ready(driver, app_address)
    enter(driver, PLAIN)
    wait(driver, lambda d: "paint line" in text_of(d, "#zone-list"))
    press(driver, driver.find_element(By.CSS_SELECTOR, "#r1 button.remove"))
    wait(driver, lambda d: "paint line" not in text_of(d, "#zone-list"))
    driver.switch_to.active_element.click()
    wait(driver, lambda d: "paint line" in text_of(d, "#zone-list"))
    assert named(driver, "r1.relief", "flat").is_selected()


def test_other_units_are_chosen_and_nothing_typed_is_lost(driver: Chrome, app_address: str) -> None:
    (refired, *_) = read(SHOWN / "plain_case_refired_red.csv").sherds
    ready(driver, app_address)
    enter(driver, refired)
    Select(named(driver, "temperature")).select_by_value("f")
    press(driver, driver.find_element(By.CSS_SELECTOR, ".preferences button"))
    wait(driver, lambda d: named(d, "units.temperature").get_attribute("value") == "f")
    assert named(driver, "r1.refire_c").get_attribute("value") == "1472"  # 800 °C
    assert named(driver, "r1.edge", "sharp").is_selected()
    read_sherd(driver)
    assert "°F" in text_of(driver, "main")
    assert "°C" not in text_of(driver, "main")
    Select(named(driver, "temperature")).select_by_value("c")
    press(driver, driver.find_element(By.CSS_SELECTOR, ".preferences button"))
    wait(driver, lambda d: "°C" in text_of(d, "main"))
    assert text_of(driver, "h1") == f"Sherd {refired.sherd}"


def test_what_the_program_cannot_answer_is_said_and_all_stays(driver: Chrome, app_address: str) -> None:
    ready(driver, app_address)
    driver.execute_script("document.getElementById('bench').dataset.reading = '/nowhere'")
    type_into(driver, "s.site", "a site") if named(driver, "s.site").is_displayed() else type_into(
        driver, "s.sherd", "K"
    )
    wait(driver, lambda d: "does not answer" in text_of(d, "#status"))
    assert named(driver, "s.sherd").get_attribute("value") in ("K", "")
