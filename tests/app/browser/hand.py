"""A hand at the bench: finds a field as a person would, clicks it, types into it."""

from typing import Any

from selenium.common.exceptions import StaleElementReferenceException
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.ui import Select, WebDriverWait

from wareontology.sherd.columns import column
from wareontology.sherd.record import Seen, Sherd

WAIT_S = 20


def wait(driver: Chrome, until: Any) -> Any:
    """What `until` gives as soon as it is something; a part of the page may be set anew meanwhile."""
    ignored = (StaleElementReferenceException,)
    return WebDriverWait(driver, WAIT_S, poll_frequency=0.05, ignored_exceptions=ignored).until(until)


def ready(driver: Chrome, address: str) -> None:
    """The bench, its script at work."""
    driver.get(f"{address}/bench")
    wait(driver, lambda d: d.find_elements(By.CSS_SELECTOR, "html[data-ready=bench]"))


def press(driver: Chrome, element: WebElement) -> None:
    """Click what may lie under a line that must be opened first."""
    for summary in element.find_elements(By.XPATH, "ancestor::details[not(@open)]/summary"):
        centre(driver, summary)
        summary.click()
    centre(driver, element)
    element.click()


def centre(driver: Chrome, element: WebElement) -> None:
    driver.execute_script("arguments[0].scrollIntoView({block: 'center', behavior: 'instant'})", element)


def named(driver: Chrome, name: str, value: str | None = None) -> WebElement:
    chosen = f'[value="{value}"]' if value is not None else ""
    return driver.find_element(By.CSS_SELECTOR, f'[name="{name}"]{chosen}')


def enter(driver: Chrome, sherd: Sherd) -> None:
    """A whole sherd, field by field."""
    type_into(driver, "s.sherd", sherd.sherd)
    for name, cell in sherd.seen.items():
        put(driver, f"s.{name}", cell)
    for place, row in enumerate(sherd.rows):
        press(driver, named(driver, "add", f"{row.zone} {row.layer}"))
        wait(driver, lambda d, place=place: d.find_elements(By.ID, f"r{place}"))
        if row.name is not None:
            type_into(driver, f"r{place}.name", row.name)
        for name, cell in row.seen.items():
            put(driver, f"r{place}.{name}", cell)


def put(driver: Chrome, name: str, cell: Seen) -> None:
    """One cell, by the control its column has."""
    found = column(cell.column)
    if cell.column == "region":
        Select(named(driver, name)).select_by_value(cell.text)
    elif found.kind in ("words", "zones"):
        for word in cell.text.split():
            press(driver, named(driver, name, word))
    elif cell.text.removesuffix("?") in found.choices:
        press(driver, named(driver, name, cell.text.removesuffix("?")))
        if cell.doubtful:
            press(driver, named(driver, f"{name}.doubt"))
    elif found.kind == "colour":
        type_into(driver, f"{name}.typed", cell.text)
    else:
        type_into(driver, name, cell.text)


def type_into(driver: Chrome, name: str, text: str) -> None:
    field = named(driver, name)
    press(driver, field)
    field.clear()
    field.send_keys(text)


def read_sherd(driver: Chrome) -> None:
    """The button that leads to the answer page."""
    press(driver, driver.find_element(By.CSS_SELECTOR, "#bench button.first"))
    wait(driver, lambda d: d.find_elements(By.CSS_SELECTOR, ".answer .lead"))


def text_of(driver: Chrome, selector: str) -> str:
    return str(driver.find_element(By.CSS_SELECTOR, selector).text)
