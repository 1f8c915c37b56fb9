from hypothesis import given
from hypothesis import strategies as st

from tests.sherd.strategies import sherds, texts
from wareontology.graph import namespaces
from wareontology.sherd import iris
from wareontology.sherd.record import Row, Sherd


def test_a_sherd_without_an_observer_has_the_plain_address() -> None:
    assert iris.of_sherd(Sherd("K 14/2", None, {}, ())) == namespaces.sherd("K 14/2")


@given(texts(), st.none() | texts())
def test_a_record_has_one_address_and_no_other_record_has_it(name: str, observer: str | None) -> None:
    one = iris.of_sherd(Sherd(name, observer, {}, ()))
    assert one.isascii()
    assert " " not in one
    assert one != iris.of_sherd(Sherd(name + "x", observer, {}, ()))
    assert one != iris.of_sherd(Sherd(name, (observer or "") + "x", {}, ()))


@given(sherds())
def test_no_two_rows_of_a_sherd_share_an_address(sherd: Sherd) -> None:
    address = iris.of_sherd(sherd)
    rows = [iris.of_row(address, row) for row in sherd.rows]
    assert len({address, *rows}) == len(rows) + 1


def test_a_name_of_dots_is_no_step_up_the_path() -> None:
    assert iris.of_sherd(Sherd("..", ".", {}, ())).endswith("/sherd/%2E%2E/by/%2E")
    assert iris.of_row("x:", Row("rim", "slip", "..", {})) == "x:/rim/slip/%2E%2E"
