"""Rules for the board that the wood is bought as."""

from __future__ import annotations

from cad.fields import Known, Rule, either, rounded_up
from cad.formulas.board import (
    JOINTING_MM,
    ROUGH_LENGTH_MM,
    ROUGH_THICKNESS_MM,
    ROUGH_WIDTH_MM,
    rough_thickness_mm,
)


def _board(known: Known) -> tuple[float, float, float]:
    long = known["body.length"] + 2 * known["body.spare"] + ROUGH_LENGTH_MM
    high = known["body.height"] + JOINTING_MM + ROUGH_WIDTH_MM
    thick = known["body.thickness"] + ROUGH_THICKNESS_MM
    if known.text("body.build") == "laminated":
        thick -= known["cheek.thickness"]
    return (
        max(either(known, 1000, 48), rounded_up(known, long, 100, 6)),
        max(either(known, 150, 6), rounded_up(known, high, 10, 1)),
        rough_thickness_mm(thick, known.unit == "in"),
    )


def _why_board(known: Known) -> str:
    if known.unit == "in":
        return "a rough board of common size, in quarters of an inch, that the body comes out of"
    return "a rough board of common size (thickness: EN 1313-2, from memory) that the body comes out of"


RULES = (
    Rule("wood.board", _board, _why_board, practice=True),
    Rule("wood.price", lambda known: 0.0, "no price is given, so no cost is reckoned"),
)
