"""The materials of painted pottery: data/materials.ttl, with what each leaves in the fire."""

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from types import MappingProxyType
from typing import Final

from wareontology.errors import BreaksShape, Fault
from wareontology.graph.namespaces import BASE, PROV, RDF, SKOS, SOURCE, WO, local
from wareontology.graph.store import Described, described
from wareontology.paths import data
from wareontology.replica.oxides import Fired, fired

FILE: Final = "materials.ttl"
ACCESS: Final = ("local", "traded", "modern")


@dataclass(frozen=True, slots=True)
class Part:
    """A mineral in a material: its share by weight of the dry raw stuff, and how far that varies."""

    mineral: str
    formula: str
    share: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Material:
    """One material. bulk_density_g_per_cm3 is that of the dry, loose powder, for parts by volume."""

    key: str
    label: str
    alternates: tuple[str, ...]
    kind: str
    access: str
    definition: str
    in_the_fire: str
    occurs: str
    hazard: str
    bulk_density_g_per_cm3: float
    parts: tuple[Part, ...]
    basis: str
    sources: tuple[str, ...]

    def fired(self) -> Fired:
        """Oxides and loss on ignition of one gram, dry and raw."""
        return mixed({part.formula: part.share for part in self.parts})


@dataclass(frozen=True, slots=True)
class TradeRatio:
    """A ratio the trade hands down: a check on a recipe, with what to say below it and above it."""

    key: str
    label: str
    basis: str
    of: str | None
    to: str | None
    low: float
    high: float
    under: str
    over: str
    never: str | None


def mixed(shares: Mapping[str, float]) -> Fired:
    """One gram of a mixture of minerals, fired; shares are put to a sum of one.

    >>> round(mixed({"CaCO3": 1.0, "SiO2": 1.0}).loss, 4)
    0.2199
    """
    total = sum(shares.values())
    oxides: dict[str, float] = {}
    for formula, share in shares.items():
        for oxide, mass in fired(formula).oxides.items():
            oxides[oxide] = oxides.get(oxide, 0.0) + mass * share / total
    return Fired(MappingProxyType(oxides), 1.0 - sum(oxides.values()))


@cache
def _described() -> Described:
    return described(data(FILE))


@cache
def materials() -> Mapping[str, Material]:
    """Every material by key, in the order of the file.

    >>> materials()["red-ochre"].kind
    'iron pigment'
    """
    found = _described()
    return MappingProxyType(
        {
            said[SKOS + "notation"][0]: _material(found, said)
            for said in found.values()
            if WO + "Material" in said.get(RDF + "type", ())
        }
    )


@cache
def trade_ratios() -> tuple[TradeRatio, ...]:
    """The ratios handed down, each common practice."""

    def ratio(said: Mapping[str, list[str]]) -> TradeRatio:
        one = {
            key: said.get(WO + key, [""])[0] for key in ("of", "to", "low", "high", "under", "over", "never")
        }
        return TradeRatio(
            said[SKOS + "notation"][0], said[SKOS + "prefLabel"][0], _basis(said), one["of"] or None,
            one["to"] or None, float(one["low"] or 0), float(one["high"] or 0), one["under"], one["over"],
            one["never"] or None,
        )  # fmt: skip

    found = _described().values()
    return tuple(ratio(said) for said in found if WO + "TradeRatio" in said.get(RDF + "type", ()))


def named(text: str) -> Material:
    """The material a person means, by key or by any name it has.

    Raises BreaksShape with the nearest names for one that is not known.

    >>> named("Red Ochre").key, named("chalk").key
    ('red-ochre', 'lime')
    """
    names = {
        name.casefold().replace("-", " "): key
        for key, material in materials().items()
        for name in (material.key, material.label, *material.alternates)
    }
    typed = text.strip().casefold().replace("-", " ")
    if typed in names:
        return materials()[names[typed]]
    near = dict.fromkeys(names[name] for name in get_close_matches(typed, names, 3, 0.5))
    would_do = ", ".join(near or materials())
    raise BreaksShape([Fault("recipe", None, "material", text, would_do, why="no such material")])


def _material(found: Described, said: Mapping[str, list[str]]) -> Material:
    def one(name: str) -> str:
        return said[WO + name][0]

    parts = []
    for node in said[WO + "part"]:
        part = found[node]
        mineral = found[part[WO + "mineral"][0]]
        share, low, high = (float(part[WO + end][0]) for end in ("share", "low", "high"))
        parts.append(Part(mineral[SKOS + "notation"][0], mineral[WO + "formula"][0], share, low, high))
    return Material(
        key=said[SKOS + "notation"][0],
        label=said[SKOS + "prefLabel"][0],
        alternates=tuple(said.get(SKOS + "altLabel", ())),
        kind=one("kind"),
        access=one("access"),
        definition=said[SKOS + "definition"][0],
        in_the_fire=one("fire"),
        occurs=one("occurs"),
        hazard=one("hazard"),
        bulk_density_g_per_cm3=float(one("bulkDensity")),
        parts=tuple(parts),
        basis=_basis(said),
        sources=tuple(source.removeprefix(SOURCE) for source in said.get(PROV + "wasDerivedFrom", ())),
    )


def _basis(said: Mapping[str, list[str]]) -> str:
    return local(said[WO + "basis"][0]).replace("-", " ")


def address(key: str) -> str:
    """IRI of a material.

    >>> address("red-ochre")
    'https://wareontology.example/material/red-ochre'
    """
    return f"{BASE}material/{key}"
