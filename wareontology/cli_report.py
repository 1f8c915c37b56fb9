"""The command `report`: one file for sherds, a claim, a plan or a log; `cli` adds it to its group."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal

import click

from wareontology import __version__

if TYPE_CHECKING:
    from wareontology.report.document import Document

_FORMS: Final = (".html", ".ttl")
_MOST_PHOTOS: Final = 24
_MEMBERS: Final = 200
"""Simulated firings a log is drawn on, as by the command `log`."""
Kind = Literal["sherds", "claim", "firing"]
Made = tuple["Document", Callable[[], str] | None]
"""A document, and how to write its record as Turtle; None where there is none."""


@click.command()
@click.argument("file")
@click.argument("out", nargs=-1, required=True)
@click.option("--sherd", "names", multiple=True, metavar="NAME", help="Of a table these sherds alone.")
@click.option("--photo", "photos", multiple=True, metavar="FILE", help="A photo to set in; may be repeated.")
@click.option("--plan", metavar="PLAN", help="Of a firing log: the plan it was fired by.")
@click.option("--outcome", metavar="FILE", help="Of a firing log: what came out, as learn --template.")
def report(
    file: str, out: tuple[str, ...], names: tuple[str, ...], photos: tuple[str, ...], plan: str | None,
    outcome: str | None,
) -> None:  # fmt: skip
    """One file to hand on: what was seen, concluded, tried, compared and claimed, with what it rests on.

    FILE is a sherd table, a claim, a firing plan or, with --plan, a firing log. OUT ends in .html (one page,
    prints well) or .ttl (the record as Turtle); both may be named. Made twice it is the same bytes. Photos
    lose their place and time.

    \b
    Example:
      wareontology report data/demo/one_sherd.csv k14.html
      wareontology report data/demo/claim.toml claim.html claim.ttl
      wareontology report data/demo/firing_log.csv log.html --plan covered-pit --outcome data/demo/outcome.csv
    """
    from wareontology.cli_out import say
    from wareontology.report.document import Read, html
    from wareontology.sherd.whole_file import same_file, write_whole

    for one in out:
        if Path(one).suffix.lower() not in _FORMS:
            raise click.UsageError(f"{one}; would do: a name that ends in {' or '.join(_FORMS)}")
        if any(same_file(one, read) for read in _read_from(file, photos, plan, outcome)):
            raise click.UsageError(f"{one} is a file that is read; would do: another name")
    if len(photos) > _MOST_PHOTOS:
        raise click.UsageError(f"{len(photos)} photos; would do: at most {_MOST_PHOTOS}")
    kind = _kind(file)
    if outcome is not None and plan is None:
        raise click.UsageError("--outcome without --plan; would do: a firing log with both")
    if names and (kind != "sherds" or plan is not None):
        raise click.UsageError("--sherd with what is no sherd table; would do: without it")
    pictures = [_photo(one) for one in photos]
    read_from = _read_from(file, photos, plan, outcome)
    files = [Read.of(one) for one in read_from] if Path(file).exists() else []
    if plan is not None:
        document, turtle = _of_log(file, plan, outcome, files, pictures)
    else:
        making = {"sherds": _of_sherds, "claim": _of_claim, "firing": _of_firing}[kind]
        document, turtle = making(file, names, files, pictures)
    for one in out:
        if one.lower().endswith(".html"):
            write_whole(one, html(document).encode())
        elif turtle is None:
            raise click.UsageError(f"{one}: a firing has no Turtle; would do: an .html")
        else:
            write_whole(one, turtle().encode())
        say(f"{one}: written.")


def _read_from(file: str, photos: tuple[str, ...], plan: str | None, outcome: str | None) -> tuple[str, ...]:
    """Every file that is read: a plan that is shipped is none of them, a file that is missing is left to its
    reader."""
    beside = (one for one in (plan, outcome) if one is not None and Path(one).is_file())
    return (file, *photos, *beside)


def _kind(file: str) -> Kind:
    """What a file holds, by its own words. A name that is no file is left to the reader, which says so."""
    path = Path(file)
    if path.suffix.lower() not in (".toml", ".ttl", ".json") or not path.is_file():
        return "sherds"
    text = path.read_bytes().decode("utf-8", "replace")
    if path.suffix.lower() == ".toml":
        import tomllib

        try:
            return (
                "claim" if "technique" in tomllib.loads(text) or "ware" in tomllib.loads(text) else "firing"
            )
        except tomllib.TOMLDecodeError:
            return "claim"
    return "claim" if "wo:Claim" in text or "def/Claim" in text or '"technique"' in text else "sherds"


def _photo(file: str) -> tuple[str, bytes]:
    from wareontology.errors import Unreadable
    from wareontology.records.photos import clean

    try:
        content = Path(file).read_bytes()
    except OSError as error:
        raise Unreadable(f"{file}: found nothing to read ({error.strerror}); would do: a photo") from None
    return Path(file).name, clean(content, Path(file).name).content


def _of_sherds(file: str, names: tuple[str, ...], files: Sequence[object], photos: Sequence[object]) -> Made:
    from wareontology.errors import BreaksShape, Fault
    from wareontology.report.sherd_document import sherd_document
    from wareontology.sherd.table import read
    from wareontology.technique.answer import answer
    from wareontology.technique.answer_graph import to_turtle

    reading = read(file)
    if reading.faults:
        raise BreaksShape(reading.faults)
    chosen = [sherd for sherd in reading.sherds if not names or sherd.sherd in names]
    missing = set(names) - {sherd.sherd for sherd in chosen}
    if missing:
        known = ", ".join(sherd.sherd for sherd in reading.sherds[:20])
        raise BreaksShape([Fault(file, None, "sherd", sorted(missing)[0], known, why="no such sherd")])
    pairs = [(sherd, answer(sherd)) for sherd in chosen]
    return sherd_document(pairs, files, photos), lambda: to_turtle(pairs)  # type: ignore[arg-type]


def _of_claim(file: str, _: tuple[str, ...], files: Sequence[object], photos: Sequence[object]) -> Made:
    from wareontology.replica.claim import judged
    from wareontology.replica.claim_read import read
    from wareontology.report.claim_document import claim_document, claim_turtle
    from wareontology.report.document import Read

    found = read(file)
    tables = [
        Read.of(Path(file).parent / found.form[key]) for key in ("originals", "replicas") if key in found.form
    ]
    answer = judged(found)
    document = claim_document(found, answer, [*files, *tables], photos)  # type: ignore[list-item,arg-type]
    return document, lambda: claim_turtle(found, answer)


def _of_firing(file: str, _: tuple[str, ...], files: Sequence[object], photos: Sequence[object]) -> Made:
    from wareontology.firing.answer import to_data
    from wareontology.firing.plan import read
    from wareontology.firing.simulate import simulate
    from wareontology.plots.firing import DATA, firings
    from wareontology.plots.style import data_hash
    from wareontology.report.firing_document import firing_document

    answers = [to_data(simulate(read(file)))]
    svg = firings(answers).decode("utf-8")
    made_by = {"software": f"wareontology {__version__}", "data_hash": data_hash(DATA)}
    drawing = svg[svg.index("<svg") :]
    return firing_document(answers, drawing, files, photos, made_by), None  # type: ignore[arg-type]


def _of_log(
    file: str, plan: str, outcome: str | None, files: Sequence[object], photos: Sequence[object]
) -> Made:
    from wareontology.cli_firing import plan_named
    from wareontology.firing import log_read, outcome_read
    from wareontology.firing.curves import curves
    from wareontology.firing.simulate import simulate
    from wareontology.plots.firing_log import DATA, firing_log
    from wareontology.plots.style import data_hash
    from wareontology.report.log_document import Fired, log_document

    log, planned = log_read.read(file), plan_named(plan)
    seen = outcome_read.read(outcome) if outcome is not None else ()
    made = simulate(planned, _MEMBERS)
    drawn = curves(made)
    svg = firing_log(log.log, drawn, f"{log.log.name} on {planned.name}").decode("utf-8")
    made_by = {"software": f"wareontology {__version__}", "data_hash": data_hash(DATA)}
    fired = Fired(log.log.name, log, planned, seen, files, photos)  # type: ignore[arg-type]
    return log_document(fired, made, drawn, svg[svg.index("<svg") :], made_by), None
