"""Builds what is generated and shipped: `python -m wareontology.build closure`.

Each part is made only from files in data/ and from libraries, and the same input gives the same file.
"""

from pathlib import Path

import click


@click.group()
def main() -> None:
    """Build the generated files that are shipped in data/."""


@main.command()
@click.option(
    "--to", "target", type=click.Path(path_type=Path), help="File to write instead of the shipped one."
)
def closure(target: Path | None) -> None:
    """What OWL RL adds to the graph, data/closure.nt.gz, and beside it the index of traditions.

    The files of traditions are held to their shapes first; a fault names the file and the node.

    Example: python -m wareontology.build closure
    """
    from wareontology.errors import BreaksShape
    from wareontology.graph.build_graph import build

    try:
        for path in build(target):
            click.echo(path)
    except BreaksShape as error:
        raise click.ClickException(str(error)) from error


@main.command()
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False))
def dump(folder: Path) -> None:
    """The whole graph with its closure as N-Triples, and its VoID and DCAT description, into FOLDER.

    Example: python -m wareontology.build dump out
    """
    from wareontology.graph.describe import dump

    click.echo(dump(folder))


@main.command()
@click.option(
    "--to", "target", type=click.Path(path_type=Path), help="File to write instead of the shipped one."
)
def munsell(target: Path | None) -> None:
    """Chromaticity of the Munsell chips: data/munsell.csv. Needs colour-science, of the dev extra.

    Example: python -m wareontology.build munsell
    """
    from wareontology.colour.build_munsell import write

    click.echo(write(target))


@main.command()
@click.option(
    "--to", "target", type=click.Path(path_type=Path), help="File to write instead of the shipped one."
)
def likelihoods(target: Path | None) -> None:
    """Rows of data/likelihoods.csv that the physics makes; every other row stays as it is.

    Example: python -m wareontology.build likelihoods
    """
    from wareontology.technique.physics.rows import write

    click.echo(write(target))


@main.command()
def counts() -> None:
    """What is counted from the traditions: counts.csv for the priors, rule_records.json for the rules.

    Example: python -m wareontology.build counts
    """
    from wareontology.technique import count_rules, count_traditions

    click.echo(count_traditions.build())
    click.echo(count_rules.build())


@main.command()
def accuracy() -> None:
    """How right the answers are on published traditions: data/accuracy.json. About half a minute.

    Example: python -m wareontology.build accuracy
    """
    from wareontology.report.accuracy import build

    click.echo(build())


@main.command()
@click.pass_context
def traditions(ctx: click.Context) -> None:
    """All that rests on data/traditions/: closure, counts and accuracy, in that order. About a minute.

    Example: python -m wareontology.build traditions
    """
    for part in (closure, counts, accuracy):
        ctx.invoke(part)


if __name__ == "__main__":
    main()
