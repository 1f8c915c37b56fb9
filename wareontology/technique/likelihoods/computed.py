"""How a computed number names what it rests on: the source cell of a row with basis `physics+judgement`.

    physics: <data sets>; ensemble <size> a fire and air; seed <seed>; law <version>; constants <digest>

The data sets are those of data/constants.csv; the digest is of every number the row rests on.
"""

import re
from dataclasses import dataclass
from typing import Final

BASIS: Final = "physics+judgement"

_FORM: Final = re.compile(
    r"physics: (?P<sets>[a-z0-9-]+(?: [a-z0-9-]+)*); ensemble (?P<size>\d+) a fire and air;"
    r" seed (?P<seed>\d+); law (?P<law>\d+); constants (?P<constants>[0-9a-f]{8})"
)


@dataclass(frozen=True, slots=True)
class Computed:
    """What a computed number rests on. Text of it is the source cell.

    >>> str(parse("physics: frost-1991; ensemble 64 a fire and air; seed 1; law 1; constants 0123abcd"))
    'physics: frost-1991; ensemble 64 a fire and air; seed 1; law 1; constants 0123abcd'
    """

    data_sets: tuple[str, ...]
    size: int
    seed: int
    law: int
    constants: str

    def __str__(self) -> str:
        return (
            f"physics: {' '.join(self.data_sets)}; ensemble {self.size} a fire and air;"
            f" seed {self.seed}; law {self.law}; constants {self.constants}"
        )


def parse(cell: str) -> Computed | None:
    """The source cell of a computed number; None where it names another kind of source.

    >>> parse("mirti-1999") is None
    True
    """
    found = _FORM.fullmatch(cell)
    if found is None:
        return None
    return Computed(
        tuple(found["sets"].split()), int(found["size"]), int(found["seed"]), int(found["law"]),
        found["constants"],
    )  # fmt: skip
