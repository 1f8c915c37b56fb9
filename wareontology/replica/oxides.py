"""What is left of a mineral after the fire: its oxides, by the masses of its atoms.

Equation: a formula with n atoms of a metal leaves n / k moles of the oxide that holds k of them; the loss on
ignition is what the oxides do not account for. Carbon, hydrogen and sulphur go. Iron is counted as Fe2O3 and
manganese as MnO, as analyses print them, whatever the fire made of them: a reduced pot weighs a little less.
Atomic masses are those of the library molmass.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Final

from wareontology.errors import BreaksShape, Fault

REPORTED: Final[Mapping[str, tuple[str, int]]] = MappingProxyType(
    {
        "Si": ("SiO2", 1), "Al": ("Al2O3", 2), "Fe": ("Fe2O3", 2), "Mn": ("MnO", 1), "Ca": ("CaO", 1),
        "Mg": ("MgO", 1), "K": ("K2O", 2), "Na": ("Na2O", 2), "Ti": ("TiO2", 1), "P": ("P2O5", 2),
        "Pb": ("PbO", 1), "Cu": ("CuO", 1), "Cr": ("Cr2O3", 2), "Sn": ("SnO2", 1), "Co": ("CoO", 1),
        "Zn": ("ZnO", 1), "B": ("B2O3", 2),
    }
)  # fmt: skip
"""Metal to the oxide it is reported as, and how many atoms of it one formula unit holds."""
OXIDES: Final = tuple(oxide for oxide, _ in REPORTED.values())
_GOES: Final = frozenset({"C", "H", "O", "S", "N"})


@dataclass(frozen=True, slots=True)
class Fired:
    """What one gram of dry raw matter leaves: grams of each oxide, and the loss on ignition (negative where
    it takes up more oxygen than it gives off)."""

    oxides: Mapping[str, float]
    loss: float

    def percent(self) -> Mapping[str, float]:
        """The oxides in weight per cent of what is left."""
        total = sum(self.oxides.values())
        return {oxide: 100 * mass / total for oxide, mass in self.oxides.items()} if total else {}


@cache
def molar_mass(formula: str) -> float:
    """Grams a mole of a formula such as `Al2Si2O5(OH)4` or `2Fe2O3.3H2O`.

    Raises BreaksShape for what is not a formula. A fraction after a dot (`Fe2O3.1.5H2O`) is refused:
    libraries differ on how to read it; double the formula instead.

    >>> round(molar_mass("CaCO3"), 3)
    100.087
    """
    return sum(_mass(symbol) * count for symbol, count in atoms(formula).items())


@cache
def atoms(formula: str) -> Mapping[str, float]:
    """Atoms of each element in a formula.

    >>> dict(atoms("CaCO3"))
    {'C': 1, 'Ca': 1, 'O': 3}
    """
    from molmass import Formula, FormulaError

    dotted = formula.split(".")
    if not formula.strip() or any(part.isdigit() for part in dotted):
        raise _refused(formula)
    try:
        found = {symbol: item.count for symbol, item in Formula(formula).composition().items()}
    except FormulaError as error:
        raise _refused(formula) from error
    return MappingProxyType(found)


@cache
def _mass(symbol: str) -> float:
    from molmass import ELEMENTS

    return float(ELEMENTS[symbol].mass)


def fired(formula: str) -> Fired:
    """Oxides and loss on ignition of one gram of a mineral, fired in air.

    Raises BreaksShape for what is not a formula, or holds an element that is not reported as an oxide.

    >>> round(100 * fired("CaCO3").loss, 2), round(fired("PbS").oxides["PbO"], 4)
    (43.97, 0.9329)
    """
    counts = atoms(formula)
    whole = molar_mass(formula)
    oxides: dict[str, float] = {}
    for symbol, count in counts.items():
        if symbol in _GOES:
            continue
        if symbol not in REPORTED:
            raise _refused(f"{symbol} in {formula}", f"metals reported as oxides: {', '.join(REPORTED)}")
        oxide, held = REPORTED[symbol]
        oxides[oxide] = oxides.get(oxide, 0.0) + count / held * molar_mass(oxide) / whole
    return Fired(MappingProxyType(oxides), 1.0 - sum(oxides.values()))


def factor(element: str, oxide: str) -> float:
    """Weight per cent of an oxide for one weight per cent of its metal.

    Raises BreaksShape where the oxide does not hold the metal.

    >>> round(factor("Fe", "Fe2O3"), 4)
    1.4297
    """
    held = atoms(oxide).get(element, 0.0)
    if not held:
        raise _refused(f"{oxide} for {element}", f"an oxide that holds {element}")
    return molar_mass(oxide) / (held * _mass(element))


def _refused(found: str, would_do: str = "") -> BreaksShape:
    formula = "a chemical formula such as Fe2O3, Al2Si2O5(OH)4 or 2Fe2O3.3H2O, without fractions"
    return BreaksShape([Fault("formula", None, None, found, would_do or formula)])
