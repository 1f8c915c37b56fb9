"""The command about the log of a firing that was made; `cli` adds it to its group."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final

import click

from wareontology.cli_app import records_option

if TYPE_CHECKING:
    from wareontology.firing.curves import Curves
    from wareontology.firing.log import Read
    from wareontology.firing.plan import Plan
    from wareontology.records.store import Store

_PICTURES: Final = (".svg", ".png")
_MEMBERS: Final = 200
"""Simulated firings a log is drawn on; enough for a spread."""


@click.command()
@click.argument("file", required=False)
@click.option(
    "--plan", "plan_name", metavar="PLAN", help="Hold it against this plan: what is next, what is off."
)
@click.option(
    "--firing", metavar="NAME", help="The firing of that name in your records, its log and its plan."
)
@click.option("--keep", is_flag=True, help="With --firing: keep FILE, or the plan, in your records.")
@click.option(
    "--add",
    metavar="CELLS",
    multiple=True,
    help='With --firing: a line, as "glow=orange place=top".',
)
@click.option("--photo", metavar="FILE", help="With --firing: keep a photo, without its place and time.")
@click.option("--who", metavar="NAME", help="Who keeps it.")
@records_option
@click.option("--out", metavar="OUT", help="Draw it: OUT ends in .svg or .png.")
@click.option("--template", is_flag=True, help="Instead: a blank log to fill in.")
@click.option("--example", is_flag=True, help="Instead: an invented log.")
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
def log(
    file: str | None, plan_name: str | None, firing: str | None, keep: bool, add: tuple[str, ...],
    photo: str | None, who: str | None, records: str, out: str | None, template: bool, example: bool,
    as_json: bool,
) -> None:  # fmt: skip
    """The log of a firing: read, held against its plan, drawn on its simulated firings, kept.

    FILE is CSV, - for standard input. Gaps are allowed. What cannot be read is named, and the rest is read.

    \b
    Example:
      wareontology log --example > log.csv
      wareontology log log.csv --plan covered-pit --out log.svg
      wareontology log --firing May-2 --plan covered-pit --keep --who AB
      wareontology log --firing May-2 --add "event=covered" --who AB

    Carbon monoxide kills: stay upwind of a smothered fire.
    """
    if template or example:
        _written_out(template)
        return
    _check(file, firing, keep or bool(add or photo), who, out)
    if file is not None and firing is not None and not keep:
        raise click.UsageError("FILE and --firing; would do: --keep too, or one of the two")
    store = _kept(records, firing, file, plan_name, add, keep, who) if firing is not None else None
    if photo is not None and store is not None:
        store.add_photo(_bytes(photo), ("firing", str(firing)), caption="", who=who or "", why="log --photo")
    found = _log(file, store, firing)
    plan = _plan_of(store, firing, plan_name)
    drawn = _curves(plan) if plan is not None else None
    if out is not None:
        _draw(out, found, drawn, plan)
    _say_log(found, plan, drawn, as_json)
    if found.faults:
        sys.exit(1)


def _written_out(template: bool) -> None:
    from wareontology.firing.log_columns import template as blank
    from wareontology.paths import data

    text = blank() if template else data("demo", "firing_log.csv").read_text(encoding="utf-8")
    click.echo(text, nl=False)


def _check(file: str | None, firing: str | None, keeps: bool, who: str | None, out: str | None) -> None:
    if file is None and firing is None:
        raise click.UsageError("no FILE; would do: a log, such as one of --example, or --firing NAME")
    if keeps and firing is None:
        raise click.UsageError("--keep, --add or --photo without --firing; would do: --firing NAME")
    if keeps and not who:
        raise click.UsageError("nobody who keeps it; would do: --who NAME")
    if out is not None and Path(out).suffix.lower() not in _PICTURES:
        raise click.UsageError(f"--out {out}; would do: a name that ends in {' or '.join(_PICTURES)}")


def _kept(
    records: str, firing: str, file: str | None, plan_name: str | None, add: tuple[str, ...], keep: bool,
    who: str | None,
) -> "Store":  # fmt: skip
    from wareontology.records.store import Store
    from wareontology.replica import firings_kept

    store = Store(records, create=keep)
    if keep and plan_name is not None:
        firings_kept.begin(store, firing, _plan_text(plan_name), who=who or "")
    if keep and file is not None:
        firings_kept.keep_file(store, firing, _text(file), who=who or "")
    if add:
        from uuid import uuid4

        firings_kept.add_lines(store, firing, {uuid4().hex: _cells(one) for one in add}, who=who or "")
    return store


def _cells(text: str) -> dict[str, str]:
    """A line as it was typed: column=value, quoted where a value has blanks in it; the time is now if not
    said."""
    import shlex
    from datetime import datetime

    from wareontology.firing.log_columns import columns

    try:
        parts = shlex.split(text)
    except ValueError:
        raise click.UsageError(f"--add {text}; would do: quotation marks closed") from None
    cells: dict[str, str] = {}
    last = ""
    for part in parts:
        column, mark, value = part.partition("=")
        if mark and column in columns():
            last, cells[column] = column, value
        elif last and not mark:
            cells[last] += f" {part}"
        else:
            raise click.UsageError(f"--add {part}; would do: COLUMN=VALUE, of {', '.join(columns())}")
    cells.setdefault("time", datetime.now().astimezone().isoformat(timespec="seconds"))
    return cells


def _log(file: str | None, store: "Store | None", firing: str | None) -> "Read":
    from wareontology.firing import log_read
    from wareontology.replica import firings_kept

    if store is not None and firing is not None:
        return firings_kept.log_of(store, firing)
    if file == "-":
        return log_read.from_bytes(sys.stdin.buffer.read(), "standard input")
    return log_read.read(str(file))


def _text(file: str) -> str:
    from wareontology.errors import Unreadable

    raw = sys.stdin.buffer.read() if file == "-" else _bytes(file)
    try:
        return raw.decode("utf-16" if raw[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig")
    except UnicodeDecodeError:
        raise Unreadable(f"{file}: found bytes that are no UTF-8; would do: CSV saved as UTF-8") from None


def _bytes(file: str) -> bytes:
    from wareontology.errors import Unreadable

    try:
        return Path(file).read_bytes()
    except OSError as error:
        raise Unreadable(f"{file}: {error.strerror}; would do: a log, such as log --template") from error


def _plan_text(name: str) -> str:
    from wareontology.firing import plan as plans

    if name in plans.examples() and not Path(name).exists():
        return plans.example_text(name)
    plans.read(name)  # refused with its faults before any of it is kept
    return Path(name).read_text(encoding="utf-8")


def _plan_of(store: "Store | None", firing: str | None, plan_name: str | None) -> "Plan | None":
    from wareontology.replica import firings_kept

    if plan_name is not None:
        from wareontology.cli_firing import plan_named

        return plan_named(plan_name)
    return firings_kept.plan_of(store, firing) if store is not None and firing is not None else None


def _curves(plan: "Plan") -> "Curves":
    from wareontology.firing.curves import curves
    from wareontology.firing.simulate import simulate

    return curves(simulate(plan, _MEMBERS))


def _draw(out: str, found: "Read", drawn: "Curves | None", plan: "Plan | None") -> None:
    from wareontology.cli_out import say
    from wareontology.plots.firing_log import firing_log
    from wareontology.sherd.whole_file import write_whole

    title = f"{found.log.name}" + (f" on {plan.name}" if plan is not None else "")
    write_whole(out, firing_log(found.log, drawn, title, Path(out).suffix.lower().removeprefix(".")))
    say(f"{out}: written.")


def _say_log(found: "Read", plan: "Plan | None", drawn: "Curves | None", as_json: bool) -> None:
    from wareontology.cli_out import echo_json, in_colour, width
    from wareontology.report.firing_log import log_data, log_text

    told = log_data(found.log, found.faults, plan, drawn)
    if as_json:
        echo_json(told)
    else:
        click.echo(log_text(told, colour=in_colour(), width=width()), nl=False)
    for fault in found.faults:
        click.echo(str(fault), err=True)
