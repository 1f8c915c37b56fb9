"""The commands about the replica; `cli` adds them to its group."""

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from wareontology.replica.photo import Box
    from wareontology.sherd.record import Sherd


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
    from wareontology.cli_out import echo_json, in_colour, width
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
        echo_json(answer)
    else:
        click.echo(recipe_text(answer, colour=in_colour(), width=width()), nl=False)


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


@click.command()
@click.argument("file")
@click.option(
    "--replica", metavar="TABLE", help="Also: what the reasoner makes of the replica's own sherd table."
)
@click.option("--turtle", metavar="OUT", help="Also write the claim and its own records as Turtle.")
@click.option(
    "--tiles",
    type=int,
    metavar="N",
    help="Instead: the N tiles (1 to 12) expected to tell it from its rivals.",
)
@click.option("--firings", type=int, metavar="N", help="With --tiles: in so many firings at most.")
@click.option("--seed", type=int, default=1, show_default=True, help="With --tiles: of labels and places.")
@click.option("--sheet", metavar="OUT", help="With --tiles: a sheet to print, HTML, the key on a page apart.")
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
def claim(
    file: str, replica: str | None, turtle: str | None, tiles: int | None, firings: int | None, seed: int,
    sheet: str | None, as_json: bool,
) -> None:  # fmt: skip
    """Whether a claim about a technique stands: possible, sufficient, unique, each apart.

    FILE is a claim as Turtle, TOML or JSON; - reads standard input. data/claim_fields.csv says what each
    field means.

    \b
    Example:
      wareontology claim data/demo/claim.toml
      wareontology claim data/demo/claim.toml --json
      wareontology claim data/demo/claim.toml --replica data/demo/replicas.csv
      wareontology claim data/demo/claim.toml --tiles 6

    With --tiles FILE may also be hypotheses and trials of your own, as data/demo/hypotheses.toml.
    """
    if tiles is not None:
        if replica is not None or turtle is not None:
            raise click.UsageError("--tiles with --replica or --turtle; would do: one of them")
        _design(file, tiles, firings, seed, sheet, as_json)
        return
    if firings is not None or sheet is not None:
        raise click.UsageError("--firings or --sheet without --tiles; would do: --tiles 6")
    from wareontology.cli_out import echo_json, in_colour, say, width
    from wareontology.replica.claim import judged
    from wareontology.replica.claim_read import read
    from wareontology.replica.claim_replica import from_replica
    from wareontology.report.claim_prose import claim_text
    from wareontology.sherd.whole_file import same_file, write_whole

    if turtle is not None and any(same_file(turtle, one) for one in (file, replica) if one):
        raise click.UsageError(f"--turtle {turtle} is a file that is read; would do: another name")
    found = read(file)
    answer = judged(found)
    if replica is not None:
        answer["replica"] = from_replica(found, _sherds(replica))
    if turtle is not None:
        write_whole(turtle, found.turtle().encode())
        say(f"{turtle}: written.")
    if as_json:
        echo_json(answer)
    else:
        click.echo(claim_text(answer, colour=in_colour(), width=width()), nl=False)


def _design(file: str, tiles: int, firings: int | None, seed: int, sheet: str | None, as_json: bool) -> None:
    from wareontology.cli_out import echo_json, in_colour, say, width
    from wareontology.replica import design_ask
    from wareontology.replica.claim_read import read
    from wareontology.report.design import designed
    from wareontology.report.tile_sheet import design_text, sheet_html
    from wareontology.sherd.whole_file import same_file, write_whole

    if sheet is not None and same_file(sheet, file):
        raise click.UsageError(f"--sheet {sheet} is a file that is read; would do: another name")
    own = design_ask.holds_hypotheses(file)
    question = design_ask.read(file) if own else design_ask.from_claim(read(file))
    answer = designed(question, tiles, firings, seed)
    if sheet is not None:
        write_whole(sheet, sheet_html(answer).encode())
        say(f"{sheet}: written.")
    if as_json:
        echo_json(answer)
    else:
        click.echo(design_text(answer, colour=in_colour(), width=width()), nl=False)


@click.command()
@click.argument("originals", required=False)
@click.argument("replicas", required=False)
@click.option("--photo", metavar="FILE", help="Instead: areas of one photo with a neutral grey in view.")
@click.option("--grey", multiple=True, metavar="X,Y,W,H", help="Box of the grey, pixels; may be repeated.")
@click.option("--grey-l", type=float, default=50.0, show_default=True, metavar="L", help="L* of the grey.")
@click.option(
    "--original", "theirs", multiple=True, metavar="X,Y,W,H", help="Box of an original; may be repeated."
)
@click.option(
    "--replica", "ours", multiple=True, metavar="X,Y,W,H", help="Box of a replica; may be repeated."
)
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
def compare(
    originals: str | None, replicas: str | None, photo: str | None, grey: tuple[str, ...], grey_l: float,
    theirs: tuple[str, ...], ours: tuple[str, ...], as_json: bool,
) -> None:  # fmt: skip
    """Replicas with originals, trait by trait and by colour, spread against spread.

    ORIGINALS and REPLICAS are sherd tables. With --photo the colours of areas of one photo are compared,
    balanced on its grey; light that is too uneven is refused.

    \b
    Example:
      wareontology compare data/demo/originals.csv data/demo/replicas.csv
      wareontology compare --photo a.jpg --grey 40,40,80,80 --original 300,200,60,60 --replica 500,200,60,60
    """
    from wareontology.cli_out import echo_json, in_colour, width
    from wareontology.report import compare as report
    from wareontology.report.compare_prose import compare_text

    if photo is not None:
        if originals is not None or not grey or not (theirs or ours):
            raise click.UsageError(
                "would do: --photo FILE with --grey and an --original or --replica, each X,Y,W,H"
            )
        greys, originals_at, replicas_at = ([_box(one) for one in boxes] for boxes in (grey, theirs, ours))
        answer = report.photo(photo, greys, originals_at, replicas_at, grey_l)
    elif originals is None or replicas is None or grey or theirs or ours:
        raise click.UsageError("would do: two sherd tables, of originals and of replicas")
    else:
        answer = report.tables(_sherds(originals), _sherds(replicas))
    if as_json:
        echo_json(answer)
    else:
        click.echo(compare_text(answer, colour=in_colour(), width=width()), nl=False)


def _box(text: str) -> "Box":
    from wareontology.replica.photo import Box

    parts = text.split(",")
    if len(parts) != 4 or not all(part.strip().isdigit() for part in parts):
        raise click.UsageError(f"{text!r}; would do: x,y,width,height in pixels, such as 40,40,80,80")
    return Box(*(int(part) for part in parts))


def _sherds(file: str) -> "tuple[Sherd, ...]":
    """The sherds of a table. Raises BreaksShape with every fault where there is one."""
    from wareontology.errors import BreaksShape
    from wareontology.sherd.table import read

    found = read(file)
    if found.faults:
        raise BreaksShape(found.faults)
    return found.sherds
