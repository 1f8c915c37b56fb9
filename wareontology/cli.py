"""The command line. It reads, asks and writes; what is true it leaves to the library.

Exit codes: 0 done, 1 some input refused, 2 wrong usage, 70 a fault of this program, 130 stopped by Ctrl-C,
141 nobody reads the output any more. What is heavy is imported inside the command that needs it.
"""

import json
import os
import shutil
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, NoReturn, TextIO, TypeVar

import click

from wareontology import __version__
from wareontology.errors import BreaksShape, Fault, Unreadable, WareontologyError

if TYPE_CHECKING:
    from wareontology.sherd.record import Sherd

REFUSED: Final = 1
USAGE: Final = 2
PROGRAM_FAULT: Final = 70  # EX_SOFTWARE of sysexits.h
INTERRUPTED: Final = 130
NO_READER: Final = 141
WIDTH: Final = 88
QUESTIONS: Final = ("atmosphere", "ending", "temperature", "space", "body", "slip", "paint")
"""What --question takes; a named slip or paint is slip:NAME or paint:NAME."""

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
            say(f"{error.filename or 'output'}: found {error.strerror or error}; would do: a place to write to")
            ctx.exit(REFUSED)
        except Exception as error:
            if ctx.params.get("traceback"):
                raise
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
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal that lacks a letter shows a mark, it does not stop
    cli(prog_name="wareontology")


def table_options(command: Command) -> Command:
    """What every command that reads a sherd table takes."""
    for option in (
        click.option("--faults", metavar="OUT", help="Write every fault to this file too, as JSON."),
        click.option("--headings", metavar="FILE.toml", help="What your own headings mean; see `columns --help`."),
        click.option("--ignore-unknown", is_flag=True, help="Leave unknown columns out instead of stopping."),
        click.argument("file"),
    ):
        command = option(command)
    return command


@cli.command()
@table_options
@click.option("--json", "form", flag_value="json", help="The answers as one JSON array.")
@click.option("--jsonl", "form", flag_value="jsonl", help="The answers as JSON, a line a sherd.")
@click.option("--question", metavar="Q", help=f"Rank the next tests for one question: {', '.join(QUESTIONS)}.")
@click.option(
    "--draws", type=click.IntRange(0, 10_000), default=200, show_default=True, metavar="N",
    help="Draws of the uncertain numbers that tell how firm the answer is; 0 for none, which is faster.",
)
@click.option(
    "--engine", type=click.Choice(["fast", "shacl"]), default="fast", show_default=True,
    help="What runs the rules: our own evaluator, or pySHACL on the same file.",
)  # fmt: skip
@click.pass_context
def infer(
    ctx: click.Context, file: str, ignore_unknown: bool, headings: str | None, faults: str | None,
    form: str | None, question: str | None, draws: int, engine: str,
) -> None:  # fmt: skip
    """How each sherd of a table was probably fired and painted, why, how sure, and which test to do next.

    FILE is a sherd table: CSV, XLSX, JSON, JSON-LD or Turtle; - reads standard input. A sherd with a fault is
    not answered, the others are.

    \b
    Example:
      wareontology template lot.csv
      wareontology infer lot.csv
      wareontology infer - --json --draws 0 < lot.csv
    """
    _check_question(question)
    table = Handed(file, ignore_unknown, headings, faults)
    asked = Asked(table, question, draws, engine)
    writer = {"json": _write_array, "jsonl": _write_lines, None: _write_prose}[form]
    with Progress() as progress:
        writer(progress.over(asked.answers(bool(ctx.find_root().params.get("traceback")))), table)
    sys.stdout.flush()
    table.report(f"{progress.count:,} {'sherd' if progress.count == 1 else 'sherds'} answered")
    for fault in asked.own_faults:
        say(fault)
    ctx.exit(PROGRAM_FAULT if asked.own_faults else REFUSED if table.faults else 0)


@cli.command()
@table_options
@click.pass_context
def validate(ctx: click.Context, file: str, ignore_unknown: bool, headings: str | None, faults: str | None) -> None:
    """Whether a table can be read, cell by cell; every fault says what was found and what would do.

    \b
    Example:
      wareontology template lot.csv
      wareontology validate lot.csv
    """
    table = Handed(file, ignore_unknown, headings, faults)
    rows = sherds = 0
    for sherd in table.sherds():
        sherds, rows = sherds + 1, rows + len(sherd.rows)
    counted = f"{_count(sherds, 'sherd')}, {_count(rows, 'row')}"
    if not table.faults:
        click.echo(f"{counted}, no fault")
    table.report(f"{counted} without fault")
    ctx.exit(REFUSED if table.faults else 0)


