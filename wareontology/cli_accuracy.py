"""The command that says how right the answers are; `cli` adds it to its group."""

import sys

import click


@click.command()
@click.option(
    "--fresh", is_flag=True, help="Compute it anew from the data here instead of showing the shipped report."
)
@click.option("--json", "as_json", is_flag=True, help="As JSON, with every label.")
def accuracy(fresh: bool, as_json: bool) -> None:
    """How well the answers foretell what published sources state, with intervals and baselines.

    \b
    Example:
      wareontology accuracy
      wareontology accuracy --fresh --json
    """
    from wareontology.cli_out import echo_json, in_colour, width
    from wareontology.report import accuracy as report
    from wareontology.report.accuracy_prose import accuracy_text

    found = report.accuracy(_told if sys.stderr.isatty() else None) if fresh else report.shipped()
    if as_json:
        echo_json(found)
    else:
        click.echo(accuracy_text(found, colour=in_colour(), width=width()), nl=False)


def _told(done: int, of: int) -> None:
    click.echo(f"\r{done} of {of} wares", nl=done == of, err=True)
