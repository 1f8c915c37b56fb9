"""What a query may not say: nothing that reaches out of the graph, changes it, or is too long or deep.

The text is looked at first, because that is quick; then, in the child process, the parsed query, because
only that is sure. The child can open neither a file nor a connection besides.
"""

import re
from collections.abc import Iterator
from typing import Final

from wareontology.errors import BreaksShape, Fault

ALLOWED: Final = "SELECT or ASK over the graph as it is, such as SELECT ?t WHERE { ?t a wo:Tradition }"
DEEPEST: Final = 40
"""Brackets within brackets; a parser that calls itself runs out of stack on many more."""
_REACHES_OUT: Final = ("SERVICE", "FROM", "LOAD")
_CHANGES: Final = ("INSERT", "DELETE", "CLEAR", "DROP", "CREATE", "COPY", "MOVE", "ADD")
_GIVES_TRIPLES: Final = ("CONSTRUCT", "DESCRIBE")
_SAID: Final = re.compile(
    r"""\"\"\"(?:\\.|(?!\"\"\").)*\"\"\" | '''(?:\\.|(?!''').)*''' | "(?:\\.|[^"\\\n\r])*"
        | '(?:\\.|[^'\\\n\r])*'
        | <[^<>"{}|^`\\\x00-\x20]*> | \#[^\n\r]*""",
    re.VERBOSE | re.DOTALL,
)
"""Strings, addresses and comments: what stands in them is no keyword."""
_KEYWORD: Final = re.compile(
    rf"(?<![\w?$:@.%-])({'|'.join(_REACHES_OUT + _CHANGES + _GIVES_TRIPLES)})(?![\w:-])", re.IGNORECASE
)
_WHY: Final = {
    **dict.fromkeys(_REACHES_OUT, "a query reads this graph and nothing else"),
    **dict.fromkeys(_CHANGES, "the graph is read, never changed"),
    **dict.fromkeys(_GIVES_TRIPLES, "only rows, or yes or no, are given"),
}


def check_text(text: str, longest: int) -> None:
    """Raise BreaksShape where the text alone shows that a query is not allowed.

    >>> check_text("ASK { ?from wo:load 'SERVICE' } # FROM", 100)
    >>> check_text("ASK FROM <file:///etc/passwd> { }", 100)
    Traceback (most recent call last):
    wareontology.errors.BreaksShape: query: found 'FROM' (a query reads this graph and nothing else); \
would do: SELECT or ASK over the graph as it is, such as SELECT ?t WHERE { ?t a wo:Tradition }
    """
    if not text.strip():
        raise refused("nothing", "there is no query")
    if len(text) > longest:
        raise refused(f"{len(text):,} characters", "too long", f"at most {longest:,} characters")
    if "\0" in text or re.search(r"\\[uU][0-9A-Fa-f]", text):
        raise refused("\\u", "a letter written by its number", "the letter itself")
    plain = _SAID.sub(" ", text)
    if _depth(plain) > DEEPEST:
        raise refused(f"brackets {_depth(plain)} deep", "too deep to read", f"at most {DEEPEST} deep")
    keyword = _KEYWORD.search(plain)
    if keyword is not None:
        raise refused(keyword[0], _WHY[keyword[0].upper()])


def check_parsed(parsed: object) -> None:
    """Raise BreaksShape where a query that rdflib has parsed or translated holds what is not allowed."""
    for name, value in _parts(parsed):
        if name == "ServiceGraphPattern":
            raise refused("SERVICE", _WHY["SERVICE"])
        if name in ("DatasetClause", "datasetClause") and value:
            raise refused("FROM", _WHY["FROM"])
        if name in ("ConstructQuery", "DescribeQuery"):
            raise refused(name.removesuffix("Query").upper(), _WHY["CONSTRUCT"])


def refused(found: str, why: str, would_do: str = ALLOWED, row: int | None = None) -> BreaksShape:
    """The error for a query that is not answered."""
    return BreaksShape([Fault("query", row, None, found, would_do, why=why)])


def _depth(plain: str) -> int:
    depth = deepest = 0
    for char in plain:
        depth += (char in "([{") - (char in ")]}")
        deepest = max(deepest, depth)
    return deepest


def _parts(parsed: object) -> Iterator[tuple[str, object]]:
    """Every named part and every keyed value, at any depth; without recursion, whatever the depth."""
    waiting = [parsed]
    while waiting:
        part = waiting.pop()
        if isinstance(part, str | bytes):
            continue
        if isinstance(part, dict):  # rdflib's CompValue: a dictionary with a name
            yield str(getattr(part, "name", "")), part
            yield from ((str(key), value) for key, value in part.items())
            waiting += part.values()
        elif isinstance(part, list | tuple | set | frozenset) or hasattr(part, "as_list"):
            waiting += list(part)  # type: ignore[call-overload]  # pyparsing's ParseResults iterates too
