"""The commands about the fire; `cli` adds them to its group."""

from pathlib import Path
from typing import TYPE_CHECKING, Final

import click

if TYPE_CHECKING:
    from wareontology.redox.named_gas import Named, Tables

_PICTURES: Final = (".svg", ".png")


@click.command()
@click.option("--temperature-c", type=float, metavar="T", help="Temperature of the gas, °C.")
@click.option("--co-co2", type=float, metavar="R", help="The gas by carbon monoxide over dioxide.")
@click.option(
    "--oxygen", type=float, metavar="SHARE", help="The gas by its free oxygen, 0 to 1; air is 0.2095."
)
@click.option(
    "--fuel-air", type=float, metavar="R",
    help="The gas by fuel over air; 1 burns both up exactly, above 1 is smoky.",
)  # fmt: skip
@click.option("--fuel", type=click.Choice(["wood", "charcoal"]), help="With --fuel-air; wood if not given.")
@click.option(
    "--altitude-m", type=float, default=0.0, show_default=True, metavar="M", help="Height above the sea."
)
@click.option("--map", "picture", metavar="OUT", help="Draw the phase map too: OUT ends in .svg or .png.")
@click.option("--cooling", is_flag=True, help="Instead: how cool a pot must be before air is let in.")
@click.option(
    "--grain-um", type=float, metavar="R", help="With --cooling: grain radius, µm; drawn if not given."
)
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
def gas(
    temperature_c: float | None, co_co2: float | None, oxygen: float | None, fuel_air: float | None,
    fuel: str | None, altitude_m: float, picture: str | None, cooling: bool, grain_um: float | None,
    as_json: bool,
) -> None:  # fmt: skip
    """Which oxides of iron, manganese, copper and lead a fire's gas makes, and the colours to expect.

    The gas is named in one way: --co-co2, --oxygen or --fuel-air. With --cooling: how cool a pot must be
    before air is let in, quick and slow.

    \b
    Example:
      wareontology gas --temperature-c 800 --co-co2 1e-4
      wareontology gas --temperature-c 900 --oxygen 0.2095 --map map.svg
      wareontology gas --cooling --grain-um 1

    Carbon monoxide kills: fire in the open and stay upwind.
    """
    from wareontology.cli_out import echo_json, in_colour, width
    from wareontology.redox.named_gas import Named
    from wareontology.report import gas as report
    from wareontology.report.gas_prose import gas_text, opening_text

    ways = {"--co-co2": co_co2, "--oxygen": oxygen, "--fuel-air": fuel_air}
    named = [way for way, value in ways.items() if value is not None]
    if cooling:
        others = {"--temperature-c": temperature_c, **ways, "--fuel": fuel, "--map": picture}
        _refuse_with_cooling([name for name, value in others.items() if value is not None])
        from wareontology.report.opening import opening

        answer = opening(report.tables().constants, grain_um, altitude_m)
        text = opening_text
    else:
        _check_usage(named, temperature_c, fuel, grain_um, picture)
        assert temperature_c is not None  # checked above
        tables = report.tables()
        asked = Named(temperature_c, co_co2, oxygen, fuel_air, fuel or "wood", altitude_m)
        answer = report.answer(tables, asked)
        text = gas_text
        if picture is not None:
            _draw(picture, tables, asked)
    if as_json:
        echo_json(answer)
    else:
        click.echo(text(answer, colour=in_colour(), width=width()), nl=False)


def _check_usage(
    named: list[str], temperature_c: float | None, fuel: str | None, grain_um: float | None,
    picture: str | None,
) -> None:  # fmt: skip
    if len(named) != 1:
        found = f"{' and '.join(named)} both given" if named else "no gas named"
        found = found.replace("both", "all") if len(named) > 2 else found
        raise click.UsageError(
            f"{found}; would do: one of --co-co2 (1e-9 to 1e6), --oxygen (1e-6 to 1), --fuel-air (0.3 to 3)"
        )
    if temperature_c is None:
        raise click.UsageError("no temperature; would do: --temperature-c, such as 800")
    if fuel is not None and named != ["--fuel-air"]:
        raise click.UsageError(f"--fuel with {named[0]}; would do: --fuel with --fuel-air")
    if grain_um is not None:
        raise click.UsageError("--grain-um without --cooling; would do: both")
    if picture is not None and Path(picture).suffix.lower() not in _PICTURES:
        raise click.UsageError(f"--map {picture}; would do: a name that ends in {' or '.join(_PICTURES)}")


def _refuse_with_cooling(others: list[str]) -> None:
    if others:
        raise click.UsageError(
            f"--cooling with {' and '.join(others)}; would do: with --grain-um, --altitude-m or --json"
        )


def _draw(picture: str, tables: "Tables", asked: "Named") -> None:
    from wareontology.cli_out import say
    from wareontology.plots.phase_map import phase_map
    from wareontology.sherd.whole_file import write_whole

    form = Path(picture).suffix.lower().removeprefix(".")
    write_whole(picture, phase_map(tables, asked, form))
    say(f"{picture}: written.")
