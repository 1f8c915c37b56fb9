"""The command line. It reads, asks and writes; what is true it leaves to the library.

Exit codes: 0 done, 1 some input refused, 2 wrong usage, 70 a fault of this program, 130 stopped by Ctrl-C,
141 nobody reads the output any more. What is heavy is imported inside the command that needs it.
"""

import gc
import os
import shutil
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Final, NoReturn, TypeVar

import click

from wareontology import __version__
from wareontology.cli_accuracy import accuracy
from wareontology.cli_app import backup, restore, serve
from wareontology.cli_collection import agree, methods, sample, score
from wareontology.cli_fire import gas
from wareontology.cli_firing import simulate
from wareontology.cli_graph import browse, contrast, rarity, show
from wareontology.cli_log import learn, log
from wareontology.cli_query import export, query
from wareontology.cli_replica import claim, compare, recipe
from wareontology.cli_report import report
from wareontology.errors import BreaksShape, WareontologyError

if TYPE_CHECKING:
    from wareontology.sherd.handed import Handed
    from wareontology.sherd.record import Sherd
    from wareontology.sherd.template import Format

    Answered = Iterable[tuple[Sherd, Mapping[str, Any]]]

REFUSED: Final = 1
USAGE: Final = 2
PROGRAM_FAULT: Final = 70  # EX_SOFTWARE of sysexits.h
INTERRUPTED: Final = 130
NO_READER: Final = 141
WIDTH: Final = 88
Command = TypeVar("Command", bound=Callable[..., Any])


class Commands(click.Group):
    """The group: turns what goes wrong into a message and an exit code, never a traceback."""

    def invoke(self, ctx: click.Context) -> Any:
        try:
            result = super().invoke(ctx)
            sys.stdout.flush()
            return result
        except (click.ClickException, click.exceptions.Exit, click.Abort):
            raise
        except KeyboardInterrupt:
            ctx.exit(INTERRUPTED)
        except BrokenPipeError:
            _let_go()
            ctx.exit(NO_READER)
        except WareontologyError as error:
            say(str(error))
            ctx.exit(REFUSED)
        except OSError as error:
            say(f"{error.filename or 'output'}: {error.strerror or error}; would do: a place to write to")
            ctx.exit(REFUSED)
        except Exception as error:
            if ctx.params.get("traceback"):
                raise
            from wareontology.technique.asked import own_fault

            say(own_fault(error))
            ctx.exit(PROGRAM_FAULT)


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="wareontology", message="%(prog)s %(version)s")
@click.option("--traceback", is_flag=True, help="Show where in the program a fault of its own arose.")
def cli(traceback: bool) -> None:
    """From the traits of a painted sherd to how it was made, with sources, odds and the test to do next.

    \b
    Begin with a table of your own:
      wareontology template lot.csv
      wareontology infer lot.csv

    Exit codes: 0 done, 1 some input refused, 2 wrong usage, 70 a fault of the program. Nothing here is a
    verdict on price, rarity or authenticity.
    """
    del traceback  # read by Commands


def main() -> None:
    """Entry point of the command."""
    os.environ.setdefault(
        "OPENBLAS_NUM_THREADS", "1"
    )  # a sherd's arrays are small: threads only cost their start
    gc.set_threshold(
        50_000
    )  # nor is there much to collect; looking for it often costs a tenth of a short run
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(
                errors="replace"
            )  # a terminal that lacks a letter shows a mark, it does not stop
    cli(prog_name="wareontology")


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


@cli.command()
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
            _wrong_usage([f"{option}: {error}"])
    table = _handed(file, ignore_unknown, headings, faults)
    asked = Asked(
        table, question, draws, engine, explain, own_priors(priors),
        stop=bool(ctx.find_root().params.get("traceback")),
    )  # fmt: skip
    progress = Progress()
    with _faults_written(table, faults):
        found = progress.over(asked.answers())
        if form is None:
            answers_out.write_prose(found, sys.stdout, _width(), _in_colour())
        else:
            {"json": answers_out.write_array, "jsonl": answers_out.write_lines}[form](found, sys.stdout)
        sys.stdout.flush()
    _report(table, f"{_count(progress.count, 'sherd')} answered")
    for fault in asked.own_faults:
        say(fault)
    ctx.exit(PROGRAM_FAULT if asked.own_faults else REFUSED if table.faults else 0)


