"""The rules, each with where it held and where it failed among the published wares."""

from flask import Blueprint, Response, render_template

from wareontology.app.described import described

blueprint = Blueprint("rules", __name__)


@blueprint.get("/rules")
def page() -> str:
    """Every rule in the order they are tried."""
    from wareontology.technique.rule_record import shipped
    from wareontology.technique.rules import rules_list

    return render_template("rules/page.html", rules=rules_list(), records=shipped())


@blueprint.get("/rule/<name>")
def one(name: str) -> str | Response:
    """One rule in full, with its record."""
    return described(f"rule/{name}", lambda: _page(name))


def _page(name: str) -> str:
    from wareontology.graph.traditions import traditions
    from wareontology.report.traditions import region_label
    from wareontology.technique.rule_record import shipped
    from wareontology.technique.rules import explain, rule

    record = shipped()[name]
    regions = [(region_label(key), key, counts) for key, counts in record["by_region"].items()] if record else []
    return render_template(
        "rules/one.html",
        rule=explain(name),
        address=rule(name).address,
        answers=rule(name).answers,
        record=record,
        regions=regions,
        traditions=traditions(),
    )
