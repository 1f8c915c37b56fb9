"""How every command speaks: exit codes, messages on standard error, JSON and prose on standard output."""

import os
import shutil
import sys
from collections.abc import Iterable
from typing import Final, NoReturn

import click

REFUSED: Final = 1
USAGE: Final = 2
PROGRAM_FAULT: Final = 70  # EX_SOFTWARE of sysexits.h
INTERRUPTED: Final = 130
NO_READER: Final = 141
WIDTH: Final = 88


def say(text: str) -> None:
    """A message for the person, on standard error, whatever characters a table put into it."""
    from wareontology.technique.phrases import printable

    for line in text.splitlines():
        click.echo(printable(line), err=True)


def echo_json(data: object) -> None:
    from wareontology.technique.answers_out import as_json

    click.echo(as_json(data, sys.stdout, indent=1))


def width() -> int:
    """Characters in a line: a terminal's own up to 100, else 88."""
    return min(shutil.get_terminal_size((WIDTH, 24)).columns, 100) if sys.stdout.isatty() else WIDTH


def in_colour() -> bool:
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def counted(number: int, noun: str) -> str:
    return f"{number:,} {noun}{'' if number == 1 else 's'}"


def wrong_usage(messages: Iterable[str]) -> NoReturn:
    for message in messages:
        say(message)
    raise click.exceptions.Exit(USAGE)


def let_go() -> None:
    """Standard output is read by nobody: let what is still to be flushed go nowhere."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
