"""Sherds as Turtle and back, without loss: the triples their JSON-LD gives through the shipped context."""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Final, TypeAlias

from wareontology.errors import Unreadable
from wareontology.graph.namespaces import RDF, SOSA, TERM, WO, local
from wareontology.sherd import iris, json_rows
from wareontology.sherd.cells import plain
from wareontology.sherd.columns import columns
from wareontology.sherd.context import COLUMN
from wareontology.sherd.gather import Reading, gathered, placed, records
from wareontology.sherd.jsonld import value
from wareontology.sherd.record import Seen, Sherd

MOST_TRIPLES: Final = 5_000_000

Node: TypeAlias = tuple[str, str]
"""`iri` or `blank`, and its address or label."""
Said: TypeAlias = dict[str, list[object]]
"""Predicate to values: text, numbers, booleans, or a Node for what is a thing of its own."""

_HEAD: Final = f"@prefix column: <{COLUMN}> .\n@prefix sosa: <{SOSA}> .\n@prefix wo: <{WO}> .\n"
_ESCAPES: Final = str.maketrans({"\\": "\\\\", '"': '\\"', "\n": "\\n", "\r": "\\r", "\t": "\\t"})
_NUMBERS: Final = frozenset({"integer", "decimal", "double", "float", "int", "long", "short"})
_OF: Final = SOSA + "hasFeatureOfInterest"
_WOULD_DO: Final = "Turtle of sherds, as `export` writes it"


def to_turtle(sherds: Iterable[Sherd]) -> str:
    """Sherds as Turtle; each row is a sosa:Observation whose feature of interest is the sherd's record.

    >>> print(to_turtle([Sherd("K-14", None, {}, ())]).splitlines()[-2])
    <https://wareontology.example/sherd/K-14> a wo:Sherd ;
    """
    return _HEAD + "".join(_written(sherd) for sherd in sherds)


def from_turtle(text: str, name: str = "Turtle", *, ignore_unknown: bool = False) -> Reading:
    """Sherds and faults of a Turtle text. Nothing is fetched; relative addresses are refused.

    Raises Unreadable where it is no Turtle or holds no sherd.
    """
    table = json_rows.table(objects(text, name), name)
    where = placed(table, None, ignore_unknown)
    return gathered(records(table, where), where.ignored)


def objects(text: str, name: str) -> list[json_rows.Object]:
    """What a Turtle text says of sherds, as JSON would: an object for each, its rows inside.

    A subject with terms of ours that is neither a sherd nor a row of one becomes a row without a sherd, and
    so a fault: nothing said in our terms is passed over.
    """
    return objects_of(parsed(text, name), name)


def objects_of(found: Mapping[Node, Said], name: str) -> list[json_rows.Object]:
    """The same from statements that were parsed already. Raises Unreadable where they hold no sherd."""
    sherds = [node for node, said in found.items() if is_sherd(said)]
    rows: dict[Node, list[Said]] = {node: [] for node in sherds}
    loose: list[Said] = []
    for node, said in found.items():
        of = said.get(_OF, [])
        if node in rows:
            continue
        if len(of) == 1 and of[0] in rows:
            rows[of[0]].append(said)
        elif any(predicate.startswith(WO) for predicate in said):
            loose.append(said)
    items: list[json_rows.Object] = [
        {**_object(found[node]), "rows": [_object(said) for said in rows[node]]} for node in sherds
    ]
    items += [_object(said) for said in loose]
    if not items:
        raise Unreadable(f"{name}: found no sherd in it; would do: {_WOULD_DO}")
    return items


def is_sherd(said: Said) -> bool:
    """Whether what is said of a subject makes it a sherd's record."""
    return ("iri", WO + "Sherd") in said.get(RDF + "type", []) or (
        COLUMN + "sherd" in said and _OF not in said
    )


def _object(said: Said) -> dict[str, object]:
    """Keys as in a table; what is no column keeps its whole address, and so is an unknown one."""
    found: dict[str, object] = {}
    for predicate, values in said.items():
        if predicate in (RDF + "type", _OF):
            continue
        plain_values = [_named(one) for one in values]
        found[predicate.removeprefix(COLUMN)] = plain_values[0] if len(plain_values) == 1 else plain_values
    return found


