"""A designed experiment on paper: text for a terminal, and one HTML file that prints, its pages apart."""

from collections.abc import Iterable, Iterator, Mapping
from html import escape
from typing import Any, Final

from wareontology.technique.block import Block, lines
from wareontology.technique.phrases import listed, sentence
from wareontology.technique.words_for_odds import odds_words

Answer = Mapping[str, Any]
_READ: Final = ("Label", "Colour inside", "Colour outside", "Edge", "Like the originals?", "Read by")
_STYLE: Final = """
body { font: 16px/1.45 "Iowan Old Style", "Palatino Linotype", Palatino, Georgia, serif; color: #211C17;
  background: #FBF8F2; max-width: 48em; margin: 2em auto; padding: 0 1em; }
table { border-collapse: collapse; width: 100%; border-top: 1px solid; border-bottom: 1px solid; }
th, td { text-align: left; padding: .35em .5em; vertical-align: top; } thead th { border-bottom: 1px solid; }
td { height: 1.9em; } .page { break-before: page; } .caution { color: #8A5200; }
@page { size: A4; margin: 18mm; } @media print { body { background: none; margin: 0; max-width: none; } }
"""


def design_text(answer: Answer, *, colour: bool = False, width: int = 88) -> str:
    """The design in words, the key last."""
    said = "\n".join(line for block in _blocks(answer) for line in lines(block, colour, max(width, 40)))
    return said.lstrip("\n") + "\n"


def _blocks(answer: Answer) -> Iterator[Block]:
    yield Block("", f"{len(answer['chosen'])} tiles and their controls", kind="title", gap=False)
    bits, entropy = answer["expected_bits"], answer["entropy_bits"]
    yield Block("", f"Expected to tell {bits:.2f} of {entropy:.2f} bits that are open between:")
    for name, p in answer["hypotheses"].items():
        yield Block("- ", f"{name}: {odds_words(p)}.", "  ", gap=False)
    yield Block("What each tile adds.", "")
    for one in answer["chosen"]:
        yield Block("- ", f"{one['trial']}: {one['adds_bits']:.2f} bit.", "  ", gap=False)
    yield Block("What a result would do.", "")
    for one in answer["results"]:
        yield Block("- ", _result(one), "  ", gap=False)
    yield Block("Lay them so.", "")
    for one in answer["tiles"]:
        yield Block("- ", f"{one['label']}: {one['firing']}; {one['place']}.", "  ", gap=False)
    yield Block("The key. ", f"Keep it from whoever reads the tiles (seed {answer['seed']}).")
    for one in answer["key"]:
        control = " (control)" if one["control"] else ""
        yield Block("- ", f"{one['label']}: {one['tile']}{control}.", "  ", gap=False)
    yield Block("To know.", "")
    for note in answer["notes"]:
        yield Block("- ", note, "  ", gap=False)


def _result(one: Mapping[str, Any]) -> str:
    said = [f"{sentence(one['trial'])[:-1]}, {one['result']} ({odds_words(one['chance'])})"]
    if one["refutes"]:
        said.append(f"refutes {listed(one['refutes'])}")
    if one["supports"]:
        said.append(f"speaks for {listed(one['supports'])}")
    if len(said) == 1:
        said.append("changes little alone")
    return f"{said[0]}: {'; '.join(said[1:])}."


def sheet_html(answer: Answer) -> str:
    """A page to lay and fire by, a page to read the tiles by, and the key. Same answer, same bytes."""
    firings = dict.fromkeys(one["firing"] for one in answer["tiles"])
    notes = "".join(f'<li class="caution">{escape(note)}</li>' for note in answer["notes"])
    results = "".join(f"<li>{escape(_result(one))}</li>" for one in answer["results"])
    labels = sorted(one["label"] for one in answer["tiles"])
    keys = [(one["label"], one["tile"], "control" if one["control"] else "") for one in answer["key"]]
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><title>Tile sheet</title>'
        f"<style>{_STYLE}</style></head>\n<body>\n<h1>Tiles to lay and fire</h1>\n<ul>{notes}</ul>\n"
        + "".join(_firing(answer, firing) for firing in firings)
        + '<section class="page"><h1>Tiles to read</h1>\n'
        + _table(_READ, [(label, *[""] * (len(_READ) - 1)) for label in labels])
        + f'</section>\n<section class="page key"><h1>Key, seed {answer["seed"]}</h1>\n'
        + _table(("Label", "Tile", "Control"), keys)
        + f"<h2>What a result would do</h2>\n<ul>{results}</ul></section>\n</body></html>\n"
    )


def _firing(answer: Answer, firing: str) -> str:
    rows = [(one["label"], one["place"], "") for one in answer["tiles"] if one["firing"] == firing]
    return f"<h2>{escape(sentence(firing)[:-1])}</h2>\n" + _table(("Label", "Place", "Laid by"), rows)


def _table(head: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    body = "".join(_row(row, "td") for row in rows)
    return f"<table><thead>{_row(head, 'th')}</thead><tbody>{body}</tbody></table>\n"


def _row(cells: Iterable[str], tag: str) -> str:
    return "<tr>" + "".join(f"<{tag}>{escape(cell)}</{tag}>" for cell in cells) + "</tr>"
