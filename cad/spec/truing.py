"""What can still be pared off, or glued on, wood that is cut: in words with the amount."""

from __future__ import annotations

from collections.abc import Callable

from cad.formulas.throat import TIGHT_GAP_MM, square_to_face_mm, truing_mm, turn_at_top_mm
from cad.units import plain

# What the blocks can still take off a sole, and what a body has to give: common practice, no source.
SANDED_MM, MOST_TRUED_MM = 1.0, 5.0
EASY_WEDGE_DEG = 6.0  # the least angle of a wedge that goes in and comes out; see cad.checks.wedge

Show = Callable[[float], str]


def wider_mouth(lacking: float, bed_deg: float, front_deg: float, show: Show) -> str:
    """Return how a mouth gap that lacks so many mm is still to be had: a sentence with no full stop.

    The front must stand steeper than the bed.
    """
    ways = [
        f"pare {show(square_to_face_mm(lacking, front_deg))} evenly off the front face",
        f"{show(square_to_face_mm(lacking, bed_deg))} evenly off the bed",
    ]
    off = truing_mm(lacking, bed_deg, front_deg)
    if off <= MOST_TRUED_MM:
        again = " and shape it again" if off > SANDED_MM else ""
        ways.insert(0, f"true {show(off)} off the sole{again}")
    grind = f"grind the iron {show(square_to_face_mm(lacking, bed_deg))} thinner"
    said = f"{', or '.join(ways)}, or {grind}, for a gap of {show(TIGHT_GAP_MM)}; then measure again"
    return said[0].upper() + said[1:]


def steeper_front(height: float, bed_deg: float, front_deg: float, least_deg: float, show: Show) -> str:
    """Return how the front face is pared until it stands `least_deg` over the bed, as wider_mouth does."""
    wanted = min(bed_deg + least_deg, 90.0)
    off = turn_at_top_mm(height, front_deg, wanted)
    return (
        f"True the front face to {plain(wanted)}°: {show(off)} off at the top, along the body, running out "
        "to nothing at the mouth; then measure again"
    )


def leaner_front(height: float, bed_deg: float, front_deg: float, most_deg: float, show: Show) -> str:
    """Return how the front face is built up until it stands no more than `most_deg` over the bed."""
    wanted = bed_deg + most_deg
    on = turn_at_top_mm(height, wanted, front_deg)
    return (
        f"Glue a slip of the same wood to the front face that brings it to {plain(wanted)}°: {show(on)} at "
        "the top, along the body, running out to nothing at the mouth; then measure again"
    )
