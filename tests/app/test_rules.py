"""The rules and their records."""

import re
from html import unescape

import pytest

from tests.app.helpers_app import a_client
from wareontology.technique.rule_record import shipped
from wareontology.technique.rules import engine, explain

CLIENT = a_client()
NAMES = [one.name for one in engine().rules]


def page(path: str) -> str:
    response = CLIENT.get(path, headers={"Accept": "text/html"})
    assert response.status_code == 200, path
    return response.get_data(as_text=True)


def test_every_rule_is_listed_once() -> None:
    assert sorted(re.findall(r'href="/rule/(\w+)"', page("/rules"))) == sorted(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_a_rule_says_what_it_stands_on(name: str) -> None:
    text, rule = unescape(page(f"/rule/{name}")), explain(name)
    for key in ("premises", "looked", "exceptions"):
        words = rule[key]
        assert isinstance(words, list)
        assert all(str(word) in text for word in words)
    assert str(rule["why"]) in text
    assert str(rule["so"]) in text
    if rule["source"]:
        assert f'href="/source/{rule["source"]}"' in text


@pytest.mark.parametrize("name", NAMES)
def test_a_record_names_every_ware_it_rests_on(name: str) -> None:
    text, record = page(f"/rule/{name}"), shipped()[name]
    named = set(re.findall(r'href="/tradition/([^"]+)"', text))
    if record is None:
        assert "not tried" in text
        assert not named
        return
    assert named == set(record["traditions"])
    if record["failed"]:
        failed = text.split("It failed for")[1]
        assert set(re.findall(r'href="/tradition/([^"]+)"', failed)) == set(record["failed"])
    if named:
        low, high = (f"{100 * end:.0f}" for end in record["interval"])
        assert f"from {low} to {high} in 100" in text
        for region in record["by_region"]:
            assert f'href="/term/region/{region}"' in text


def test_the_answer_page_leads_to_its_rules_and_look_alikes() -> None:
    from tests.app.helpers_app import post
    from wareontology.app import reading
    from wareontology.paths import data
    from wareontology.sherd.table import read

    sherd = next(one for one in read(data("demo", "sherds.csv")).sherds if one.sherd == "K-07")
    client = a_client()
    text = post(client, "/answer", {"record": reading.record(sherd)}).get_data(as_text=True)
    answer = reading.answered(sherd)
    assert answer["findings"]
    for finding in answer["findings"]:
        assert f'href="/rule/{finding["rule"]}"' in text
    for alike in answer["look_alikes"] or ():
        assert f'href="/tradition/{alike["tradition"]}"' in text
        assert alike["label"] in text
        assert f"Alike: {alike['why']}." in unescape(text)
