"""The commands about sherds and the rules read on them; `cli` adds them to its group."""

import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Final, TypeVar

import click

from wareontology.cli_out import (
    PROGRAM_FAULT,
    REFUSED,
    counted,
    echo_json,
    in_colour,
    say,
    width,
    wrong_usage,
)
from wareontology.errors import BreaksShape, WareontologyError

if TYPE_CHECKING:
    from wareontology.sherd.handed import Handed
    from wareontology.sherd.record import Sherd
    from wareontology.sherd.template import Format

    Answered = Iterable[tuple[Sherd, Mapping[str, Any]]]

Command = TypeVar("Command", bound=Callable[..., Any])


def table_options(command: Command) -> Command:
    """What every command that reads a sherd table takes."""
    for option in (
        click.option("--faults", metavar="OUT", help="Write every fault to this file too, as JSON."),
        click.option(
            "--headings", metavar="FILE.toml", help="What your own headings mean; see `columns --help`."
        ),
        click.option("--ignore-unknown", is_flag=True, help="Leave unknown columns out instead of stopping."),
        click.argument("file"),
    ):
        command = option(command)
    return command


@click.command()
@table_options
@click.option("--json", "form", flag_value="json", help="The answers as one JSON array.")
@click.option("--jsonl", "form", flag_value="jsonl", help="The answers as JSON, a line a sherd.")
@click.option(
    "--question",
    metavar="Q",
    help="Rank the next tests for this alone: atmosphere, ending, temperature, space, body, slip, paint,"
    " or a layer by its name, as paint:line.",
)
@click.option(
    "--explain",
    metavar="Q",
    help="Show what moved the odds of one question, item by item in decibans; Q as for --question.",
)
@click.option(
    "--priors",
    metavar="FILE.toml",
    help="Your own priors in place of practice and counts; README says how they are written.",
)
@click.option(
    "--draws",
    type=click.IntRange(0, 10_000),
    default=200,
    show_default=True,
    metavar="N",
    help="Draws of the uncertain numbers that tell how firm the answer is; 0 for none, which is faster.",
)
@click.option(
    "--engine", type=click.Choice(["fast", "shacl"]), default="fast", show_default=True,
    help="What runs the rules: our own evaluator, or pySHACL on the same file.",
)  # fmt: skip
@click.pass_context
def infer(
    ctx: click.Context, file: str, ignore_unknown: bool, headings: str | None, faults: str | None,
    form: str | None, question: str | None, explain: str | None, priors: str | None,
    draws: int, engine: str,
) -> None:  # fmt: skip
    """How each sherd of a table was probably fired and painted, why, how sure, and which test to do next.

    FILE is a sherd table: CSV, XLSX, JSON, JSON-LD or Turtle; - reads standard input. A sherd with a fault is
    not answered, the others are.

    \b
    Example:
      wareontology template lot.csv
      wareontology infer lot.csv
      wareontology infer - --json --draws 0 < lot.csv
      wareontology infer lot.csv --explain atmosphere
    """
    from wareontology.technique import answers_out
    from wareontology.technique.asked import Asked, check_question, own_priors

    for option, name in (("--question", question), ("--explain", explain)):
        try:
            check_question(name) if name is not None else None
        except ValueError as error:
            wrong_usage([f"{option}: {error}"])
    table = handed(file, ignore_unknown, headings, faults)
    asked = Asked(
        table, question, draws, engine, explain, own_priors(priors),
        stop=bool(ctx.find_root().params.get("traceback")),
    )  # fmt: skip
    progress = Progress()
    with faults_written(table, faults):
        found = progress.over(asked.answers())
        if form is None:
            answers_out.write_prose(found, sys.stdout, width(), in_colour())
        else:
            {"json": answers_out.write_array, "jsonl": answers_out.write_lines}[form](found, sys.stdout)
        sys.stdout.flush()
    report_faults(table, f"{counted(progress.count, 'sherd')} answered")
    for fault in asked.own_faults:
        say(fault)
    ctx.exit(PROGRAM_FAULT if asked.own_faults else REFUSED if table.faults else 0)


@click.command()
@table_options
@click.pass_context
def validate(
    ctx: click.Context, file: str, ignore_unknown: bool, headings: str | None, faults: str | None
) -> None:
    """Whether a table can be read, cell by cell; every fault says what was found and what would do.

    \b
    Example:
      wareontology template lot.csv
      wareontology validate lot.csv
    """
    table = handed(file, ignore_unknown, headings, faults)
    rows = sherds = 0
    with faults_written(table, faults):
        for sherd in table.sherds():
            sherds, rows = sherds + 1, rows + len(sherd.rows)
    read = f"{counted(sherds, 'sherd')}, {counted(rows, 'row')}"
    if not table.faults:
        click.echo(f"{read}, no fault")
    report_faults(table, f"{read} without fault")
    ctx.exit(REFUSED if table.faults else 0)


