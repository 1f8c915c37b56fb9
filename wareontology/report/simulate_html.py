"""Simulated firings as one page of HTML that stands alone: the text, the table, the curves."""

from collections.abc import Mapping, Sequence
from html import escape
from typing import Any, Final

from wareontology.report.simulate_prose import simulate_text

_STYLE: Final = (
    "body{font:17px/1.5 'Iowan Old Style','Palatino Linotype',Palatino,Georgia,serif;color:#211C17;"
    "background:#FBF8F2;max-width:68em;margin:2em auto;padding:0 1em}pre{font:15px/1.45"
    " ui-monospace,monospace;"
    "white-space:pre-wrap}figure{margin:1.5em 0}svg{max-width:100%;height:auto}"
    "figcaption{color:#5F564C}"
)


def page(answers: Sequence[Mapping[str, Any]], drawing: bytes) -> str:
    """The page, the drawing (SVG) set in it.

    >>> from wareontology.firing.plan import example
    >>> from wareontology.firing.answer import to_data
    >>> from wareontology.firing.simulate import simulate
    >>> page([to_data(simulate(example("open-fire"), 100))], b"<svg/>")[:15]
    '<!doctype html>'
    """
    names = escape(", ".join(str(answer["plan"]["name"]) for answer in answers))
    svg = drawing.decode("utf-8")
    svg = svg[svg.index("<svg") :]
    said = escape(simulate_text(answers))
    return (
        f'<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><title>{names}</title>'
        f'<meta name="viewport" content="width=device-width"><style>{_STYLE}</style></head>\n'
        f"<body><h1>{names}</h1>\n<figure>{svg}<figcaption>Figure 1. Heat of the load and oxygen at the"
        f" pots, from"
        f" covering on; shaded is the spread of the"
        f" ensemble.</figcaption></figure>\n<pre>{said}</pre></body></html>\n"
    )
