"""The command about what firings teach; `cli` adds it to its group."""

import sys
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from wareontology.firing.learn import Fired, Learned


@click.command()
@click.argument("plan", required=False)
@click.argument("outcome", required=False)
@click.option("--log", "log_file", metavar="LOG", help="Its log too: heat by place is weighed as well.")
@click.option(
    "--also", nargs=3, multiple=True, metavar="PLAN OUTCOME LOG", help="Another firing; LOG may be none."
)
@click.option("--own", metavar="OUT", help="Write your own numbers, a TOML for simulate --own.")
@click.option(
    "--members", type=int, default=10000, show_default=True, metavar="N", help="Firings drawn a plan."
)
@click.option(
    "--seed", type=int, default=7, show_default=True, metavar="N", help="The same seed, the same answer."
)
@click.option("--template", is_flag=True, help="Instead: a blank outcome to fill in.")
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
def learn(
    plan: str | None, outcome: str | None, log_file: str | None, also: tuple[tuple[str, str, str], ...],
    own: str | None, members: int, seed: int, template: bool, as_json: bool,
) -> None:  # fmt: skip
    """What your tiles, pots and log say of what is not known: before and after.

    PLAN is the plan that was fired, OUTCOME a table of what came out, place by place. Where no simulated
    firing explains it, nothing is learned and it is said why (exit 1).

    \b
    Example:
      wareontology learn --template > outcome.csv
      wareontology learn covered-pit outcome.csv --log log.csv --own mine.toml
      wareontology simulate covered-pit --own mine.toml
    """
    if template:
        from wareontology.firing.outcome_read import template as blank

        click.echo(blank(), nl=False)
        return
    if plan is None or outcome is None:
        raise click.UsageError("no PLAN and OUTCOME; would do: both, such as covered-pit outcome.csv")
    from wareontology.cli_out import echo_json, in_colour, width
    from wareontology.firing.learn import learn as taught
    from wareontology.report.learned import learned_data, learned_text

    given = [(plan, outcome, log_file or "none"), *also]
    found = taught([_fired(*one, members, seed) for one in given])
    onward = {} if found.refused else _onward(found)
    told = learned_data(found, onward)
    if as_json:
        echo_json(told)
    else:
        click.echo(learned_text(told, colour=in_colour(), width=width()), nl=False)
    if found.refused:
        sys.exit(1)
    if own is not None:
        _write_own(own, found)


def _fired(plan_name: str, outcome: str, log_file: str, members: int, seed: int) -> "Fired":
    from wareontology.cli_firing import plan_named, progress_of
    from wareontology.errors import BreaksShape
    from wareontology.firing import log_read, outcome_read
    from wareontology.firing.learn import Fired
    from wareontology.firing.simulate import simulate

    seen = outcome_read.read(outcome)
    read = None if log_file == "none" else log_read.read(log_file)
    if read is not None and read.faults:
        raise BreaksShape(read.faults)
    found = simulate(plan_named(plan_name), members, seed, progress=progress_of(plan_name))
    return Fired(found, seen, None if read is None else read.log)


def _onward(found: "Learned") -> dict[str, tuple[float, float, float]]:
    """The chance of the next firing of each plan, with the own numbers."""
    from wareontology.firing import own
    from wareontology.firing.simulate import simulate

    mine = own.from_text(own.to_toml(found))
    return {
        one.plan.name: simulate(one.plan, 1000, one.seed, own=mine.of_plan(one.plan)).chance()
        for one in found.before
    }


def _write_own(out: str, found: "Learned") -> None:
    from wareontology.cli_out import say
    from wareontology.firing.own import to_toml
    from wareontology.sherd.whole_file import write_whole

    write_whole(out, to_toml(found).encode("utf-8"))
    say(f"{out}: written. Use: wareontology simulate PLAN --own {out}")
