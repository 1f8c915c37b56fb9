"""A report on a planned firing, or several side by side: what the ensemble makes of it, and the steps."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from wareontology.report.document import Document, Figure, Part, Read, Section
from wareontology.report.sherd_document import Photo, made_from
from wareontology.report.simulate_prose import simulate_text
from wareontology.technique.block import Block


def firing_document(
    answers: Sequence[Mapping[str, Any]], drawing: str, files: Sequence[Read], photos: Sequence[Photo] = (),
    made_by: Mapping[str, str] | None = None,
) -> Document:  # fmt: skip
    """The report on simulated plans. drawing: their curves as SVG. made_by: software and data_hash."""
    names = ", ".join(str(answer["plan"]["name"]) for answer in answers)
    curves = Figure(drawing, "Heat and oxygen from covering on; shaded is the spread of the ensemble.")
    return Document(
        f"Firing: {names}",
        (
            *(Section(str(one["plan"]["name"]), tuple(paragraphs(simulate_text([one])))) for one in answers),
            Section("Curves", (curves,)),
            Section("Photos", tuple(Figure(content, caption) for caption, content in photos)),
            made_from(files, [made_by] if made_by is not None else []),
        ),
    )


def paragraphs(text: str) -> Iterator[Part]:
    """Wrapped text as paragraphs and list items again.

    >>> [block.text for block in paragraphs("One\\ntwo.\\n\\n- a\\n  b\\n- c\\n")]
    ['One two.', 'a b', 'c']
    """
    for paragraph in text.strip("\n").split("\n\n"):
        lead = ""
        gathered: list[str] = []
        for line in paragraph.splitlines():
            if line.startswith("- "):
                if gathered:
                    yield Block(lead, " ".join(gathered))
                lead, gathered = "- ", [line[2:]]
            else:
                gathered.append(line.strip())
        if gathered:
            yield Block(lead, " ".join(gathered))
