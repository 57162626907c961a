"""Rules for the shop: tools of common sizes, bent only where the plane leaves no choice."""

from __future__ import annotations

from functools import lru_cache
from math import ceil, floor, radians, sin

from cad.fields import Known, Rule
from cad.formulas.grit import grain_mm
from cad.outline import Path
from cad.soles import known_path, width_mm
from cad.soles.flanks import has_parallel

BACKED_SAW_MM = 50.0
SAW_ABOVE_PLATE_MM = 20.0
SET_MM = 0.2  # what the teeth's set adds to the plate
KERF_MM = 3.0
KERF_OF_MOUTH = 0.9
PAD_MM = 2.0
PAD_STEP_MM = 0.1


def _plate(known: Known) -> float:
    return max(known["shop.hand_saw.kerf"] - SET_MM, 0.1) if "shop.hand_saw.kerf" in known.given else 0.5


def _depth_needed(known: Known) -> float:
    needed = width_mm(known) + known["cheek.thickness"] + SAW_ABOVE_PLATE_MM
    return 5.0 * ceil(needed / 5 - 1e-9)


def _depth(known: Known) -> float:
    return max(BACKED_SAW_MM, _depth_needed(known))


def _why_depth(known: Known) -> str:
    if _depth_needed(known) <= BACKED_SAW_MM:
        return "a tenon saw of usual size; measure yours"
    deep = f"{_depth(known):g} mm"
    return f"this sole is wide: a saw with {deep} under its back would reach to the bottom of the throat"


def _table_kerf(known: Known) -> float:
    widest = KERF_OF_MOUTH * known["throat.mouth"] * sin(radians(known["throat.bed"]))
    return KERF_MM if widest >= KERF_MM else max(floor(widest * 10 + 1e-9) / 10, 0.3)


def _why_table_kerf(known: Known) -> str:
    if _table_kerf(known) == KERF_MM:
        return "a blade of usual thickness; measure yours"
    return "a thinner blade than usual, so that the kerf stays within this mouth"


def _pad(known: Known) -> float:
    """Return the usual pad, or the thickest that leaves half of its narrowest member to the block."""
    grain = max(grain_mm(grit) for grit in known.texts("shop.abrasive.grits"))
    return _thickest_pad(known_path(known), known["sole.relief"], known["shop.abrasive.backing"] + grain)


@lru_cache(maxsize=8)  # the value and then its reason
def _thickest_pad(path: Path, relief_deg: float, paper: float) -> float:
    fits, beyond = 0, round(PAD_MM / PAD_STEP_MM) + 1
    steps = beyond - 1  # the usual pad first: it nearly always fits
    while beyond - fits > 1:
        if has_parallel(path, relief_deg, 2 * (steps * PAD_STEP_MM + paper)):
            fits = steps
        else:
            beyond = steps
        steps = (fits + beyond) // 2
    return round(fits * PAD_STEP_MM, 6)


def _why_pad(known: Known) -> str:
    if _pad(known) < PAD_MM:
        return "thinner than usual: the block keeps half of the narrowest member of this sole"
    return "evens out the pressure along the block"


RULES = (
    Rule("shop.hand_saw.plate", _plate, "a fine backed saw; measure yours", practice=True),
    Rule(
        "shop.hand_saw.kerf",
        lambda known: round(known["shop.hand_saw.plate"] + SET_MM, 6),
        "the plate and a set of 0.1 mm on each side; measure yours",
        practice=True,
    ),
    Rule("shop.hand_saw.depth_under_back", _depth, _why_depth, practice=True),
    Rule("shop.table_saw.kerf", _table_kerf, _why_table_kerf, practice=True),
    Rule("shop.table_saw.blade_diameter", lambda known: 254.0, "a 10 in blade", practice=True),
    Rule("shop.table_saw.slot_width", lambda known: 19.05, "3/4 in slot: measure your saw", practice=True),
    Rule("shop.table_saw.slot_depth", lambda known: 9.5, "3/8 in slot: measure your saw", practice=True),
    Rule(
        "shop.table_saw.slot_to_blade",
        lambda known: 115.0,
        "saws differ: measure your saw, from the slot's centre to the middle of the blade",
        practice=True,
    ),
    Rule("shop.printer.volume", lambda known: (220.0, 220.0, 250.0), "a common small printer", practice=True),
    Rule("shop.printer.nozzle", lambda known: 0.4, "the usual nozzle", practice=True),
    Rule(
        "shop.printer.clearance",
        lambda known: 0.2,
        "slides on the wood: between 0.15 and 0.25 mm per side",
        practice=True,
    ),
    Rule("shop.printer.filament", lambda known: "PLA", "prints true and stays stiff", practice=True),
    Rule(
        "shop.abrasive.grits",
        lambda known: ("P100", "P120", "P220"),
        "from shaping to finish (grades of FEPA 43, ISO 6344)",
        practice=True,
    ),
    Rule("shop.abrasive.backing", lambda known: 0.25, "paper of usual weight", practice=True),
    Rule("shop.abrasive.pad", _pad, _why_pad, practice=True),
    Rule(
        "shop.accuracy.angle", lambda known: 0.25, "a guided saw and a pared face, with care", practice=True
    ),
    Rule("shop.accuracy.length", lambda known: 0.2, "a knife line, sawn and pared to", practice=True),
    Rule("shop.accuracy.iron", lambda known: 0.05, "ground flat stock", practice=True),
)
