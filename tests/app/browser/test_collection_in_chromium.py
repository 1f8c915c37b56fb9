"""The collection and the phone's pages in Chromium, a sherd with answer, note, photo and history in it."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By

from tests.app.browser.browser import served
from tests.app.browser.hand import wait
from tests.app.browser.test_pages_in_chromium import _SEND, DEMO, LOOKS, look, sound
from tests.records.helpers import picture
from wareontology.app import reading
from wareontology.records.store import Store
from wareontology.sherd.jsonld import from_jsonld, to_jsonld
from wareontology.sherd.record import Sherd
from wareontology.technique import kept
from wareontology.technique.answer import answer

SHERD, ORIGINAL = DEMO["K-07"], DEMO["V-06"]
BESIDE = f"/sherd/{kept.id_of(SHERD)}?beside={kept.id_of(ORIGINAL)}"


def otherwise(sherd: Sherd) -> Sherd:
    """The same sherd with one cell seen otherwise."""
    body = to_jsonld(sherd)
    return from_jsonld({**body, "form": "open" if body.get("form") != "open" else "closed"})


@pytest.fixture(scope="module")
def collection(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of an app whose records hold one sherd with all that may belong to it."""
    folder: Path = tmp_path_factory.mktemp("collection") / "records"
    store, name = Store(folder), kept.id_of(SHERD)
    first = kept.keep(store, SHERD, who="AB", why="first look", expected_version=None)
    kept.keep_answer(store, SHERD, answer(SHERD, draws=0), draws=0, who="AB", why="first look")
    second = kept.keep(
        store, otherwise(SHERD), who="CD", why="the rim says otherwise", expected_version=first.number
    )
    store.undo("sherd", name, who="AB", why="it does not", expected_version=second.number)
    note = {"about": {"kind": "sherd", "id": name}, "text": "Joins to be looked for in the same box."}
    store.put("note", "n1", note, who="AB", why="noted", expected_version=None)
    photo = picture("JPEG", (1200, 800))
    store.add_photo(photo, ("sherd", name), caption="The outside", who="AB", why="photographed")
    kept.keep(store, ORIGINAL, who="AB", why="an original", expected_version=None)
    theirs = ("sherd", kept.id_of(ORIGINAL))
    store.add_photo(picture("PNG", (600, 900)), theirs, caption="Inside", who="AB", why="photographed")
    with served(RECORDS=str(folder), PHONE=True, TRUSTED_HOSTS=["127.0.0.1"]) as address:
        yield address


@LOOKS
@pytest.mark.parametrize("path", ["", "?text=nothing+like+it", f"/sherd/{kept.id_of(SHERD)}", BESIDE])
def test_the_collection(driver: Chrome, collection: str, width: int, dark: bool, path: str) -> None:
    look(driver, width, dark)
    driver.get(f"{collection}/collection{path}")
    driver.execute_script("for (const each of document.querySelectorAll('details')) each.open = true")
    sound(driver)


@LOOKS
def test_two_who_saw_one_sherd_differently(driver: Chrome, collection: str, width: int, dark: bool) -> None:
    look(driver, width, dark)
    driver.get(f"{collection}/collection")
    fields = {"record": reading.record(otherwise(SHERD)), "who": "EF", "why": "again"}
    driver.execute_script(_SEND, f"{collection}/collection/keep", fields)
    wait(driver, lambda d: "is kept already" in d.title)
    assert "AB saved it" in driver.find_element(By.TAG_NAME, "main").text
    sound(driver)


@LOOKS
@pytest.mark.parametrize("path", ["/phone", "/phone/pair"])
def test_the_pages_of_the_phone(driver: Chrome, collection: str, width: int, dark: bool, path: str) -> None:
    look(driver, width, dark)
    driver.get(collection + path)
    sound(driver)