@cli.command()
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
    table = _handed(file, ignore_unknown, headings, faults)
    rows = sherds = 0
    with _faults_written(table, faults):
        for sherd in table.sherds():
            sherds, rows = sherds + 1, rows + len(sherd.rows)
    counted = f"{_count(sherds, 'sherd')}, {_count(rows, 'row')}"
    if not table.faults:
        click.echo(f"{counted}, no fault")
    _report(table, f"{counted} without fault")
    ctx.exit(REFUSED if table.faults else 0)


@cli.command()
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


@cli.command()
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
            _echo_json(as_data(names) if not own else {"headings": own, "columns": as_data(names)})
            return
        text = as_text(names, _width())
    except BreaksShape as error:
        _wrong_usage([f"{fault.found}: no such column; would do: {fault.would_do}" for fault in error.faults])
    for heading, name in own.items():
        click.echo(f"{heading} → {name}")
    click.echo("\n" * bool(own) + text)


@cli.command()
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
        texts = (rule_text(rule, _width()) for rule in listed)
        _echo_json(listed) if as_json else click.echo("\n\n".join(texts))
        return
    try:
        found = all_rules.explain(name)
    except KeyError:
        _wrong_usage([f"{name}: no such rule; would do: {nearest_rule(name, listed)}"])
    _echo_json(found) if as_json else click.echo(rule_text(found, _width()))


cli.add_command(accuracy)
cli.add_command(gas)
cli.add_command(simulate)
cli.add_command(log)
cli.add_command(learn)
for _of_graph in (browse, show, contrast, rarity, query, export):
    cli.add_command(_of_graph)
cli.add_command(score)
cli.add_command(agree)
cli.add_command(sample)
cli.add_command(methods)
cli.add_command(serve)
cli.add_command(backup)
cli.add_command(restore)
cli.add_command(recipe)
cli.add_command(claim)
cli.add_command(compare)
cli.add_command(report)


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


def say(text: str) -> None:
    """A message for the person, on standard error, whatever characters a table put into it."""
    from wareontology.technique.phrases import printable

    for line in text.splitlines():
        click.echo(printable(line), err=True)


def _handed(file: str, ignore_unknown: bool, headings: str | None, faults: str | None) -> "Handed":
    from wareontology.sherd.handed import Handed
    from wareontology.sherd.whole_file import same_file

    if faults and any(same_file(faults, read) for read in (file, headings) if read):
        raise click.UsageError(f"--faults {faults} is a file that is read; would do: another name")
    return Handed(file, ignore_unknown, headings)


@contextmanager
def _faults_written(table: "Handed", out: str | None) -> "Iterator[None]":
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


def _report(table: "Handed", done: str) -> None:
    for fault in table.faults:
        say(str(fault))
    if table.faults:
        say(f"{done}; {_count(table.refused, 'record')} refused for {_count(len(table.faults), 'fault')}")


def _echo_json(data: object) -> None:
    from wareontology.technique.answers_out import as_json

    click.echo(as_json(data, sys.stdout, indent=1))


def _width() -> int:
    """Characters in a line: a terminal's own up to 100, else 88."""
    return min(shutil.get_terminal_size((WIDTH, 24)).columns, 100) if sys.stdout.isatty() else WIDTH


def _in_colour() -> bool:
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def _count(number: int, noun: str) -> str:
    return f"{number:,} {noun}{'' if number == 1 else 's'}"


def _wrong_usage(messages: Iterable[str]) -> NoReturn:
    for message in messages:
        say(message)
    raise click.exceptions.Exit(USAGE)


def _let_go() -> None:
    """Standard output is read by nobody: let what is still to be flushed go nowhere."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