def _named(value: object) -> object:
    """A concept of ours by its notation; any other thing as something that is no cell."""
    if not isinstance(value, tuple):
        return value
    kind, address = value
    return local(address) if kind == "iri" and address.startswith(TERM) else {"@id": address}


def parsed(text: str, name: str, would_do: str = _WOULD_DO) -> dict[Node, Said]:
    """Every statement of a Turtle text, by its subject. Nothing is fetched.

    Raises Unreadable where it is no Turtle, too long, or speaks of triples; `would_do` ends the message.
    """
    import pyoxigraph

    found: dict[Node, Said] = {}
    number = 0
    try:
        for quad in pyoxigraph.parse(text, format=pyoxigraph.RdfFormat.TURTLE):
            number += 1
            if number > MOST_TRIPLES:
                raise Unreadable(f"{name}: found over {MOST_TRIPLES:,} triples; would do: the table as CSV")
            subject, value = quad.subject, quad.object
            if isinstance(subject, pyoxigraph.Triple) or isinstance(value, pyoxigraph.Triple):
                raise Unreadable(f"{name}: found a triple about a triple; would do: {would_do}")
            kind = "iri" if isinstance(subject, pyoxigraph.NamedNode) else "blank"
            if isinstance(value, pyoxigraph.Literal):
                cell: object = _literal(value.value, value.datatype.value)
            else:
                cell = ("iri" if isinstance(value, pyoxigraph.NamedNode) else "blank", value.value)
            found.setdefault((kind, subject.value), {}).setdefault(quad.predicate.value, []).append(cell)
    except (SyntaxError, ValueError, RecursionError) as error:
        raise Unreadable(f"{name}: found no Turtle ({error}); would do: {would_do}") from None
    return found


def _literal(text: str, datatype: str) -> object:
    kind = local(datatype)
    if kind == "boolean":
        return text in ("true", "1")
    if kind in _NUMBERS:
        try:
            return plain(float(text))
        except (ValueError, OverflowError):  # INF, NaN or no number at all: the cell is refused as it stands
            return text
    return text


def _written(sherd: Sherd) -> str:
    address = iris.of_sherd(sherd)
    fields = {"sherd": sherd.sherd, "observer": sherd.observer}
    parts = [_subject(address, ["a wo:Sherd", *_fields(fields), *_cells(sherd.seen)])]
    for row in sherd.rows:
        fields = {"zone": row.zone, "layer": row.layer, "name": row.name}
        what = ["a sosa:Observation", f"sosa:hasFeatureOfInterest <{address}>"]
        parts.append(_subject(iris.of_row(address, row), [*what, *_fields(fields), *_cells(row.seen)]))
    return "".join(parts)


def _subject(address: str, said: list[str]) -> str:
    return f"\n<{address}> " + " ;\n    ".join(said) + " .\n"


def _fields(fields: Mapping[str, str | None]) -> list[str]:
    return [f"column:{name} {_quoted(text)}" for name, text in fields.items() if text is not None]


def _cells(seen: Mapping[str, Seen]) -> list[str]:
    names = [column.name for column in columns() if column.name in seen]
    return [f"column:{name} {_term(value(seen[name]))}" for name in names]


def _term(cell: str | int | float) -> str:
    if isinstance(cell, str):
        return _quoted(cell)
    return str(cell) if isinstance(cell, int) else _double(cell)


def _quoted(text: str) -> str:
    return f'"{text.translate(_ESCAPES)}"'


def _double(number: float) -> str:
    """The canonical form of an xsd:double, as JSON-LD gives a number with a fraction: 5.5 is 5.5E0."""
    sign, digits, exponent = Decimal(repr(number)).normalize().as_tuple()
    text = "".join(map(str, digits))
    return f"{'-' * sign}{text[0]}.{text[1:] or '0'}E{int(exponent) + len(text) - 1}"
