"""Rules for the plane itself. Where a rule rests on the trade's habits alone it says so."""

from __future__ import annotations

from math import radians, sin

from cad.fields import Known, Rule, either, rounded, rounded_up
from cad.formulas.throat import along_sole_mm, cot, relief_rise_mm, spread
from cad.soles import blind_edge_mm, plate_edge_mm, top_mm, width_mm

BED_DEG = 50.0
WEDGE_DEG = 10.0
BLIND_WALL_MM = 10.0
WEDGE_GRIP_MM = 55.0  # height the wedge needs above the sole's highest point to hold an iron
ABOVE_RELIEF_MM = 10.0  # straight side left above the relief
ABOVE_PLATE_RELIEF_MM = 5.0
SHOULDER_SHARE = 0.75
CLAMP_ABOVE_MM = 4.0  # from the relief up to the line of clamps on the blind face
UNPRESSED_MM = 3.0  # strip of the plate below the shoulder that a caul leaves free
HEEL_MM = 40.0  # wood left behind the throat at the top
MOUTH_GAP_MM = 1.5
LEAST_CLEARANCE_DEG = 12.0
TIP_SHARE = 0.21
TIP_ABOVE_SOLE_MM = 8.0
TIP_THICKNESS_MM = 1.5
IRON_ABOVE_HEAD_MM = 28.0


def _bed(known: Known) -> float:
    return min(BED_DEG, known["throat.front"] - WEDGE_DEG) if "throat.front" in known.given else BED_DEG


def _thickness(known: Known) -> float:
    needed = width_mm(known) + known["cheek.thickness"] + BLIND_WALL_MM
    return rounded_up(known, needed, 1, 1 / 16)


def _blind_relief_top(known: Known) -> float:
    wall = known["body.thickness"] - known["cheek.thickness"] - width_mm(known)
    return blind_edge_mm(known) + relief_rise_mm(wall, known["sole.relief"])


def _plate_relief_top(known: Known) -> float:
    return plate_edge_mm(known) + relief_rise_mm(known["cheek.thickness"], known["sole.relief"])


def _usual_height(known: Known) -> float:
    return either(known, 75, 3)


def _clamped_height(known: Known) -> float:
    """Return the height at which clamps on the blind face press in the middle third of the plate.

    Asked of soles whose blind edge is the higher: there the blind face begins far above the plate's edge.
    """
    if blind_edge_mm(known) <= plate_edge_mm(known) + 1e-6:
        return 0.0
    backed, low = _blind_relief_top(known) + CLAMP_ABOVE_MM, _plate_relief_top(known)
    return ((3 * backed - low) / 2 + UNPRESSED_MM) / SHOULDER_SHARE


def _height(known: Known) -> float:
    needed = max(
        _usual_height(known),
        top_mm(known) + WEDGE_GRIP_MM,
        _blind_relief_top(known) + ABOVE_RELIEF_MM,
        (_plate_relief_top(known) + ABOVE_PLATE_RELIEF_MM) / SHOULDER_SHARE,
        _clamped_height(known),
    )
    return rounded_up(known, needed, 1, 1 / 8)


def _why_height(known: Known) -> str:
    if _height(known) <= _usual_height(known) + 1e-6:
        return "the usual height of moulding planes"
    return "taller than usual, so that side relief, shoulder, wedge and clamps have room above this sole"


def _shoulder(known: Known) -> float:
    return rounded(known, SHOULDER_SHARE * known["body.height"], 1, 1 / 16)


def _mouth(known: Known) -> float:
    iron = along_sole_mm(known["iron.thickness"], known["throat.bed"])
    return rounded_up(known, max(either(known, 6, 1 / 4), iron + MOUTH_GAP_MM), 0.5, 1 / 32)


def _throat_run(known: Known) -> float:
    """Return how far the back of the throat lies behind the mouth's front edge at the top."""
    return known["throat.mouth"] + known["body.height"] * cot(known["throat.bed"])


def _length(known: Known) -> float:
    behind = _throat_run(known) + HEEL_MM
    given_mouth = "throat.mouth_at" in known.given
    needed = known["throat.mouth_at"] + behind if given_mouth else 1.5 * behind
    usual = either(known, 250, 9.5)
    return usual if needed <= usual else rounded_up(known, needed, 5, 1 / 4)


def _why_length(known: Known) -> str:
    if _length(known) <= either(known, 250, 9.5):
        return "the usual length of moulding planes"
    return "longer than usual, so that the throat comes out of the top well before the heel"


