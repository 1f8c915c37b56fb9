"""Builds shapes/records.ttl and shapes/sherd.jsonld from data/columns.csv: one description, no second copy.

Run `python -m wareontology.sherd.build_shapes` after data/columns.csv was changed; a test fails until then.
"""

import json
from typing import Final

from wareontology.graph.namespaces import RDF, SH, SHAPE, SOSA, WO
from wareontology.paths import shapes
from wareontology.sherd.columns import ABOUT, FIELDS, Column, allowed, columns
from wareontology.sherd.context import COLUMN

_FAMILIES: Final = "R|YR|Y|GY|G|BG|B|PB|P|RP"
_DIGITS: Final = r"[0-9]+(\\.[0-9]+)?"
_CHIP: Final = rf"({_DIGITS}({_FAMILIES}) {_DIGITS}/{_DIGITS}|N {_DIGITS}/)"
_MUNSELL: Final = rf"^{_CHIP}(-({_CHIP}|{_DIGITS}/{_DIGITS}))?\\??$"

_HEAD: Final = f"""\
# What a user may submit: a sherd's record and its rows, as sherd/turtle.py and sherd.jsonld write them.
# Built from data/columns.csv by python -m wareontology.sherd.build_shapes; change the columns, not this file.
# A cell is text as in the table (`cream`, `cream?`, `cream-buff`, `<12`) or a number. What SHACL cannot say
# is left to the reader of the table: alternate labels, known regions, and a name in `on` that no layer has.
@prefix column: <{COLUMN}> .
@prefix rdf: <{RDF}> .
@prefix sh: <{SH}> .
@prefix shape: <{SHAPE}> .
@prefix sosa: <{SOSA}> .
@prefix wo: <{WO}> .
@prefix xsd: <http://www.w3.org/2001/XMLSchema#> .
"""


def context() -> str:
    """The JSON-LD context: keys are columns, each a property of ours; rows point at the sherd."""
    terms = {
        "@version": 1.1,
        "sosa": SOSA,
        "wo": WO,
        "column": COLUMN,
        "Sherd": "wo:Sherd",
        "Observation": "sosa:Observation",
        "rows": {"@reverse": "sosa:hasFeatureOfInterest"},
    }
    cells = {each.name: f"column:{each.name}" for each in columns()}
    return json.dumps({"@context": terms | cells}, indent=2) + "\n"


def records() -> str:
    """The shapes: a sherd, a row, and a property shape with its message for each column."""
    of_sherd = [each for each in columns() if each.of == "sherd" or each.name == "observer"]
    of_row = [each for each in columns() if each not in of_sherd]
    parts = [_HEAD, _node("Sherd", "wo:Sherd", of_sherd, "rdf:type", ["has-row", "observed"])]
    parts += [_HAS_ROW, _observed(of_sherd, of_row)]
    parts += [_property("Sherd", each, each.name == "sherd") for each in of_sherd]
    ignored = "rdf:type sosa:hasFeatureOfInterest"
    parts.append(_node("Row", "sosa:Observation", of_row, ignored, ["of-sherd"]))
    parts += [_OF_SHERD, _CORE_PLACE]
    parts += [_property("Row", each, each.name in ("zone", "layer")) for each in of_row]
    return "\n".join(parts)


def main() -> None:
    """Writes both files."""
    shapes("records.ttl").write_text(records(), encoding="utf-8")
    shapes("sherd.jsonld").write_text(context(), encoding="utf-8")


