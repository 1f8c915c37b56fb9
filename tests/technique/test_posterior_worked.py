"""The posterior on networks small enough to work by hand, and on cases worked elsewhere."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.technique.helpers_sherds import row, sherd
from wareontology.technique.case import Case
from wareontology.technique.network import Network, Node, Slot
from wareontology.technique.posterior import marginals

Floats = NDArray[np.float64]


def small(*nodes: Node, fires: Floats | None = None, surfaces: tuple[str, ...] = ()) -> Network:
    """A network of one history and one state of the air; every fire is a class of its own."""
    chances = np.ones((1, 1)) if fires is None else fires
    count = chances.shape[1]
    return Network(
        surfaces, nodes, chances, np.arange(count), np.ones((1, count, len(surfaces), 1)),
        np.zeros((count, 1), dtype=np.intp), frozenset(), np.array([0.1]),
    )  # fmt: skip


def test_contrasting_paints_are_seldom_one_material() -> None:
    """By hand: two paints of three states alike likely; equal states weigh 0.1."""
    third = np.full((1, 1, 1, 3), 1 / 3)
    blank = np.ones((1, 3, 1, 1))
    network = small(
        Node("body", None, np.ones((1, 1, 1, 1)), np.ones((1, 1, 1, 1))),
        Node("paint:a", "body", third, blank),
        Node("paint:b", "body", third, blank),
    )
    apart = replace(network, contrasts=frozenset({("paint:a", "paint:b")}))
    first = {Slot("unit", "paint:a"): np.array([[[1.0, 0.0, 0.0]]])}
    assert marginals(network, first).states["paint:b"][0, 0] == pytest.approx(1 / 3)
    assert marginals(apart, first).states["paint:b"][0, 0] == pytest.approx(0.1 / 2.1)
    assert marginals(apart, {}).evidence[0] == pytest.approx((0.1 * 3 + 6) / 9)


# --- a colour is drawn once for each local history ---


def two_paints_of_black(zones: int) -> float:
    """Odds of a paint that is black 9 times in 10 over one that is so 3 times in 10, seen black in zones."""
    surfaces = ("interior", "exterior", "rim", "base")[:zones]
    chances = np.array([[[[0.9, 0.1]], [[0.3, 0.7]]]])  # set, state, history, colour
    network = small(
        Node("body", None, np.full((1, 1, 1, 2), 0.5), chances),
        surfaces=surfaces,
    )
    noise = np.array([[0.95, 0.05]])
    result = marginals(network, {Slot("colour", "body", zone): noise for zone in surfaces})
    return float(result.states["body"][0, 0] / result.states["body"][0, 1])


def test_black_in_four_zones_is_one_colour_seen_four_times() -> None:
    """By hand: with k zones the odds are (0.9 a + 0.1 b) / (0.3 a + 0.7 b), a = 0.95^k, b = 0.05^k. They
    rise to 3, the odds of the true colour itself; four independent witnesses would give 52."""
    for zones in (1, 2, 3, 4):
        a, b = 0.95**zones, 0.05**zones
        assert two_paints_of_black(zones) == pytest.approx((0.9 * a + 0.1 * b) / (0.3 * a + 0.7 * b))
    assert two_paints_of_black(1) < two_paints_of_black(4) < 3.0
    assert two_paints_of_black(1) ** 4 > 50.0


def test_the_same_black_in_more_zones_moves_the_paint_little() -> None:
    """With the shipped tables: less than a doubling or halving over four zones, where four witnesses that
    knew nothing of each other would move iron against manganese by four times the bits of one."""
    zones = ("interior", "exterior", "rim", "base")

    def bits(count: int) -> float:
        seen = sherd(
            row("break", "body", colour="grey"),
            row("interior", "slip", colour="white"),
            *(row(zone, "paint", "line", colour="black", on="slip") for zone in zones[:count]),
            region="colorado-plateau",
        )
        odds = Case.of(seen).odds(Case.of(seen).marginals)["paint:line"]
        return float(np.log2(odds["iron-family"][0] / odds["manganese-family"][0]))

    assert all(abs(bits(count) - bits(1)) < 1.0 for count in (2, 3, 4))


# --- cases worked elsewhere ---


def chain(prior: Sequence[float], likelihood: Sequence[float]) -> Floats:
    """Posterior of a body whose states have this prior, given evidence of this likelihood."""
    blank = np.ones((1, len(prior), 1, 1))
    network = small(Node("body", None, np.array(prior).reshape(1, 1, 1, -1), blank))
    factors = {Slot("unit", "body"): np.array(likelihood).reshape(1, 1, -1)}
    return np.asarray(marginals(network, factors).states["body"][0])


def test_mammography() -> None:
    """Check value: Eddy 1982, "prior .01, sens .792, fpr .096 -> P(c|+)", 0.07692, "published 0.077
    (memory)": from memory, unverified."""
    assert chain([0.01, 0.99], [0.792, 0.096])[0] == pytest.approx(0.07692, abs=5e-6)