def _bevel(known: Known) -> float:
    return min(30.0, known["throat.bed"] - LEAST_CLEARANCE_DEG)


def _why_bevel(known: Known) -> str:
    if _bevel(known) < 30.0:
        return "12° less than the bed, so that the bevel clears the work"
    return "a lasting edge that clears the work behind it"


def _tip(known: Known) -> float:
    gap = known["throat.mouth"] - along_sole_mm(known["iron.thickness"], known["throat.bed"])
    opens = spread(known["throat.bed"], known["throat.front"])
    thick_enough = (TIP_THICKNESS_MM - gap) / opens if opens > 0 else 0.0
    # No higher than the body: faces all but parallel would put the tip hundreds of mm up.
    lowest = max(top_mm(known) + TIP_ABOVE_SOLE_MM, min(thick_enough, known["body.height"]))
    usual = rounded(known, TIP_SHARE * known["body.height"], 1, 1 / 16)
    return max(usual, rounded_up(known, lowest, 1, 1 / 16))


def _iron_length(known: Known) -> float:
    run = known["body.height"] / sin(radians(known["throat.bed"]))
    return rounded_up(known, run + known["wedge.head_height"] + IRON_ABOVE_HEAD_MM, 5, 1 / 4)


FIRST = (Rule("unit", lambda known: known.unit, "millimetres when the file names no unit"),)

RULES = (
    Rule("cheek.thickness", lambda known: either(known, 6, 1 / 4), "stiff enough to stay flat", True),
    Rule(
        "body.thickness",
        _thickness,
        "width of the sole, cheek plate and a blind wall of about 10 mm",
        practice=True,
    ),
    Rule("body.height", _height, _why_height, practice=True),
    Rule("body.shoulder", _shoulder, "three quarters of the height", practice=True),
    Rule("body.spare", lambda known: either(known, 50, 2), "takes clamps and saw guides", practice=True),
    Rule("body.build", lambda known: "solid", "one block, with the rabbet cut into it"),
    Rule("body.hand", lambda known: "right", "the usual hand", practice=True),
    Rule(
        "throat.bed",
        _bed,
        lambda known: (
            "10° less than the given front, at most the usual 50°"
            if "throat.front" in known.given
            else "the usual pitch of moulding planes"
        ),
        practice=True,
    ),
    Rule(
        "throat.front",
        lambda known: min(known["throat.bed"] + WEDGE_DEG, 90.0),
        "10° more than the bed: the wedge's angle",
        practice=True,
    ),
    Rule(
        "iron.thickness",
        lambda known: either(known, 3.2, 1 / 8),
        "a stock size of flat tool steel, stiff enough without a cap iron",
        practice=True,
    ),
    Rule(
        "throat.mouth",
        _mouth,
        "room for iron and wedge: the iron along the sole and at least 1.5 mm before it",
        practice=True,
    ),
    Rule("body.length", _length, _why_length, practice=True),
    Rule(
        "throat.mouth_at",
        lambda known: rounded(known, known["body.length"] / 3, 1, 1 / 16),
        "a third of the length from the toe",
        practice=True,
    ),
    Rule("iron.bevel", _bevel, _why_bevel, practice=True),
    Rule("iron.steel", lambda known: "O1", "hardens in oil, with less risk of cracks than in water"),
    Rule("wedge.side_clearance", lambda known: 0.2, "slides without rattling", practice=True),
    Rule(
        "wedge.tip_height",
        _tip,
        "about a fifth of the height and well above the sole: a shaving has room to turn",
        practice=True,
    ),
    Rule(
        "wedge.head_height",
        lambda known: either(known, 38, 1.5),
        "clear of the body for the mallet",
        practice=True,
    ),
    Rule(
        "iron.length",
        _iron_length,
        "the bed's run, the wedge's head and 28 mm more to tap on, rounded up",
        practice=True,
    ),
    Rule("wood.species", lambda known: "American beech", "the usual wood of planes", practice=True),
    Rule("wood.grain", lambda known: "quartered", "moves least across the plane", practice=True),
    Rule("wood.moisture_now", lambda known: 8.0, "usual for wood kept in a heated shop", practice=True),
    Rule(
        "wood.moisture_range",
        lambda known: (6.0, 12.0),
        "a heated house over the year, about 30 to 65 % relative humidity "
        "(Wood Handbook, table 4-2, from memory)",
    ),
)
