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
    """What OWL RL adds to the graph: data/closure.nt.gz.

    Example: python -m wareontology.build closure
    """
    from wareontology.graph.closure import build

    click.echo(build(target))


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


if __name__ == "__main__":
    main()