_HAS_ROW: Final = """\
shape:Sherd-has-row a sh:PropertyShape ;
    sh:path [ sh:inversePath sosa:hasFeatureOfInterest ] ;
    sh:minCount 1 ;
    sh:message "The sherd has no row. Would do: a row for each layer in each zone, with zone and layer." .
"""
_OF_SHERD: Final = """\
shape:Row-of-sherd a sh:PropertyShape ;
    sh:path sosa:hasFeatureOfInterest ;
    sh:minCount 1 ; sh:maxCount 1 ; sh:class wo:Sherd ;
    sh:message "A row belongs to one sherd. Would do: sosa:hasFeatureOfInterest with that wo:Sherd." .
"""
_CORE_PLACE: Final = """\
shape:Row-core-place a sh:NodeShape ;
    sh:targetClass sosa:Observation ;
    sh:or (
        [ sh:property [ sh:path column:core ; sh:maxCount 0 ] ]
        [ sh:property [ sh:path column:zone ; sh:hasValue "break" ] ,
                      [ sh:path column:layer ; sh:hasValue "body" ] ]
    ) ;
    sh:message "core is told on another row. Would do: it on the body's row in the break." .
"""


def _node(name: str, target: str, of: list[Column], ignored: str, more: list[str]) -> str:
    lines = [f"    sh:property shape:{name}-{each} ;" for each in [*more, *(each.name for each in of)]]
    return "\n".join(
        [
            f"shape:{name} a sh:NodeShape ;",
            f"    sh:targetClass {target} ;",
            "    sh:closed true ;",
            f"    sh:ignoredProperties ( {ignored} ) ;",
            *lines,
            f'    sh:message "The {name.casefold()} has something that is no column of it. '
            'Would do: a column that `columns` lists." .',
            "",
        ]
    )


def _observed(of_sherd: list[Column], of_row: list[Column]) -> str:
    own = " ".join(f"column:{each.name}" for each in of_sherd if _is_seen(each))
    rows = " ".join(f"column:{each.name}" for each in of_row if _is_seen(each))
    inverse = "[ sh:inversePath sosa:hasFeatureOfInterest ]"
    return f"""\
shape:Sherd-observed a sh:PropertyShape ;
    sh:path [ sh:alternativePath ( {own} ( {inverse} [ sh:alternativePath ( {rows} ) ] ) ) ] ;
    sh:minCount 1 ;
    sh:message "Nothing was observed. Would do: one observed value, such as the colour of a layer." .
"""


def _is_seen(each: Column) -> bool:
    return each.name not in ABOUT and each.name not in FIELDS


def _property(owner: str, each: Column, required: bool) -> str:
    least = " sh:minCount 1 ;" if required else ""
    return f"""\
shape:{owner}-{each.name} a sh:PropertyShape ;
    sh:path column:{each.name} ;{least} sh:maxCount 1 ;
    sh:name {_quoted(each.name)} ; sh:description {_quoted(each.meaning)} ;
{_values(each)}    sh:message {_quoted(_message(each, required))} .
"""


def _values(each: Column) -> str:
    if each.kind not in ("number", "measure"):
        return f"    sh:datatype xsd:string ; sh:pattern {_pattern(each)} ;\n"
    form = rf"^<?{_DIGITS}(e-?[0-9]+)?\\??$" if each.kind == "measure" else rf"^-?{_DIGITS}\\?$"
    return f"""\
    sh:or (
        [ sh:minInclusive {each.low:.6E} ; sh:maxInclusive {each.high:.6E} ]
        [ sh:datatype xsd:string ; sh:pattern "{form}" ]
    ) ;
"""


def _pattern(each: Column) -> str:
    if each.kind == "munsell":
        return f'"{_MUNSELL}"'
    if each.kind == "text":
        return '"\\\\S"'
    if not each.choices:
        return '"^[a-z0-9]+([-/][a-z0-9]+)*\\\\??$"'
    one = f"({'|'.join(each.choices)})"
    if each.name in ("zone", "layer"):
        return f'"^{one}$"'
    joint = " " if each.kind in ("words", "zones") else "[-/]"
    doubt = "" if each.kind == "zones" else "\\\\??"
    return f'"^{one}({joint}{one})*{doubt}$"'


def _message(each: Column, required: bool) -> str:
    need = f"{each.name} is required once." if required else f"{each.name} is told once or not at all."
    return f"{need} Would do: {allowed(each)}."


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


if __name__ == "__main__":
    main()
