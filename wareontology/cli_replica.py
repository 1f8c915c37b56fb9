"""The commands about the replica; `cli` adds them to its group."""

import click


@click.command()
@click.argument("materials", nargs=-1)
@click.option(
    "--batch-g", type=float, default=100.0, show_default=True, metavar="G", help="Dry grams in all."
)
@click.option(
    "--by", type=click.Choice(["weight", "volume"]), default="weight", show_default=True,
    help="What the parts count: weight, or volume of loose dry powder.",
)  # fmt: skip
@click.option(
    "--to", "target", metavar="OXIDES", help="Back from a fired composition: `Fe2O3=60 SiO2=25 Al2O3=15`."
)
@click.option(
    "--litre-g", type=float, metavar="G", help="What a litre of the slip weighs: gives its dry grams."
)
@click.option(
    "--shrinkage", type=float, nargs=2, metavar="SLIP BODY", help="Shrinkages of two marked tiles, per cent."
)
@click.option(
    "--roast-g", type=float, metavar="G", help="Instead: what roasting G grams of galena gives off."
)
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
def recipe(
    materials: tuple[str, ...], batch_g: float, by: str, target: str | None, litre_g: float | None,
    shrinkage: tuple[float, float] | None, roast_g: float | None, as_json: bool,
) -> None:  # fmt: skip
    """Parts of materials to what they are when fired; with --to, back from a composition to parts.

    MATERIALS are name=parts, or names alone with --to.

    \b
    Example:
      wareontology recipe "red ochre=2" "red clay=1" --batch-g 90
      wareontology recipe "red ochre" "red clay" --to "Fe2O3=55 SiO2=27 Al2O3=18"
      wareontology recipe --roast-g 100

    Dust of silica, manganese, copper and lead harms: grind wet. Lead is for licensed practice.
    """
    from wareontology.cli import _echo_json, _in_colour, _width
    from wareontology.report import recipe as report
    from wareontology.report.recipe_prose import recipe_text

    if roast_g is not None:
        if materials or target or litre_g is not None or shrinkage:
            raise click.UsageError("--roast-g with others; would do: --roast-g alone")
        answer = report.roasted(roast_g)
    elif target is not None:
        answer = report.matched(_pairs(target.replace(",", " ").split(), "Fe2O3=60"), materials)
    elif materials:
        answer = report.batch(
            _pairs(materials, "red-clay=1"), batch_g, "volume" if by == "volume" else "weight"
        )
    elif litre_g is not None or shrinkage:
        answer = {}
    else:
        raise click.UsageError('no material; would do: "red ochre=2" "red clay=1"')
    answer |= report.slip(litre_g, shrinkage)
    if as_json:
        _echo_json(answer)
    else:
        click.echo(recipe_text(answer, colour=_in_colour(), width=_width()), nl=False)


def _pairs(words: tuple[str, ...] | list[str], example: str) -> dict[str, float]:
    found: dict[str, float] = {}
    for word in words:
        name, _, number = word.rpartition("=")
        try:
            value = float(number)
        except ValueError:
            value = float("nan")
        if not name or value != value:
            raise click.UsageError(f"{word!r}; would do: a name and a number, such as {example}")
        found[name.strip()] = found.get(name.strip(), 0.0) + value
    return found
