"""The pages of the graph in Chromium: traditions, rules, terms, sources, SPARQL; axe-core at both widths."""

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.support.select import Select

from tests.app.browser.browser import set_width
from tests.app.browser.hand import wait
from tests.app.browser.test_pages_in_chromium import LOOKS, look, sound

PAGES = (
    "/traditions", "/traditions?region=colorado-plateau", "/traditions?region=nowhere",
    "/tradition/aeg-attic-gloss",
    "/traditions/contrast?first=us-tusayan-white&second=us-chuska-mineral", "/traditions/network",
    "/rule/NotOxidisingFromOrganicBlackRule", "/rule/PeakUnknownFromDarkCoreRule", "/terms?word=fuzzy",
    "/term/edge", "/term/paint-material/organic", "/term/region/colorado-plateau", "/term/edge/fuzzy",
    "/def/ShortOfAir", "/shape/NoRedAnywhere", "/source/aloupi-siotis-2020", "/sparql",
    "/sparql?format=html&query=SELECT+*+%7B+%3Fregion+a+wo:Region+%7D",
    "/sparql?format=html&query=SELECT+nothing",
)  # fmt: skip


@LOOKS
@pytest.mark.parametrize("path", PAGES)
def test_the_graph(driver: Chrome, app_address: str, width: int, dark: bool, path: str) -> None:
    look(driver, width, dark)
    driver.get(app_address + path)
    driver.execute_script("for (const each of document.querySelectorAll('details')) each.open = true")
    sound(driver)


def test_the_map_is_read_at_either_width(driver: Chrome, app_address: str) -> None:
    for width in (390, 1440):
        set_width(driver, width)
        driver.get(f"{app_address}/traditions")
        seen = driver.execute_script(
            "return [...document.querySelectorAll('.world')].filter((map) => map.getClientRects().length)"
            ".map((map) => [map.querySelectorAll('.dot').length,"
            " Math.min(...[...map.querySelectorAll('text')].map((text) =>"
            " parseFloat(getComputedStyle(text).fontSize) * map.getBoundingClientRect().width"
            " / map.viewBox.baseVal.width))])"
        )
        regions = len(driver.find_elements(By.CSS_SELECTOR, ".regions .key"))
        without = driver.find_element(By.CSS_SELECTOR, ".regions").text.count("–")
        assert sum(dots for dots, _ in seen) == regions - without
        assert min(letters for _, letters in seen) >= 11  # px; smaller is not read on paper either


def test_no_name_on_the_map_lies_over_another(driver: Chrome, app_address: str) -> None:
    driver.get(f"{app_address}/traditions")
    over = driver.execute_script(
        "const texts = [...document.querySelectorAll('.world.for-desk text')];"
        "const boxes = texts.map((text) => text.getBoundingClientRect()); const found = [];"
        "boxes.forEach((one, i) => boxes.slice(i + 1).forEach((two, j) => {"
        " if (one.left < two.right - 2 && two.left < one.right - 2 && one.top < two.bottom - 5"
        " && two.top < one.bottom - 5) found.push([texts[i].textContent, texts[i + 1 + j].textContent]); }));"
        "return found;"
    )
    assert over == []


def test_from_a_tradition_to_another_beside_it(driver: Chrome, app_address: str) -> None:
    driver.get(f"{app_address}/tradition/us-tusayan-white")
    Select(driver.find_element(By.ID, "second")).select_by_value("us-chuska-mineral")
    driver.find_element(By.CSS_SELECTOR, "aside button").click()
    wait(driver, lambda d: "/traditions/contrast" in d.current_url)
    assert "What would tell them apart" in driver.find_element(By.TAG_NAME, "main").text


def test_a_query_is_typed_and_answered(driver: Chrome, app_address: str) -> None:
    driver.get(f"{app_address}/sparql")
    box = driver.find_element(By.ID, "query")
    box.clear()
    box.send_keys("SELECT ?t { ?t a wo:Tradition ; skos:notation 'us-tusayan-white' }")
    driver.find_element(By.CSS_SELECTOR, "form.ask button").click()
    wait(driver, lambda d: d.find_elements(By.CSS_SELECTOR, "table.rows td a"))
    driver.find_element(By.CSS_SELECTOR, "table.rows td a").click()
    wait(driver, lambda d: d.current_url == f"{app_address}/tradition/us-tusayan-white")