@click.command()
@click.argument("out", required=False)
@click.option(
    "--format", "kind", type=click.Choice(["csv", "xlsx", "json"]),
    help="Form of the table; else by the ending of OUT, else CSV.",
)  # fmt: skip
def template(out: str | None, kind: "Format | None") -> None:
    """A blank sherd table with one invented row; the XLSX has a sheet that explains each column.

    Without OUT, or with -, it goes to standard output. A file that is there already is left alone.

    \b
    Example:
      wareontology template lot.xlsx
    """
    from wareontology.sherd.template import content, write

    if out is None or out == "-":
        if kind == "xlsx" and sys.stdout.isatty():
            raise click.UsageError("XLSX on a terminal; would do: a file to write to, such as lot.xlsx")
        sys.stdout.buffer.write(content(kind or "csv"))
        return
    write(out, kind)
    say(f"{out}: written. Its one sherd is invented. `wareontology columns` says what each column means.")


@click.command()
@click.argument("names", nargs=-1, metavar="[NAME]...")
@click.option("--headings", metavar="FILE.toml", help="Show what each of your own headings was taken for.")
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
def columns(names: tuple[str, ...], headings: str | None, as_json: bool) -> None:
    """What each column of the sherd table means, how to see it, and what it may hold.

    A table with headings of its own is read with --headings FILE.toml, a file such as

    \b
      [headings]
      "Paint colour" = "colour"
      "Find no." = "sherd"

    \b
    Example:
      wareontology columns edge relief
    """
    from wareontology.sherd.columns import as_data, as_text

    own: dict[str, str] = {}
    if headings is not None:
        from wareontology.sherd.headings import read_map

        own = read_map(headings)
        names = (*names, *dict.fromkeys(own.values()))
    try:
        if as_json:
            echo_json(as_data(names) if not own else {"headings": own, "columns": as_data(names)})
            return
        text = as_text(names, width())
    except BreaksShape as error:
        wrong_usage([f"{fault.found}: no such column; would do: {fault.would_do}" for fault in error.faults])
    for heading, name in own.items():
        click.echo(f"{heading} → {name}")
    click.echo("\n" * bool(own) + text)


@click.command()
@click.argument("name", required=False)
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
def rules(name: str | None, as_json: bool) -> None:
    """The rules the deduction is made of, or one of them in full.

    \b
    Example:
      wareontology rules MouthDownFromRedOutsideBlackInside
    """
    from wareontology.technique import rules as all_rules
    from wareontology.technique.rule_words import nearest_rule, rule_text

    listed = all_rules.rules_list()
    if name is None:
        texts = (rule_text(rule, width()) for rule in listed)
        echo_json(listed) if as_json else click.echo("\n\n".join(texts))
        return
    try:
        found = all_rules.explain(name)
    except KeyError:
        wrong_usage([f"{name}: no such rule; would do: {nearest_rule(name, listed)}"])
    echo_json(found) if as_json else click.echo(rule_text(found, width()))


class Progress:
    """Counts answers; shows the count on a terminal's standard error where the output goes elsewhere."""

    FROM: Final = 1000

    def __init__(self) -> None:
        self.count = 0
        self._shown = sys.stderr.isatty() and not sys.stdout.isatty()

    def over(self, answers: "Answered") -> "Iterator[tuple[Sherd, Mapping[str, Any]]]":
        """The same answers, counted."""
        for pair in answers:
            self.count += 1
            if self._shown and self.count > self.FROM and self.count % 100 == 0:
                click.echo(f"\r{self.count:,} sherds answered", nl=False, err=True)
            yield pair
        if self._shown and self.count > self.FROM:
            click.echo("\r\x1b[K", nl=False, err=True)


def handed(file: str, ignore_unknown: bool, headings: str | None, faults: str | None) -> "Handed":
    from wareontology.sherd.handed import Handed
    from wareontology.sherd.whole_file import same_file

    if faults and any(same_file(faults, read) for read in (file, headings) if read):
        raise click.UsageError(f"--faults {faults} is a file that is read; would do: another name")
    return Handed(file, ignore_unknown, headings)


@contextmanager
def faults_written(table: "Handed", out: str | None) -> "Iterator[None]":
    """Writes the faults file when the table was gone through, also where it turned out to be no table."""
    try:
        yield
    except WareontologyError:
        _write_faults(table, out)
        raise
    _write_faults(table, out)


def _write_faults(table: "Handed", out: str | None) -> None:
    from wareontology.sherd.whole_file import write_whole

    if out is not None:
        write_whole(out, table.faults_json())


def report_faults(table: "Handed", done: str) -> None:
    for fault in table.faults:
        say(str(fault))
    if table.faults:
        say(f"{done}; {counted(table.refused, 'record')} refused for {counted(len(table.faults), 'fault')}")
