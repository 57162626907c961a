"""The throat in the plane's side view: two lines that lean to the heel."""

from math import radians, sin, tan


def cot(angle_deg: float) -> float:
    """Return the cotangent of an angle in degrees."""
    return 1 / tan(radians(angle_deg))


def spread(bed_deg: float, front_deg: float) -> float:
    """Return cot β − cot φ: how much the throat opens along x for each mm of height.

    >>> round(spread(50, 60), 7)
    0.2617494
    """
    return cot(bed_deg) - cot(front_deg)


def opening_mm(mouth: float, bed_deg: float, front_deg: float, z: float) -> float:
    """Return the length of the throat along x at height z above the sole."""
    return mouth + z * spread(bed_deg, front_deg)


def along_sole_mm(thickness: float, angle_deg: float) -> float:
    """Return what an iron, a kerf or a plate of this thickness takes along the sole: t / sin(angle)."""
    return thickness / sin(radians(angle_deg))


def mouth_gap_mm(mouth: float, iron: float, bed_deg: float) -> float:
    """Return the gap in front of the cutting edge, g = m − t / sin β."""
    return mouth - along_sole_mm(iron, bed_deg)


def gap_after_truing_mm(gap: float, trued: float, bed_deg: float, front_deg: float) -> float:
    """Return the mouth gap after `trued` mm are planed off the sole and the iron is set down again."""
    return gap + trued * spread(bed_deg, front_deg)


def relief_rise_mm(run_across: float, relief_deg: float) -> float:
    """Return how high the relief climbs while it runs `run_across` sideways; ρ from the vertical."""
    return run_across / tan(radians(relief_deg))
