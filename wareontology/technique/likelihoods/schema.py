"""What each table is conditioned on and what it gives: the shape of data/likelihoods.csv and priors.csv."""

from typing import Final, NamedTuple

from wareontology.technique import hypotheses as h


class Dimensions(NamedTuple):
    given: tuple[tuple[str, ...], ...]
    outcomes: tuple[str, ...]


CLAY: Final = tuple(clay for clay in h.SLIP if clay != "self-slip")
"""Clays that have colours of their own; a self-slip has its body's. The body's are the first four."""
REGIME: Final = tuple(f"{atmosphere}/{ending}" for atmosphere, ending in h.REGIMES)
MATERIAL: Final = (*h.PAINT, *(clay for clay in CLAY if clay not in h.PAINT))
"""Every material a layer may be of; gloss and graphite are paint and slip alike."""
PATCHES: Final = ("none", "dark", "red", "pale")
EDGE: Final = ("sharp", "soft")
RELIEF: Final = ("soaked-in", "flat", "raised")
LUSTRE: Final = ("matte", "satin", "glossy", "metallic")
SINTERED: Final = ("no", "yes")
FINISH: Final = ("rough", "smoothed", "polished")
EDGE_RELIEF: Final = tuple(f"{edge}/{relief}" for edge in EDGE for relief in RELIEF)
LUSTRE_SINTERED: Final = tuple(f"{lustre}/{sintered}" for lustre in LUSTRE for sintered in SINTERED)
CORE: Final = ("none", "diffuse", "sharp", "full")
MAGNET: Final = ("none", "weak", "strong")
ELEMENTS: Final = ("fe", "mn", "cu", "pb")
GROUND: Final = ("pale", "iron-rich")
REFIRE_STEPS: Final = ("below-500", "500-600", "600-700", "700-800", "800-900", "900-1000", "never")
REFIRED: Final = (*h.COLOURS, "gone", "ghost")
FIRE_GROUP: Final = ("air", "kept", "air-finish", "smudged")
"""How a paint's or a slip's maker would think of the fire: ending in air, kept from it, both, smoked."""
SCARCITY: Final = ("scarce", "unknown", "common")
GROUND_KIND: Final = ("pale", "red", "dark")
GROUP_OF_ENDING: Final = {
    "in-air": "air", "sealed": "kept", "mouth-down": "kept", "air-finish": "air-finish", "smudged": "smudged",
}  # fmt: skip
KIND_OF_GROUND: Final = {
    "white-firing": "pale", "light-firing": "pale", "calcareous": "pale", "red-firing": "red",
    "salt-scum": "pale", "lime": "pale", "gloss": "dark", "graphite": "dark", "organic-coat": "dark",
}  # fmt: skip
YES_NO: Final = ("no", "yes")
PHASES: Final = (
    "hematite", "magnetite", "maghemite", "jacobsite", "bixbyite", "hausmannite", "pyrolusite", "hercynite",
    "carbon", "graphite", "lead", "copper", "chromite", "calcite", "apatite", "titania", "kaolinite", "talc",
    "gypsum",
)  # fmt: skip
AFTER_FIRING: Final = (
    "cooking-soot", "food-crust", "burnt-after-breakage", "burial-stain", "burial-crust", "salts",
    "leached", "worn", "acid-cleaned", "consolidated", "repainted",
)  # fmt: skip