@cli.command()
@click.argument("out", required=False)
@click.option(
    "--format", "kind", type=click.Choice(["csv", "xlsx", "json"]),
    help="Form of the table; else by the ending of OUT, else CSV.",
)  # fmt: skip
def template(out: str | None, kind: str | None) -> None:
    """A blank sherd table with one invented row; the XLSX has a sheet that explains each column.

    Without OUT, or with -, it goes to standard output. A file that is there already is left alone.

    \b
    Example:
      wareontology template lot.xlsx
    """
    from wareontology.sherd.template import template as blank

    ending = Path(out).suffix.casefold().lstrip(".") if out else ""
    if kind is None and ending not in ("csv", "xlsx", "json", ""):
        raise click.UsageError(f"OUT: found a file ending in .{ending}; would do: .csv, .xlsx or .json, or --format")
    content = blank(kind or ending or "csv")
    if out is None or out == "-":
        if kind == "xlsx" and sys.stdout.isatty():
            raise click.UsageError("XLSX on a terminal; would do: a file to write to, such as lot.xlsx")
        click.get_binary_stream("stdout").write(content)
        return
    if os.path.lexists(out):
        raise Unreadable(f"{out}: found a file of that name already; would do: another name")
    write_whole(out, content)
    say(f"{out}: written. Its one sherd is invented; write your own over it.")


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

    listed = all_rules.rules_list()
    if name is None:
        _echo_json(listed) if as_json else click.echo("\n\n".join(_rule_text(rule) for rule in listed))
        return
    try:
        found = all_rules.explain(name)
    except KeyError:
        _wrong_usage([f"{name}: no such rule; would do: {_nearest_rule(name, listed)}"])
    _echo_json(found) if as_json else click.echo(_rule_text(found))


@dataclass
class Handed:
    """A table as it was handed in: its good sherds one by one, and what was refused."""

    file: str
    ignore_unknown: bool
    headings: str | None
    faults_file: str | None
    faults: list[Fault] = field(default_factory=list)
    refused: int = 0

    def __post_init__(self) -> None:
        for read in (self.file, self.headings):
            if self.faults_file and read and _same_file(self.faults_file, read):
                raise click.UsageError(f"--faults {self.faults_file} is a file that is read; would do: another name")

    def sherds(self) -> "Iterator[Sherd]":
        """The sherds without a fault. Raises Unreadable, after writing the faults file, where there is no table."""
        from wareontology.sherd.headings import read_map
        from wareontology.sherd.table import iter_records

        try:
            own = read_map(self.headings) if self.headings is not None else None
            for record in iter_records(self.file, headings=own, ignore_unknown=self.ignore_unknown):
                if record.sherd is not None:
                    yield record.sherd
                else:
                    self.refuse(record.faults)
        except WareontologyError as error:
            faults = error.faults if isinstance(error, BreaksShape) else (_as_fault(error, self.file),)
            self._write((*self.faults, *faults))
            raise

    def refuse(self, faults: Iterable[Fault]) -> None:
        """Take note of the faults of one sherd, or of the whole table."""
        self.faults += faults
        self.refused += 1

    def report(self, done: str) -> None:
        """Say every fault on standard error and write the faults file."""
        self._write(self.faults)
        for fault in self.faults:
            say(str(fault))
        if self.faults:
            say(f"{done}; {_count(self.refused, 'record')} refused, {_count(len(self.faults), 'fault')}")

    def _write(self, faults: Iterable[Fault]) -> None:
        if self.faults_file is not None:
            text = json.dumps([fault.as_data() for fault in faults], indent=1, ensure_ascii=False)
            write_whole(self.faults_file, (text + "\n").encode("utf-8", "replace"))


@dataclass
class Asked:
    """What is asked of a table, and the sherds on which this program itself failed."""

    table: Handed
    question: str | None
    draws: int
    engine: str
    own_faults: list[str] = field(default_factory=list)

    def answers(self, stop_at_own_fault: bool = False) -> "Iterator[tuple[Sherd, dict[str, Any]]]":
        """Sherd and answer; a sherd on which the program fails is noted and the next one is asked."""
        from wareontology.technique.answer import answers

        waiting: dict[tuple[str, str | None], Sherd] = {}
        sherds = self._sherds(waiting)
        while True:
            try:
                for answer in answers(sherds, draws=self.draws, question=self.question, engine=self.engine):
                    yield waiting.pop((answer["sherd"], answer["observer"])), answer
                return
            except (WareontologyError, OSError):
                raise
            except Exception as error:
                if stop_at_own_fault or not waiting:
                    raise
                for name, _ in waiting:
                    self.own_faults.append(f"sherd {name} not answered: {own_fault(error)}")
                waiting.clear()

    def _sherds(self, waiting: "dict[tuple[str, str | None], Sherd]") -> "Iterator[Sherd]":
        for sherd in self.table.sherds():
            fault = self._not_on_it(sherd)
            if fault is not None:
                self.table.refuse([fault])
                continue
            waiting[sherd.sherd, sherd.observer] = sherd
            yield sherd

    def _not_on_it(self, sherd: "Sherd") -> Fault | None:
        """The fault of asking for a layer that a sherd has not."""
        if self.question is None or self.question in QUESTIONS[:4]:
            return None
        from wareontology.technique.units import units

        keys = [unit.key for unit in units(sherd).all()]
        if self.question in keys:
            return None
        why = "--question asks for a layer that is not on it"
        return Fault(sherd.file, None, None, self.question, ", ".join(keys), sherd.sherd, why)


class Progress:
    """Counts answers; shows the count on a terminal's standard error where the output goes elsewhere."""

    FROM: Final = 1000

    def __init__(self) -> None:
        self.count = 0
        self._shown = sys.stderr.isatty() and not sys.stdout.isatty()

    def __enter__(self) -> "Progress":
        return self

    def __exit__(self, *_: object) -> None:
        if self._shown and self.count > self.FROM:
            click.echo("\r\x1b[K", nl=False, err=True)

    def over(self, answers: "Iterable[tuple[Sherd, dict[str, Any]]]") -> "Iterator[tuple[Sherd, dict[str, Any]]]":
        for pair in answers:
            self.count += 1
            if self._shown and self.count > self.FROM and self.count % 100 == 0:
                click.echo(f"\r{self.count:,} sherds answered", nl=False, err=True)
            yield pair
