"""What a fire may be called: its atmosphere at top heat, its ending, its band of heat, the air at a surface.

Nothing is imported here: an answer about a sherd and an ensemble of fires take these names from one place.
"""

from typing import Final

ATMOSPHERE: Final = ("oxidising", "neutral", "reducing")
ENDING: Final = ("in-air", "sealed", "mouth-down", "air-finish", "smudged")
TEMPERATURE: Final = ("below-550", "550-700", "700-800", "800-900", "900-1000", "above-1000")
AIR: Final = ("sealed", "leaked", "open", "smoked")
"""State of the air at a zone while the pot cooled."""

REGIMES: Final = (
    ("oxidising", "in-air"),
    ("oxidising", "smudged"),
    ("neutral", "in-air"),
    ("neutral", "sealed"),
    ("neutral", "mouth-down"),
    ("reducing", "sealed"),
    ("reducing", "mouth-down"),
    ("reducing", "air-finish"),
    ("reducing", "smudged"),
)
"""The legal pairs of atmosphere and ending; a fire is a regime and a temperature: 54 states."""