TABLES: Final[dict[str, Dimensions]] = {
    # what is seen
    "observed_colour": Dimensions((h.COLOURS,), h.COLOURS),
    "paint_colour": Dimensions((h.PAINT, h.HISTORIES, h.ATMOSPHERE, h.TEMPERATURE), h.COLOURS),
    "clay_colour": Dimensions((CLAY, h.HISTORIES), h.COLOURS),
    "patches": Dimensions((MATERIAL, h.HISTORIES), PATCHES),
    "edge_relief": Dimensions((h.PAINT,), EDGE_RELIEF),
    "lustre_sintered": Dimensions((h.LAYERS, MATERIAL), LUSTRE_SINTERED),
    "finish": Dimensions((h.LAYERS, MATERIAL, LUSTRE), FINISH),
    "white_specks": Dimensions((h.PAINT,), YES_NO),
    "streak_on_paper": Dimensions((MATERIAL,), YES_NO),
    "scum": Dimensions((CLAY,), YES_NO),
    "acid": Dimensions((MATERIAL,), ("none", "fizz")),
    "rubs_off": Dimensions((h.APPLIED,), ("no", "dry", "wet")),
    "applied_seen": Dimensions((h.APPLIED,), ("before-firing", "after-firing")),
    "after_fired_colour": Dimensions((("any",),), h.COLOURS),
    "after_fired_edge_relief": Dimensions((("any",),), EDGE_RELIEF),
    "magnet": Dimensions((MATERIAL, h.HISTORIES), MAGNET),
    "phase": Dimensions((h.PAINT, PHASES), ("found", "not-found")),
    # refiring a chip in air
    "refire_turns": Dimensions((h.PAINT,), REFIRE_STEPS),
    "refire_after": Dimensions((h.PAINT,), REFIRED),
    "refire_observed": Dimensions((("gone", "ghost"),), REFIRED),
    # the broken edge and the body
    "wall": Dimensions((REGIME,), h.HISTORIES),
    "core": Dimensions((h.CARBON, h.HISTORIES, h.TEMPERATURE), CORE),
    "core_colour": Dimensions((("dark",),), h.COLOURS),
    "through_colour_carbon_rich": Dimensions((h.HISTORIES,), ("clay", "dark")),
    "surface_colour_carbon_rich": Dimensions((h.HISTORIES,), ("clay", "dark")),
    "hardness": Dimensions((h.TEMPERATURE,), ("soft", "medium", "hard")),
    "ring": Dimensions((h.TEMPERATURE,), ("dull", "clear")),
    "slakes": Dimensions((h.TEMPERATURE,), YES_NO),
    "lime_pops": Dimensions((h.BODY, h.TEMPERATURE), YES_NO),
    # the fire
    "air": Dimensions((h.ENDING, h.SURFACES, ("open", "closed", "unknown")), h.AIR),
    "no_red_paint": Dimensions((REGIME,), ("none", "some")),
    "structure": Dimensions((REGIME,), h.STRUCTURE),
    "space": Dimensions((h.STRUCTURE,), h.SPACE),
    "fire_clouds": Dimensions((h.STRUCTURE,), ("none", "few", "most")),
    "marks": Dimensions((h.STRUCTURE,), ("none", "stacking", "fuel-contact")),
    "kiln_evidence": Dimensions((h.STRUCTURE,), ("found", "none-found")),
    # priors
    "atmosphere": Dimensions((("any",),), h.ATMOSPHERE),
    "ending": Dimensions((h.ATMOSPHERE,), h.ENDING),
    "temperature": Dimensions((h.ATMOSPHERE,), h.TEMPERATURE),
    "body": Dimensions((SCARCITY,), h.BODY),
    "carbon": Dimensions((("any",),), h.CARBON),
    "slip": Dimensions((SCARCITY, FIRE_GROUP), h.SLIP),
    "paint": Dimensions((FIRE_GROUP, GROUND_KIND), h.PAINT),
    "applied": Dimensions((("any",),), h.APPLIED),
    "after_fired_paint": Dimensions((("any",),), h.PAINT),
}

SCALARS: Final[dict[str, tuple[tuple[tuple[str, ...], ...], str]]] = {
    "leak": ((("*",),), "probability"),
    "pxrf_mean": ((h.PAINT, GROUND, ELEMENTS), "log10_ratio"),
    "pxrf_spread": ((h.PAINT, GROUND, ELEMENTS), "log10_ratio"),
    "pxrf_missed": ((("*",),), "probability"),
    "pxrf_missed_spread": ((("*",),), "log10_ratio"),
    "refire_minutes": ((("*",),), "celsius_per_doubling"),
    "space_cap": ((("*",),), "probability"),
    "after_firing": ((AFTER_FIRING,), "share_flat"),
    "contrast": ((("*",),), "factor_on_equal_materials"),
    "doubtful": ((("*",),), "share_flat"),
}
