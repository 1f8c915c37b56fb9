"""What is fired before any pot: tiles that tell whether slip and paint fit the body. All common practice."""

from collections.abc import Iterator, Mapping

from wareontology.firing.steps import Step
from wareontology.replica.means import PaintRecipe
from wareontology.replica.slip_fit import FITS_WITHIN


def tiles(made: Mapping[str, PaintRecipe]) -> tuple[Step, ...]:
    """The tiles that come before a firing with these recipes, in order.

    >>> from wareontology.replica.means import recipes
    >>> by_key = {one.key: one for one in recipes()}
    >>> [one.title for one in tiles({"slip": by_key["white-clay"], "paint": by_key["iron-paint"]})]
    ['Shrinkage tiles', 'Slip-fit tiles', 'Paint tiles', 'Colour tiles']
    """
    return tuple(Step(number, *parts) for number, parts in enumerate(_tiles(made), 1))


def _tiles(made: Mapping[str, PaintRecipe]) -> Iterator[tuple[str, str, str]]:
    slips = [one.label for unit, one in made.items() if unit.startswith("slip")]
    paints = [one.label for unit, one in made.items() if unit.startswith("paint")]
    if slips:
        yield (
            "Shrinkage tiles",
            f"Six bars of the body and six of the slip ({slips[0]}) dried to clay, a line of 100 mm scored in"
            " each while wet. Measure bone-dry and after the fire.",
            f"the shrinkages lie within about {FITS_WITHIN:g} per cent; else change the slip, not the pot",
        )
        yield (
            "Slip-fit tiles",
            "Body tiles leather-hard, slipped once, twice and three times, an edge left bare. Dry slowly.",
            "no craze, no curled edge, and a fingernail lifts nothing, dry and after the fire",
        )
    if paints:
        yield (
            "Paint tiles",
            f"On the slip {' and '.join(paints)}, thin, usual and thick, and with half and twice the clay.",
            "dry, it does not come off on a thumb; fired, not on a wet one",
        )
    yield (
        "Colour tiles",
        "Mark tiles for top, middle and bottom of the load, inside a pot and outside, and one of each to be"
        " fired in air beside them. They go in with the first pots, and all are kept, failures too.",
        "each has its label, and the air-fired one shows the colour that air gives",
    )
