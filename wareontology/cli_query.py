"""The commands that hand the graph out: a query answered, a dump written; `cli` adds them to its group."""

import sys
from pathlib import Path
from typing import Final

import click

_FORMS: Final = ("turtle", "json-ld", "csv", "geojson", "graphml")


@click.command()
@click.argument("out", required=False)
@click.option(
    "--format", "form", type=click.Choice(_FORMS), default="turtle", show_default=True,
    help="What to write.",
)  # fmt: skip
@click.option("--region", metavar="R", help="The traditions of this region alone, with their sources.")
@click.option("--closed", is_flag=True, help="With what OWL RL draws from it; for turtle and json-ld.")
def export(out: str | None, form: str, region: str | None, closed: bool) -> None:
    """The graph, or a region's traditions, for other programs; the same data give the same bytes.

    Without OUT, or with -, it goes to standard output. CSV has a row a statement; GeoJSON a point of whole
    degrees a tradition, never a site; GraphML the traditions linked by shared technique.

    \b
    Example:
      wareontology export graph.ttl
      wareontology export --format geojson --region Europe europe.geojson
    """
    from wareontology.cli_out import say
    from wareontology.report.export import exported
    from wareontology.report.traditions import region_asked
    from wareontology.sherd.whole_file import write_whole

    if closed and form not in ("turtle", "json-ld"):
        raise click.UsageError(f"--closed with --format {form}; would do: turtle or json-ld")
    content = exported(form, region_asked(region, "export") if region is not None else None, closed)
    if out is None or out == "-":
        sys.stdout.buffer.write(content)
        return
    write_whole(out, content)
    say(f"{out}: written.")


@click.command()
@click.argument("asked", metavar="FILE|-|TEXT")
@click.option("--json", "form", flag_value="json", help="As SPARQL 1.1 JSON.")
@click.option("--csv", "form", flag_value="csv", help="As SPARQL 1.1 CSV.")
@click.option(
    "--rows", type=click.IntRange(1, 1_000_000), default=10_000, show_default=True, metavar="N",
    help="Give no more rows than this.",
)  # fmt: skip
def query(asked: str, form: str | None, rows: int) -> None:
    """A SPARQL SELECT or ASK over the graph and all that follows from it.

    Reads a file, standard input (-), or the query itself. It reads this graph and nothing else, for at most
    10 seconds of work, 20 seconds in all, and 1 GiB. Prefixes such as wo:, tradition:, region:, skos: need
    not be declared.

    \b
    Example:
      wareontology query "SELECT ?t ?name { ?t a wo:Tradition ; skos:prefLabel ?name } LIMIT 5"
      wareontology query "ASK { ?t a wo:OrganicBlackGroup }" --json
    """
    from wareontology.cli_out import say
    from wareontology.graph.query import Limits
    from wareontology.graph.query import query as answered
    from wareontology.graph.query_results import as_csv, as_json
    from wareontology.report.query_text import as_text

    result = answered(_query_text(asked), Limits(rows=rows))
    write = {"json": as_json, "csv": as_csv}.get(form or "", as_text)
    click.echo(write(result), nl=False)
    if result.truncated:
        say(f"Cut off after {len(result.rows):,} rows; would do: LIMIT, a narrower query, or --rows")


def _query_text(asked: str) -> str:
    from wareontology.errors import Unreadable

    if "{" in asked or "<" in asked:  # no file is named so; LOAD <…> is told why it is refused
        return asked
    try:
        content = sys.stdin.buffer.read() if asked == "-" else Path(asked).read_bytes()
        return str(content, "utf-8")
    except UnicodeDecodeError as error:
        raise Unreadable(f"{asked}: found no UTF-8 text; would do: a file with a query") from error
    except OSError as error:
        would_do = "a file with a query, -, or the query itself"
        raise Unreadable(f"{asked}: {error.strerror or error}; would do: {would_do}") from error
