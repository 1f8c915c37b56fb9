"""The command line. It reads, asks and writes; what is true it leaves to the library.

Exit codes: 0 done, 1 some input refused, 2 wrong usage, 70 a fault of this program, 130 stopped by Ctrl-C,
141 nobody reads the output any more. What is heavy is imported inside the command that needs it.
"""

import gc
import os
import sys
from collections.abc import Mapping
from importlib import import_module
from types import MappingProxyType
from typing import Any, Final

import click

from wareontology import __version__
from wareontology.cli_out import INTERRUPTED, NO_READER, PROGRAM_FAULT, REFUSED, let_go, say
from wareontology.errors import WareontologyError

COMMANDS: Final[Mapping[str, str]] = MappingProxyType(
    {
        name: module
        for module, names in (
            ("cli_sherd", "template columns validate infer rules"),
            ("cli_graph", "browse show contrast rarity"),
            ("cli_plan", "plan"),
            ("cli_query", "query export"),
            ("cli_accuracy", "accuracy"),
            ("cli_fire", "gas"),
            ("cli_firing", "simulate"),
            ("cli_log", "log"),
            ("cli_learn", "learn"),
            ("cli_replica", "recipe compare claim"),
            ("cli_report", "report"),
            ("cli_collection", "score agree sample methods"),
            ("cli_app", "serve backup restore"),
        )
        for name in names.split()
    }
)
"""Command to the module that holds it, which is imported when it is asked for: a start costs only itself."""


class Commands(click.Group):
    """The group: turns what goes wrong into a message and an exit code, never a traceback."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        module = COMMANDS.get(cmd_name)
        if module is None:
            return None
        command: click.Command = getattr(import_module(f"wareontology.{module}"), cmd_name)
        return command

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
            let_go()
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
