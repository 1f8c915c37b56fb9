"""The commands about a planned firing; `cli` adds them to its group."""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import click

if TYPE_CHECKING:
    from wareontology.firing.own import OwnNumbers
    from wareontology.firing.plan import Plan

_FORMS: Final = (".svg", ".png", ".html")


@click.command()
@click.argument("plans", nargs=-1, metavar="PLAN...")
@click.option(
    "--example", metavar="NAME", help="Instead: write a shipped plan to edit, all of them invented."
)
@click.option(
    "--members", type=int, default=1000, show_default=True, metavar="N", help="Firings drawn a plan."
)
@click.option(
    "--seed", type=int, default=7, show_default=True, metavar="N", help="The same seed, the same answer."
)
@click.option("--own", metavar="FILE", help="Your own numbers, as learn --own writes them.")
@click.option("--out", metavar="FILE", help="Draw the curves too: FILE ends in .svg, .png or .html.")
@click.option("--json", "as_json", is_flag=True, help="As JSON, an array.")
def simulate(
    plans: tuple[str, ...], example: str | None, members: int, seed: int, own: str | None, out: str | None,
    as_json: bool,
) -> None:  # fmt: skip
    """What a planned firing is likely to make of black on white: one plan, or several side by side.

    PLAN is a TOML file, - for standard input, or the name of a shipped plan (covered-pit, open-fire,
    pull-and-cover, trench, updraft).

    \b
    Example:
      wareontology simulate --example covered-pit > mine.toml
      wareontology simulate mine.toml --out mine.html
      wareontology simulate covered-pit pull-and-cover trench updraft

    Likely pessimistic. Carbon monoxide kills: fire in the open and stay upwind.
    """
    if example is not None:
        if plans:
            raise click.UsageError("--example with a PLAN; would do: --example NAME alone")
        from wareontology.firing.plan import example_text

        click.echo(example_text(example), nl=False)
        return
    if not plans:
        raise click.UsageError("no PLAN; would do: a file, such as one written by --example covered-pit")
    if out is not None and Path(out).suffix.lower() not in _FORMS:
        raise click.UsageError(f"--out {out}; would do: a name that ends in {' or '.join(_FORMS)}")
    mine = _own(own)
    answers = [_simulated(name, plan_named(name), members, seed, mine) for name in plans]
    if out is not None:
        _write(out, answers)
    _say(answers, as_json)


def plan_named(name: str) -> "Plan":
    """The plan in a file, on standard input (-), or shipped under that name."""
    from wareontology.firing import plan as plans

    if name == "-":
        return plans.from_text(sys.stdin.read(), "standard input")
    if name in plans.examples() and not Path(name).exists():
        return plans.example(name)
    return plans.read(name)


def _own(file: str | None) -> "OwnNumbers | None":
    if file is None:
        return None
    from wareontology.firing.own import read

    return read(file)


def _simulated(name: str, plan: "Plan", members: int, seed: int, mine: "OwnNumbers | None") -> dict[str, Any]:
    from wareontology.firing.answer import to_data
    from wareontology.firing.simulate import simulate as run

    own = mine.of_plan(plan) if mine is not None else None
    return to_data(run(plan, members, seed, own=own, progress=progress_of(name)))


def progress_of(name: str) -> Callable[[int, int], None] | None:
    """A line that overwrites itself, on a terminal only."""
    if not sys.stderr.isatty():
        return None

    def told(done: int, of: int) -> None:
        click.echo(f"\r{name}: {done} of {of}" + ("\r\x1b[K" if done == of else ""), err=True, nl=False)

    return told


def _write(out: str, answers: list[dict[str, Any]]) -> None:
    from wareontology.cli_out import say
    from wareontology.plots.firing import firings
    from wareontology.sherd.whole_file import write_whole

    form = Path(out).suffix.lower().removeprefix(".")
    drawing = firings(answers, "svg" if form == "html" else form)
    if form == "html":
        from wareontology.report.simulate_html import page

        drawing = page(answers, drawing).encode("utf-8")
    write_whole(out, drawing)
    say(f"{out}: written.")


def _say(answers: list[dict[str, Any]], as_json: bool) -> None:
    from wareontology.cli_out import echo_json, in_colour, width
    from wareontology.report.simulate_prose import simulate_text

    if as_json:
        echo_json(answers)
    else:
        click.echo(simulate_text(answers, colour=in_colour(), width=width()), nl=False)