def test_taxicab() -> None:
    """Published: Tversky & Kahneman, "base .15, reliability .8", 0.41379 (published 0.41). The witness's
    colour is a colour seen with noise."""
    cab = np.eye(2).reshape(1, 2, 1, 2)
    network = small(Node("body", None, np.array([[[[0.15, 0.85]]]]), cab), surfaces=("interior",))
    result = marginals(network, {Slot("colour", "body", "interior"): np.array([[0.8, 0.2]])})
    assert result.states["body"][0, 0] == pytest.approx(0.41379, abs=5e-6)


def test_sprinkler() -> None:
    """Check values: sprinkler net (Murphy; Russell & Norvig), "P(wet), P(sprinkler|wet), P(rain|wet)" 0.6471,
    0.42976, 0.70793, "published 0.6471, 0.430, 0.708 (memory); run". Its tables: memory, unverified."""
    blank = np.ones((1, 2, 1, 1))
    rain = Node("body", None, np.array([[[[0.8, 0.2]], [[0.2, 0.8]]]]), blank)  # by cloudy, clear
    on = Node("paint", "body", np.array([[[[0.1, 0.9]], [[0.5, 0.5]]]]).repeat(2, axis=2), blank)
    network = small(rain, on, fires=np.array([[0.5, 0.5]]))
    wet = {Slot("link", "paint"): np.array([[[0.99, 0.9], [0.9, 0.0]]])}  # rain, sprinkler
    result = marginals(network, wet)
    assert result.evidence[0] == pytest.approx(0.6471, abs=5e-5)
    assert result.states["paint"][0, 0] == pytest.approx(0.42976, abs=5e-6)
    assert result.states["body"][0, 0] == pytest.approx(0.70793, abs=5e-6)


def asia(*seen: str) -> dict[str, float]:
    """The Asia net (Lauritzen & Spiegelhalter 1988) as a sherd: fires are (visit, smoker), the body is
    (tuberculosis, lung cancer), the paint bronchitis. Tables: "CPTs memory, run in pgmpy 1.1.2"."""
    visit, smoker = np.array([0.01, 0.99]), np.array([0.5, 0.5])
    tub, lung = np.array([[0.05, 0.95], [0.01, 0.99]]), np.array([[0.1, 0.9], [0.01, 0.99]])
    fires = np.outer(visit, smoker).reshape(1, 4)
    body = np.einsum("vt,sl->vstl", tub, lung).reshape(1, 4, 1, 4)
    bronchitis = np.array([[0.6, 0.4], [0.3, 0.7]] * 2).reshape(1, 4, 1, 2).repeat(4, axis=2)
    network = small(
        Node("body", None, body, np.ones((1, 4, 1, 1))),
        Node("paint", "body", bronchitis, np.ones((1, 2, 1, 1))),
        fires=fires,
    )
    either, neither = [0.98], [0.05]
    evidence = {
        "asia": (Slot("fire"), np.array([[1.0, 1.0, 0.0, 0.0]])),
        "xray": (Slot("unit", "body"), np.array([[either * 3 + neither]])),
        "dysp": (Slot("link", "paint"), np.array([[[0.9, 0.7]] * 3 + [[0.8, 0.1]]])),
    }
    result = marginals(network, dict(evidence[name] for name in seen))
    odds = result.states["body"][0].reshape(2, 2)
    return {
        "tub": float(odds[0].sum()),
        "lung": float(odds[:, 0].sum()),
        "bronc": float(result.states["paint"][0, 0]),
        "either": float(1 - odds[1, 1]),
        "evidence": float(result.evidence[0]),
    }


@pytest.mark.parametrize(
    ("seen", "expected"),
    [
        ((), {"tub": 0.0104, "lung": 0.055, "bronc": 0.45, "either": 0.064828}),
        (("xray",), {"evidence": 0.11029004}),
        (("dysp",), {"evidence": 0.4359706}),
        (("asia", "xray", "dysp"), {"tub": 0.39171, "lung": 0.44427, "bronc": 0.62882}),
    ],
)
def test_asia_net(seen: Sequence[str], expected: Mapping[str, float]) -> None:
    """Check values: Asia net, "P(tub),P(lung),P(bronc),P(either),P(xray),P(dysp)" and
    "P(tub|asia,xray,dysp), P(lung|..), P(bronc|..)", run in pgmpy 1.1.2."""
    found = asia(*seen)
    for name, value in expected.items():
        assert found[name] == pytest.approx(value, abs=5e-6), name
