"""The connection is cut and comes back: what was entered is held by the browser and sent, nothing twice."""

from typing import Any

from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By

from tests.app.browser.browser import set_width
from tests.app.browser.hand import enter, named, press, ready, text_of, type_into, wait
from tests.app.helpers_app import SHOWN
from wareontology.sherd.table import read

(PLAIN,) = read(SHOWN / "plain_case.csv").sherds


def cut(driver: Chrome, is_cut: bool) -> None:
    """Cut the connection, or give it back."""
    driver.execute_cdp_cmd("Network.enable", {})
    state: dict[str, Any] = {
        "offline": is_cut,
        "latency": 0,
        "downloadThroughput": -1,
        "uploadThroughput": -1,
    }
    driver.execute_cdp_cmd("Network.emulateNetworkConditions", state)


def forget(driver: Chrome, address: str) -> None:
    """A bench in a browser that holds nothing yet."""
    ready(driver, address)
    driver.execute_script("localStorage.clear()")
    ready(driver, address)


def test_a_sherd_entered_with_the_connection_cut_is_kept_when_it_is_back(
    driver: Chrome, app_address: str
) -> None:
    set_width(driver, 390, 780)
    forget(driver, app_address)
    cut(driver, True)
    try:
        enter(driver, PLAIN)
        type_into(driver, "s.sherd", "cut-1")
        type_into(driver, "who", "AB")
        press(driver, named(driver, "keep"))
        wait(driver, lambda d: "1 held here" in text_of(d, "#held"))
        assert "No connection" in text_of(driver, "#held")
        assert named(driver, "r1.edge", "sharp").is_selected()
        press(driver, driver.find_element(By.CSS_SELECTOR, "#bench button.first"))
        wait(driver, lambda d: "The answer page waits" in text_of(d, "#held"))
    finally:
        cut(driver, False)
    wait(driver, lambda d: "cut-1 is kept in the collection" in text_of(d, "#held"))
    assert "held here" not in text_of(driver, "#held")
    driver.get(f"{app_address}/collection")
    assert text_of(driver, "main").count("cut-1") == 1


def test_a_page_that_was_left_offers_what_was_not_kept(driver: Chrome, app_address: str) -> None:
    forget(driver, app_address)
    enter(driver, PLAIN)
    wait(
        driver,
        lambda d: "s.sherd=plain" in str(d.execute_script("return localStorage['wareontology.draft']")),
    )
    wait(driver, lambda d: "paint line" in text_of(d, "#zone-list"))
    ready(driver, app_address)
    wait(driver, lambda d: "is still held" in text_of(d, "#held"))
    press(driver, driver.find_element(By.XPATH, "//button[text()='Take it up']"))
    wait(driver, lambda d: d.find_elements(By.ID, "r2"))
    assert named(driver, "r1.edge", "sharp").is_selected()


def test_another_of_the_same_name_is_not_overwritten_and_not_lost(driver: Chrome, app_address: str) -> None:
    for colour in ("white", "red"):
        forget(driver, app_address)
        enter(driver, PLAIN)
        press(driver, named(driver, "r0.colour", colour))
        type_into(driver, "s.sherd", "twice")
        type_into(driver, "who", "AB")
        press(driver, named(driver, "keep"))
        said = "is kept" if colour == "white" else "was not taken"
        wait(driver, lambda d, said=said: said in text_of(d, "#held"))
    assert "another one of that name" in text_of(driver, "#held")
    press(driver, driver.find_element(By.XPATH, "//button[text()='Look at it']"))
    wait(driver, lambda d: d.find_elements(By.ID, "r2"))
    assert wait(driver, lambda d: named(d, "r0.colour", "red").is_selected())


def test_without_a_name_it_says_what_is_missing(driver: Chrome, app_address: str) -> None:
    forget(driver, app_address)
    press(driver, named(driver, "keep"))
    wait(driver, lambda d: "needs a name or number" in text_of(d, "#held"))
