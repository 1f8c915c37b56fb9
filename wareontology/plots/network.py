"""Traditions linked by shared technique: a row a tradition, a column a technique, a line along the shared.

Drawn as rows and columns because a net of crossing lines cannot be read. matplotlib is imported inside the
function that draws.
"""

from typing import TYPE_CHECKING, Final

from wareontology.graph.network import Bands
from wareontology.graph.traditions import INDEX, Group, Tradition
from wareontology.graph.vocabulary import scheme
from wareontology.plots.style import (
    GLAZE,
    INK,
    IRON,
    MANGANESE,
    ORGANIC,
    PAPER,
    QUIET,
    REDUCING,
    STYLE,
    data_hash,
    saved,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

ROW_CM: Final = 0.46
COLUMN_CM: Final = 0.78
_LEFT_CM, _RIGHT_CM, _TOP_CM, _BOTTOM_CM = 8.6, 6.4, 9.2, 2.4
_COLOUR: Final = (
    ("manganese", MANGANESE), ("iron", IRON), ("gloss", IRON), ("organic", ORGANIC), ("glaze", GLAZE),
    ("reduced", REDUCING), ("sealed", REDUCING), ("smudged", REDUCING),
)  # fmt: skip
"""Colour by the first of these in a technique's name; its name stands at its head all the same."""
_MEANS: Final = {
    MANGANESE: "manganese", IRON: "iron", ORGANIC: "organic", GLAZE: "glaze", REDUCING: "reducing",
}  # fmt: skip
_LETTERS: Final = 46


def network(laid: Bands, form: str = "svg") -> bytes:
    """The bands drawn. form: svg or png. The same data give the same bytes of SVG.

    >>> from wareontology.graph.network import bands
    >>> network(bands())[:5]
    b'<?xml'
    """
    import matplotlib
    from matplotlib.figure import Figure

    width_cm = _LEFT_CM + max(len(laid.techniques), 1) * COLUMN_CM + _RIGHT_CM
    height_cm = _TOP_CM + max(len(laid.rows), 1) * ROW_CM + _BOTTOM_CM
    with matplotlib.rc_context(STYLE):  # type: ignore[arg-type,unused-ignore]  # newer stubs list every key
        figure = Figure(figsize=(width_cm / 2.54, height_cm / 2.54), facecolor=PAPER)
        axes = figure.add_axes(
            (
                _LEFT_CM / width_cm, _BOTTOM_CM / height_cm,
                1 - (_LEFT_CM + _RIGHT_CM) / width_cm, 1 - (_TOP_CM + _BOTTOM_CM) / height_cm,
            )
        )  # fmt: skip
        axes.set_axis_off()
        axes.set_xlim(-0.5, max(len(laid.techniques), 1) - 0.5)
        axes.set_ylim(max(len(laid.rows), 1) - 0.5, -0.5)
        _draw_heads(axes, laid)
        _draw_rows(axes, laid)
        _draw_links(axes, laid)
        _write_round(figure, laid, width_cm, height_cm)
        return saved(figure, "Traditions linked by shared technique", form)


def colour_of(group: Group) -> str:
    """Colour a technique is drawn in."""
    return next((colour for word, colour in _COLOUR if word in group.name), INK)


def colour_word(group: Group) -> str:
    """What the colour of a technique means: iron, manganese, organic, glaze, reducing; else ink.

    >>> from wareontology.graph.traditions import groups
    >>> colour_word(groups()["gloss-kept"])
    'iron'
    """
    return _MEANS.get(colour_of(group), "ink")


def _draw_heads(axes: "Axes", laid: Bands) -> None:
    for place, group in enumerate(laid.techniques):
        count = sum(group.name in one.groups for one in laid.rows)
        axes.plot((place, place), (-0.5, len(laid.rows) - 0.5), color=QUIET, linewidth=0.3, zorder=1)
        axes.annotate(
            f"{group.label} · {count}", (place, -0.5), (0, 5), textcoords="offset points", rotation=55,
            ha="left", va="bottom", rotation_mode="anchor", color=colour_of(group), fontsize=9,
            annotation_clip=False,
        )  # fmt: skip


def _draw_rows(axes: "Axes", laid: Bands) -> None:
    last: int | None = None
    for row, one in enumerate(laid.rows):
        places = laid.of(one)
        first = places[0] if places else len(laid.techniques)
        if last is not None and first != last:
            axes.plot(
                (-0.5, len(laid.techniques) - 0.5), (row - 0.5, row - 0.5), color=QUIET, linewidth=0.5,
            )  # fmt: skip
        last = first
        if places:
            axes.plot((places[0], places[-1]), (row, row), color=INK, linewidth=1.3, zorder=2)
        for place in places:
            axes.plot(place, row, "o", markersize=6.5, color=colour_of(laid.techniques[place]), zorder=3)
        _write(axes, _short(one), (-0.5, row), (-6, 0), "right", INK)
        _write(axes, scheme("region")[one.region].label, (_right(laid), row), (34, 0), "left", QUIET)


def _draw_links(axes: "Axes", laid: Bands) -> None:
    """What a source says of two traditions: an arrow from the one that gave, a dashed line between twins."""
    from matplotlib.patches import FancyArrowPatch

    row_of = {one.id: row for row, one in enumerate(laid.rows)}
    for first, second, kind in laid.links:
        start, end = row_of[first], row_of[second]
        bend = min(0.35, 1.2 / max(abs(end - start), 1))
        twin = kind == "twin"
        axes.add_patch(
            FancyArrowPatch(
                (_right(laid) + 0.1, start), (_right(laid) + 0.1, end),
                connectionstyle=f"arc3,rad={bend if end < start else -bend}",
                arrowstyle="-" if twin else "-|>", linestyle=(0, (3, 2)) if twin else "solid",
                mutation_scale=8, color=INK, linewidth=0.8, clip_on=False, shrinkA=0, shrinkB=0,
            )
        )  # fmt: skip


def _right(laid: Bands) -> float:
    return len(laid.techniques) - 0.5


def _write(
    axes: "Axes", text: str, at: tuple[float, float], by: tuple[float, float], side: str, colour: str
) -> None:
    axes.annotate(
        text, at, by, textcoords="offset points", ha=side, va="center", color=colour, fontsize=8.5,
        annotation_clip=False,
    )  # fmt: skip


def _short(one: Tradition) -> str:
    return one.label if len(one.label) <= _LETTERS else one.label[: _LETTERS - 1].rstrip(" ,(") + "…"


def _write_round(figure: "Figure", laid: Bands, width_cm: float, height_cm: float) -> None:
    left = 0.6 / width_cm
    figure.text(left, 1 - 0.9 / height_cm, "Traditions linked by shared technique", fontsize=13)
    shared = sum(len(one.groups) > 1 for one in laid.rows)
    words = (
        f"{len(laid.rows)} traditions, {len(laid.techniques)} techniques; {shared} of more than one."
        "\nA dot: by what is stated the tradition is of that technique. A column joins traditions that"
        "\nshare a technique; a line along a row joins the techniques that one tradition shares."
    )
    figure.text(left, 1 - 1.4 / height_cm, words, color=QUIET, va="top", linespacing=1.5)
    figure.text(
        left, 0.5 / height_cm,
        "Stated fields alone: what is from memory links nothing, so many traditions are left out."
        "\nAt the right: arrow, one took its technique from the other, as a source says; dashed, twins of one"
        " workshop or tradition.\n"
        f"Published wares are no random sample. Data {data_hash((INDEX,))}, SHA-256 of {INDEX}.",
        fontsize=7, color=QUIET, linespacing=1.5,
    )  # fmt: skip
