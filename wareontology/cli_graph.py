"""The commands about the published traditions; `cli` adds them to its group."""

from pathlib import Path
from typing import Final

import click

_PICTURES: Final = (".svg", ".png")


@click.command()
@click.option("--region", metavar="R", help="In this region or a part of it, as people call it.")
@click.option(
    "--technique", metavar="T", help="Of this technology group, atmosphere, ending or structure, as stated."
)
@click.option("--material", metavar="M", help="With a paint, slip or body of this material or family.")
@click.option("--period", metavar="YEARS", help="Made within these years: 600..900, 1600-1100 BCE.")
@click.option("--memory", is_flag=True, help="Count also what is from memory or was inferred.")
@click.option("--map", "on_map", metavar="OUT", help="Draw them on a map: OUT ends in .svg or .png.")
@click.option(
    "--network", "net", metavar="OUT", help="Draw what techniques they share: OUT ends in .svg or .png."
)
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
def browse(
    region: str | None, technique: str | None, material: str | None, period: str | None, memory: bool,
    on_map: str | None, net: str | None, as_json: bool,
) -> None:  # fmt: skip
    """The published traditions, all of them or those of a region, technique, material or period.

    Only what a text that was read states counts, unless --memory is given.

    \b
    Example:
      wareontology browse --region "Four Corners" --material organic
      wareontology browse --technique reducing --map reducing.svg
      wareontology browse --network network.svg
    """
    from wareontology.cli_out import echo_json, in_colour, width
    from wareontology.report import browse as report
    from wareontology.report.traditions_prose import browse_text

    for option, picture in (("--map", on_map), ("--network", net)):
        _check_picture(option, picture)
    asked = report.Asked(region, technique, material, period, memory)
    answer = report.browse(asked)
    if on_map is not None:
        from wareontology.plots.tradition_map import tradition_map

        _draw(on_map, tradition_map(report.chosen(asked), _form(on_map)))
    if net is not None:
        from wareontology.graph.network import bands
        from wareontology.plots.network import network

        _draw(net, network(bands({one.id: one for one in report.chosen(asked)}), _form(net)))
    if as_json:
        echo_json(answer)
    else:
        click.echo(browse_text(answer, colour=in_colour(), width=width()), nl=False)


@click.command()
@click.argument("tradition")
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
def show(tradition: str, as_json: bool) -> None:
    """One tradition, or one fault of firing: what is stated of it and by which source.

    TRADITION is an id or a name as `browse` lists them, or the name of a fault of firing.

    \b
    Example:
      wareontology show us-tusayan-white
      wareontology show "lime pop"
    """
    from wareontology.cli_out import echo_json, in_colour, width
    from wareontology.graph import traditions
    from wareontology.report.show import show as shown
    from wareontology.report.traditions_prose import show_text

    if _show_fault(tradition, as_json):
        return
    answer = shown(traditions.tradition(tradition))
    if as_json:
        echo_json(answer)
    else:
        click.echo(show_text(answer, colour=in_colour(), width=width()), nl=False)


def _show_fault(name: str, as_json: bool) -> bool:
    """Whether a name is that of a fault of firing and was shown. BreaksShape, with the nearest of both, where
    it is neither that nor a tradition's."""
    from wareontology.cli_out import echo_json, in_colour, width
    from wareontology.errors import BreaksShape, Fault
    from wareontology.firing import faults
    from wareontology.graph import traditions
    from wareontology.report.fault import fault_data, fault_text

    found = faults.fault(name)
    if found is None:
        near = faults.nearest(name)
        try:
            traditions.tradition(name)
        except BreaksShape as error:
            if not near:
                raise
            first = error.faults[0]
            would_do = f"{first.would_do} (traditions); {' or '.join(near)} (faults of firing)"
            both = Fault(first.file, first.row, first.column, first.found, would_do, why=first.why)
            raise BreaksShape([both]) from None
        return False
    if as_json:
        echo_json(fault_data(found))
    else:
        click.echo(fault_text(found, colour=in_colour(), width=width()), nl=False)
    return True


@click.command()
@click.argument("first")
@click.argument("second")
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
def contrast(first: str, second: str, as_json: bool) -> None:
    """What two traditions differ in, and what it would take to tell them apart on a sherd.

    \b
    Example:
      wareontology contrast us-tusayan-white us-chuska-mineral
    """
    from wareontology.cli_out import echo_json, in_colour, width
    from wareontology.graph.traditions import tradition
    from wareontology.report.contrast import contrast as contrasted
    from wareontology.report.contrast_prose import contrast_text

    one, other = tradition(first), tradition(second)
    if one.id == other.id:
        raise click.UsageError(f"{one.id} twice; would do: two traditions")
    answer = contrasted(one, other)
    if as_json:
        echo_json(answer)
    else:
        click.echo(contrast_text(answer, colour=in_colour(), width=width()), nl=False)


@click.command()
@click.argument("parts", nargs=-1, required=True, metavar="FIELD=VALUE...")
@click.option("--region", metavar="R", help="Count in this region alone.")
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
def rarity(parts: tuple[str, ...], region: str | None, as_json: bool) -> None:
    """How often a combination is stated of the published traditions, with the count and its interval.

    A part is FIELD=VALUE, or LAYER:FIELD=VALUE, as slip:colour=white. `columns` names what is seen; what is
    concluded is paint, slip, body, atmosphere, ending, temperature, structure, carbon, applied.

    \b
    Example:
      wareontology rarity paint=organic atmosphere=reducing
      wareontology rarity slip:colour=white "paint=manganese family"
    """
    from wareontology.cli_out import echo_json, in_colour, width
    from wareontology.report.contrast_prose import rarity_text
    from wareontology.report.rarity import rarity as counted

    answer = counted(parts, region)
    if as_json:
        echo_json(answer)
    else:
        click.echo(rarity_text(answer, colour=in_colour(), width=width()), nl=False)


def _check_picture(option: str, picture: str | None) -> None:
    if picture is not None and Path(picture).suffix.lower() not in _PICTURES:
        raise click.UsageError(f"{option} {picture}; would do: a name that ends in {' or '.join(_PICTURES)}")


def _form(picture: str) -> str:
    return Path(picture).suffix.lower().removeprefix(".")


def _draw(picture: str, content: bytes) -> None:
    from wareontology.cli_out import say
    from wareontology.sherd.whole_file import write_whole

    write_whole(picture, content)
    say(f"{picture}: written.")
