"""The app starts and shows its start page: three doors, what is behind them, and the cautions."""

from pathlib import Path

from tests.app.helpers_app import a_client


def test_start_page_has_three_doors_and_says_what_is_to_come() -> None:
    page = a_client().get("/").get_data(as_text=True)
    for door in ("I have a sherd", "I want this look", "Someone claims"):
        assert door in page
    assert 'href="/bench"' in page
    assert "wareontology gas" in page or "still to come" not in page.casefold()


def test_start_page_names_what_it_rests_on() -> None:
    page = a_client().get("/").get_data(as_text=True)
    for words in ("traditions", "rules", "terms", "sources", "My collection"):
        assert words in page


def test_start_page_cautions() -> None:
    page = a_client().get("/").get_data(as_text=True)
    for word in ("leave", "Lead", "manganese", "food", "authenticity"):
        assert word in page


def test_unknown_page_is_not_found() -> None:
    assert a_client().get("/nowhere").status_code == 404


def test_no_folder_is_made_before_something_is_kept(tmp_path: Path) -> None:
    a_client(RECORDS=str(tmp_path / "records")).get("/")
    assert not (tmp_path / "records").exists()
