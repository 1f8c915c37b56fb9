"""The commands about a lot as a whole: score, agree, sample, methods; `cli` adds them to its group."""

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from wareontology.sherd.handed import Handed
    from wareontology.sherd.record import Sherd

as_json_option = click.option("--json", "as_json", is_flag=True, help="As JSON.")


@click.command()
@click.argument("file")
@click.option("--labels", required=True, metavar="LABELS.csv", help="What is known: sherd, question, value.")
@as_json_option
@click.pass_context
def score(ctx: click.Context, file: str, labels: str, as_json: bool) -> None:
    """How well the answers foretell what you know of your sherds from elsewhere.

    LABELS.csv has a row for each thing known: sherd, question (atmosphere, ending, temperature, space, body,
    slip, paint or a layer by its name, as paint:line) and value; values between bars are any right. What a
    label rests on should not be in the table too.

    \b
    Example:
      wareontology template lot.csv
      printf 'sherd,question,value\\nK-14,atmosphere,reducing|neutral\\n' > known.csv
      wareontology score lot.csv --labels known.csv
    """
    from wareontology.technique import labels as known

    given = known.read_labels(labels)
    answered, table = _answered(file, 0)
    found = known.score([answer for _, answer in answered], given, labels)
    _out(found, as_json, _score_text(found))
    _end(ctx, table, len(answered))


@click.command()
@click.argument("file")
@as_json_option
@click.pass_context
def agree(ctx: click.Context, file: str, as_json: bool) -> None:
    """How far two observers of the same sherds saw the same, trait by trait, the weakest first.

    FILE holds rows of at least two observers for the same sherds (column observer).

    \b
    Example:
      wareontology agree both.csv
    """
    from wareontology.cli_sherd import handed
    from wareontology.technique.agreement import agreements

    table = handed(file, False, None, None)
    sherds = list(table.sherds())
    found = agreements(sherds)
    lines = [
        f"{one.column:<14} {' and '.join(name or 'unsigned' for name in one.observers)}: {one.same} of"
        f" {one.both} alike ({one.low:.2f} to {one.high:.2f}),"
        f" kappa {'not defined' if one.kappa is None else format(one.kappa, '.2f')};"
        f" seen by one only {one.one}, unclear {one.unclear}"
        for one in found
    ]
    none = "No trait was seen by two observers on one sherd."
    _out([asdict(one) for one in found], as_json, "\n".join(lines) or none)
    _end(ctx, table, len(sherds))


@click.command()
@click.argument("file")
@click.option("--tests", type=click.IntRange(1, 100_000), default=10, show_default=True, metavar="N")
@click.option("--question", metavar="Q", help="For this question alone, as for `infer`.")
@as_json_option
@click.pass_context
def sample(ctx: click.Context, file: str, tests: int, question: str | None, as_json: bool) -> None:
    """Which sherds of a lot to test next, and how, within N tests; at most one a sherd.

    Ranked by what the test is expected to tell, less weighed cost and harm. What a sherd's permission forbids
    is not offered. After the results, ask again.

    \b
    Example:
      wareontology template lot.csv
      wareontology sample lot.csv --tests 5
    """
    from wareontology.technique.asked import check_question
    from wareontology.technique.sample import sample as chosen

    try:
        check_question(question) if question is not None else None
    except ValueError as error:
        raise click.UsageError(f"--question: {error}") from None
    answered, table = _answered(file, 0, question)
    found = chosen([answer for _, answer in answered], tests)
    lines = [
        f"{one.sherd}: {one.label}, {one.where}; about {one.gain_bits:.2f} bit"
        + (f". Destroys: {one.destroys}" if one.destroys else "")
        + (". Needs the owner's leave" if one.needs_leave else "")
        + (f". {one.caution}" if one.caution else "")
        for one in found
    ]
    _out([asdict(one) for one in found], as_json, "\n".join(lines) or "No test is worth its cost here.")
    _end(ctx, table, len(answered))


@click.command()
@click.argument("file")
@click.option(
    "--draws", type=click.IntRange(0, 10_000), default=200, show_default=True, metavar="N",
    help="Draws of the uncertain numbers; 0 for none.",
)  # fmt: skip
@as_json_option
@click.pass_context
def methods(ctx: click.Context, file: str, draws: int, as_json: bool) -> None:
    """A paragraph on method for a report: versions, data, settings, sources.

    \b
    Example:
      wareontology template lot.csv
      wareontology methods lot.csv --draws 0
    """
    from wareontology.technique import methods as written

    answered, table = _answered(file, draws)
    if answered:
        found = written.methods(answered, draws, "fast")
        _out(found, as_json, written.paragraph(found).rstrip())
    _end(ctx, table, len(answered))


def _answered(
    file: str, draws: int, question: str | None = None
) -> "tuple[list[tuple[Sherd, dict[str, Any]]], Handed]":
    from wareontology.cli_sherd import handed
    from wareontology.technique.asked import Asked

    table = handed(file, False, None, None)
    return list(Asked(table, question, draws, stop=True).answers()), table


def _out(data: object, as_json: bool, text: str) -> None:
    from wareontology.cli_out import echo_json

    echo_json(data) if as_json else click.echo(text)


def _end(ctx: click.Context, table: "Handed", count: int) -> None:
    from wareontology.cli_out import REFUSED, counted
    from wareontology.cli_sherd import report_faults

    report_faults(table, f"{counted(count, 'sherd')} read")
    ctx.exit(REFUSED if table.faults else 0)


def _score_text(found: dict[str, Any]) -> str:
    rows = [("all", found["all"]), *found["questions"].items()]
    return (
        "\n".join(
            f"{name:<12} {one['top_right']} of {one['labels']} right; {one['log_score_bits']:.2f} bit a label"
            f" (all values alike: {one['blind_bits']:.2f}); Brier {one['brier']:.2f}"
            for name, one in rows
            if one["labels"]
        )
        or "No label was given."
    )
