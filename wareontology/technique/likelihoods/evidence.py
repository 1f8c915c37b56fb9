"""One sherd as a network and its evidence."""

from collections.abc import Iterator
from typing import Final

from wareontology.sherd.record import Sherd
from wareontology.technique import hypotheses as h
from wareontology.technique.likelihoods import body, chemistry, colours, refiring, surface, whole
from wareontology.technique.likelihoods.model import Model
from wareontology.technique.likelihoods.reading import Context, surface_of
from wareontology.technique.network import Item, Network, Node
from wareontology.technique.units import Unit, Units


def network(sherd: Sherd, units: Units, model: Model, also: tuple[str, ...] = ()) -> Network:
    """The sherd's network. `also` names surfaces to carry though nothing was seen there."""
    seen = {zone for row in sherd.rows if (zone := surface_of(row.zone))}
    surfaces = tuple(zone for zone in h.SURFACES if zone in seen or zone in also)
    return Network(
        surfaces,
        tuple(_nodes(units, model)),
        model.fires,
        model.class_of,
        model.air(surfaces, sherd.word("form")),
        model.history,
        contrasts(units),
        model.tables.scalar("contrast"),
        model.prior_of,
    )


def _nodes(units: Units, model: Model) -> Iterator[Node]:
    yield Node("body", None, model.body_prior, model.body_colours)
    for slip in units.slips:
        yield Node(slip.key, "body", model.slip_prior, model.slip_colours)
    for paint in units.paints:
        on_slip = paint.ground != "body"
        yield Node(paint.key, paint.ground, model.paint_prior(on_slip), model.paint_colours)


def contrasts(units: Units) -> frozenset[tuple[str, str]]:
    """Pairs of paints of contrasting colour on one ground, which are seldom one material."""
    told = [
        paint for paint in units.paints if not any(row.word("crosses_break") == "yes" for row in paint.rows)
    ]
    return frozenset(
        (first.key, second.key)
        for first in told
        for second in told
        if first.key < second.key
        and first.ground == second.ground
        and first.contrast() is not None
        and second.contrast() is not None
        and first.contrast() != second.contrast()
    )


def items(sherd: Sherd, units: Units, model: Model) -> tuple[Item, ...]:
    """All evidence on a sherd, each item once; the order of rows does not matter."""
    context = Context(sherd, units, model)
    found = [item for unit in units.all() for item in unit_items(context, unit)]
    return (*found, *sherd_items(context))


_READERS: Final = (
    (frozenset({"colour"}), colours.colour),
    (frozenset({"patches"}), colours.patches),
    (surface.TRAITS, surface.surface),
    (frozenset({"magnet", "acid", "pXRF", "phases"}), chemistry.chemistry),
    (frozenset({"refiring"}), refiring.refiring),
    (frozenset({"broken edge"}), body.broken_edge),
)


def unit_items(context: Context, unit: Unit, only: frozenset[str] | None = None) -> Iterator[Item]:
    """Evidence that rests on one unit's rows alone; `only` names the traits that are wanted."""
    for traits, read in _READERS:
        if only is None or only & traits:
            yield from (item for item in read(context, unit) if only is None or item.trait in only)


def sherd_items(context: Context) -> Iterator[Item]:
    """Evidence of the sherd as a whole."""
    yield from body.heat(context)
    yield from colours.no_red_paint(context)
    yield from whole.structure(context)
