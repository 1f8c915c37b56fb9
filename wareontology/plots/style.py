"""The hand every picture is drawn in: ink on paper, the same bytes each time, data hash beneath."""

import hashlib
import io
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final

from wareontology.paths import data

if TYPE_CHECKING:
    from matplotlib.figure import Figure

PAPER, INK, QUIET = "#FBF8F2", "#211C17", "#5F564C"
IRON, MANGANESE, ORGANIC, GLAZE = "#8C2B18", "#4B3B57", "#3C3A36", "#2F5A45"
OXIDISING, NEUTRAL, REDUCING = "#A2401F", "#6B6A45", "#34505E"
STYLE: Final[dict[str, Any]] = {
    "font.family": "DejaVu Serif",  # comes with matplotlib: the same bytes everywhere
    "font.size": 9,
    "text.color": INK,
    "axes.labelcolor": INK,
    "axes.edgecolor": QUIET,
    "xtick.color": QUIET,
    "ytick.color": QUIET,
    "svg.fonttype": "none",
    "svg.hashsalt": "wareontology",
}
DOTS_PER_INCH: Final = 200  # for slides; twice what a page needs


def saved(figure: "Figure", title: str, form: str = "svg") -> bytes:
    """The picture as a file. form: svg or png. SVG carries no date: the same bytes each time."""
    out = io.BytesIO()
    if form == "svg":
        figure.savefig(out, format="svg", facecolor=PAPER, metadata={"Date": None, "Title": title})
    else:
        figure.savefig(out, format="png", facecolor=PAPER, dpi=DOTS_PER_INCH, metadata={"Title": title})
    return out.getvalue()


def data_hash(names: Sequence[str]) -> str:
    """The first twelve figures of the SHA-256 of the files in data/ a picture is drawn from.

    >>> len(data_hash(["constants.csv", "gas.csv"]))
    12
    """
    found = hashlib.sha256()
    for name in names:
        found.update(data(name).read_bytes())
    return found.hexdigest()[:12]
