"""The rules, each with where it held and where it failed among the published wares."""

from flask import Blueprint, Response, render_template

from wareontology.app.described import described

blueprint = Blueprint("rules", __name__)


@blueprint.get("/rules")
def page() -> str:
    """Every rule in the order they are tried."""
    from wareontology.technique.rule_record import in_words, shipped
    from wareontology.technique.rules import engine

    return render_template("rules/page.html", rules=engine().rules, records=shipped(), words=in_words)


@blueprint.get("/rule/<name>")
def one(name: str) -> str | Response:
    """One rule in full, with its record."""
    return described(f"rule/{name}", lambda: _page(name))


def _page(name: str) -> str:
    from wareontology.graph.traditions import tradition_sources, traditions
    from wareontology.report.traditions import region_label
    from wareontology.technique.rule_record import in_words, shipped
    from wareontology.technique.rules import explain, rule

    record, known = shipped()[name], tradition_sources()
    counts = record["by_region"] if record is not None else {}
    return render_template(
        "rules/one.html",
        rule=explain(name),
        address=rule(name).address,
        answers=rule(name).answers,
        record=record,
        regions=[(region_label(key), key, count) for key, count in counts.items()],
        words=in_words,
        source=known.get(rule(name).source),
        traditions=traditions(),
    )
