"""Every page in Chromium, at a phone's and a desk's width, light and dark: axe-core, width, targets."""

import base64
import re
from pathlib import Path

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

from tests.app.browser.browser import set_dark, set_width, violations
from tests.app.browser.hand import ready, wait
from tests.app.helpers_app import fields_of
from wareontology.paths import data
from wareontology.sherd.record import Sherd
from wareontology.sherd.table import read

LOOKS = pytest.mark.parametrize(
    ("width", "dark"), [(390, False), (390, True), (1440, False), (1440, True)],
    ids=["390 light", "390 dark", "1440 light", "1440 dark"],
)  # fmt: skip
DEMO = {sherd.sherd: sherd for sherd in read(data("demo", "sherds.csv")).sherds}
FINGER_PX = 44

_SEND = """
const form = document.createElement('form'); form.method = 'post'; form.action = arguments[0];
const add = (name, value) => { const field = document.createElement('input');
  field.type = 'hidden'; field.name = name; field.value = value; form.append(field); };
for (const [name, value] of Object.entries(arguments[1]))
  for (const each of [].concat(value)) add(name, each);
add('token', document.querySelector('[name=token]').value); document.body.append(form); form.submit();
"""


def send(driver: Chrome, address: str, path: str, sherd: Sherd, **more: str) -> None:
    """A page that is the answer to a form."""
    driver.get(f"{address}/")
    driver.execute_script(_SEND, address + path, {**fields_of(sherd), **more})
    wait(driver, lambda d: d.current_url == address + path and d.find_elements(By.TAG_NAME, "footer"))


def sound(driver: Chrome) -> None:
    """No violation, nothing wider than the page, nothing that the page's own policy stopped."""
    assert violations(driver) == []
    assert driver.execute_script("return document.documentElement.scrollWidth <= innerWidth")
    outside = driver.execute_script(
        "return performance.getEntriesByType('resource').map((each) => each.name)"
        ".filter((name) => new URL(name).origin !== location.origin)"
    )
    assert outside == []


def look(driver: Chrome, width: int, dark: bool) -> None:
    set_width(driver, width)
    set_dark(driver, dark)


@LOOKS
def test_pages_that_stand_alone(driver: Chrome, app_address: str, width: int, dark: bool) -> None:
    look(driver, width, dark)
    driver.get(app_address)
    named_at_the_head = {
        link.get_attribute("href") for link in driver.find_elements(By.CSS_SELECTOR, "header a, main a")
    }
    for page in sorted({f"{app_address}/", f"{app_address}/nowhere", *filter(None, named_at_the_head)}):
        driver.get(page)
        sound(driver)


@LOOKS
def test_the_bench_with_all_its_lines_open(driver: Chrome, app_address: str, width: int, dark: bool) -> None:
    look(driver, width, dark)
    send(driver, app_address, "/bench", DEMO["K-07"])
    driver.execute_script("for (const each of document.querySelectorAll('details')) each.open = true")
    sound(driver)


@LOOKS
def test_the_bench_with_faults(driver: Chrome, app_address: str, width: int, dark: bool) -> None:
    look(driver, width, dark)
    send(driver, app_address, "/answer", DEMO["K-07"], **{"r0.munsell": "blackish", "s.wall_mm": "thick"})
    assert driver.find_elements(By.CSS_SELECTOR, ".fault")
    sound(driver)


@LOOKS
@pytest.mark.parametrize("sherd", ["K-06", "K-07", "K-13"])
def test_the_answer_page(driver: Chrome, app_address: str, width: int, dark: bool, sherd: str) -> None:
    look(driver, width, dark)
    send(driver, app_address, "/answer", DEMO[sherd])
    driver.execute_script("for (const each of document.querySelectorAll('details')) each.open = true")
    sound(driver)


@LOOKS
def test_a_table_with_a_fault(
    driver: Chrome, app_address: str, tmp_path: Path, width: int, dark: bool
) -> None:
    look(driver, width, dark)
    table = tmp_path / "lot.csv"
    table.write_text("sherd,zone,layer,colour\nA-1,rim,slip,white\nA-2,rim,slip,whiteish\n", encoding="utf-8")
    driver.get(f"{app_address}/table")
    driver.find_element(By.ID, "table").send_keys(str(table))
    driver.find_element(By.CSS_SELECTOR, "main button").click()
    wait(driver, lambda d: d.find_elements(By.CSS_SELECTOR, "table.sherds tbody tr"))
    assert "whiteish" in driver.find_element(By.TAG_NAME, "main").text
    sound(driver)


def test_zones_are_reached_by_finger_tab_and_list(driver: Chrome, app_address: str) -> None:
    set_width(driver, 390, 780)
    ready(driver, app_address)
    sizes = driver.execute_script(
        "return [...document.querySelectorAll('.pot a, .zones a, .choice, main button')]"
        ".filter((each) => each.getClientRects().length)"
        ".map((each) => [each.getAttribute('aria-label') ?? each.textContent.trim(),"
        " each.getBoundingClientRect().height])"
    )
    assert len(sizes) > 30
    assert [each for each in sizes if each[1] < FINGER_PX] == []
    zones = driver.find_elements(By.CSS_SELECTOR, ".pot a")
    assert len(zones) == 7
    driver.execute_script("arguments[0].focus()", zones[0])
    reached = [driver.switch_to.active_element.get_attribute("aria-label")]
    for _ in zones[1:]:
        driver.switch_to.active_element.send_keys(Keys.TAB)
        reached.append(driver.switch_to.active_element.get_attribute("aria-label"))
    assert reached == [zone.get_attribute("aria-label") for zone in zones]
    driver.switch_to.active_element.send_keys(Keys.ENTER)
    wait(driver, lambda d: "#zone-" in d.current_url)


def test_not_looked_bare_and_seen_differ_without_colour(driver: Chrome, app_address: str) -> None:
    send(driver, app_address, "/bench", DEMO["K-01"])
    styles = driver.execute_script(
        "return Object.fromEntries([...document.querySelectorAll('.pot .area')].map((each) => {"
        " const style = getComputedStyle(each.querySelector('.shape, .edge'));"
        " return [each.classList[1], [style.strokeDasharray, style.fill.includes('pot-seen')]]; }))"
    )
    assert styles["not-looked"][0] != "none"
    assert styles["seen"][1]
    driver.find_element(By.CSS_SELECTOR, '[name="s.looked"][value="rim"]').click()
    wait(driver, lambda d: d.find_elements(By.CSS_SELECTOR, ".pot .bare .edge"))
    bare = driver.find_element(By.CSS_SELECTOR, ".pot .bare .edge")
    assert bare.value_of_css_property("stroke-dasharray") == "none"


@pytest.mark.parametrize("sherd", ["K-01", "K-07", "P-12", "P-14"])
def test_the_answer_prints_on_two_pages(driver: Chrome, app_address: str, sherd: str) -> None:
    send(driver, app_address, "/answer", DEMO[sherd])
    assert 1 <= printed_pages(driver) <= 2


def test_the_blank_form_prints_on_one_page(driver: Chrome, app_address: str) -> None:
    driver.get(f"{app_address}/bench/blank")
    assert printed_pages(driver) == 1


def printed_pages(driver: Chrome) -> int:
    pdf = driver.execute_cdp_cmd("Page.printToPDF", {"preferCSSPageSize": True})["data"]
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", base64.b64decode(pdf)))
