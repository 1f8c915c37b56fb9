"""The command `plan`: from a wanted look to recipe and firing; `cli` adds it to its group."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

import click

if TYPE_CHECKING:
    from wareontology.replica.look import Look
    from wareontology.replica.means import Limits

_SIDES: Final = ("inside", "outside")


@click.command()
@click.argument("targets", nargs=-1, metavar="TARGET...")
@click.option("--sherd", "names", multiple=True, metavar="NAME", help="Of a table this sherd alone.")
@click.option("--slip", metavar="COLOUR", help="Instead of a TARGET: the slip's colour, inside and outside.")
@click.option("--paint", metavar="COLOUR", help="The paint's colour.")
@click.option("--body", metavar="COLOUR", help="The bare body's colour.")
@click.option("--inside", metavar="COLOUR", help="The paint's colour inside, where it is another.")
@click.option("--outside", metavar="COLOUR", help="The paint's colour outside, where it is another.")
@click.option(
    "--zone",
    type=click.Choice([*_SIDES, "both"]),
    default="both",
    show_default=True,
    help="Where it is wanted.",
)
@click.option("--region", metavar="REGION", help="Where it was made: what clay there is.")
@click.option("--no-kiln", is_flag=True, help="Nothing whose traces are often found: no kiln, no saggar.")
@click.option("--of", "made_of", multiple=True, metavar="MATERIAL", help="The paint is to be of this.")
@click.option(
    "--reach", type=click.Choice(["local", "traded", "modern"]), default="traded", show_default=True,
    help="How far the makers reached for materials.",
)  # fmt: skip
@click.option("--fuel", "fuels", multiple=True, metavar="FUEL", help="A fuel at hand; may be repeated.")
@click.option("--without", multiple=True, metavar="NAME", help="What to do without.")
@click.option("--altitude-m", type=click.FloatRange(-430, 5500), default=0.0, metavar="M", help="Altitude.")
@click.option("--hot", is_flag=True, help="Firings that are opened hot too: unproven.")
@click.option("--own", metavar="FILE", help="Your own numbers, as learn --own wrote them.")
@click.option("--write", metavar="FILE", help="Write the first plan as TOML, for simulate and log.")
@click.option("--rank", type=click.IntRange(1), default=1, metavar="N", help="With --write: which.")
@click.option("--members", type=int, default=1000, show_default=True, metavar="N", help="Firings a plan.")
@click.option("--seed", type=int, default=7, show_default=True, metavar="N", help="Of the draws.")
@click.option("--json", "as_json", is_flag=True, help="As JSON, an array.")
def plan(
    targets: tuple[str, ...], names: tuple[str, ...], slip: str | None, paint: str | None, body: str | None,
    inside: str | None, outside: str | None, zone: str, region: str | None, no_kiln: bool,
    made_of: tuple[str, ...], reach: str, fuels: tuple[str, ...], without: tuple[str, ...], altitude_m: float,
    hot: bool, own: str | None, write: str | None, rank: int, members: int, seed: int, as_json: bool,
) -> None:  # fmt: skip
    """From a look to pairs of recipe and firing, ranked by their chance, and why others fell out.

    TARGET is a sherd table or the name of a published tradition; or a look is described.

    \b
    Example:
      wareontology plan --slip white --paint black --no-kiln --of iron --write mine.toml
      wareontology plan --slip white --paint black --outside red --region colorado-plateau
      wareontology plan data/demo/one_sherd.csv --fuel juniper --altitude-m 1800
      wareontology plan us-tusayan-white --reach local --without dung

    Half a minute; what was simulated is kept in the user's cache folder. Carbon monoxide kills: fire in
    the open, stay upwind.
    """
    from wareontology.cli_out import echo_json, in_colour, width
    from wareontology.replica.means import Limits
    from wareontology.replica.plan import planned
    from wareontology.report.plan_prose import plan_text

    colours = {"slip": slip, "paint": paint, "body": body, "inside": inside, "outside": outside}
    looks = _looks(targets, names, colours, zone, region)
    if write is not None and len(looks) > 1:
        raise click.UsageError("--write with several TARGETs; would do: one")
    by = Limits(
        no_kiln=no_kiln, hot=hot, reach=reach, of=made_of, fuels=fuels, without=frozenset(without),
        altitude_m=altitude_m, region=region,
    )  # fmt: skip
    by = _with_own(by, own)
    answers = [planned(look, by, seed=seed, members=members, progress=_progress(look.name)) for look in looks]
    if write is not None:
        _write(write, answers[0]["plans"], rank)
    if as_json:
        echo_json(answers)
    else:
        click.echo(plan_text(answers, colour=in_colour(), width=width()), nl=False)


def _looks(
    targets: tuple[str, ...],
    names: tuple[str, ...],
    colours: dict[str, str | None],
    zone: str,
    region: str | None,
) -> "list[Look]":
    from wareontology.replica.look import asked, described, target

    given = {name: text for name, text in colours.items() if text is not None}
    if bool(targets) == bool(given):
        raise click.UsageError("would do: a TARGET, or a look such as --slip white --paint black")
    if given:
        return [described(asked(given, zone), region)]
    return [target(one, names) for one in targets]


def _with_own(by: "Limits", own: str | None) -> "Limits":
    from dataclasses import replace

    from wareontology.firing.own import read

    return by if own is None else replace(by, own=read(own))


def _progress(name: str) -> Callable[[int, int], None] | None:
    from wareontology.cli_firing import progress_of

    return progress_of(name)


def _write(path: str, plans: list[dict[str, str]], rank: int) -> None:
    from wareontology.cli_out import say
    from wareontology.errors import BreaksShape, Fault
    from wareontology.sherd.whole_file import write_whole

    if rank > len(plans):
        would_do = f"1 to {len(plans)}" if plans else "wider limits: nothing gives the look"
        raise BreaksShape([Fault("plan", None, "--rank", str(rank), would_do)])
    write_whole(path, plans[rank - 1]["toml"].encode())
    say(f"{path}: written.")
