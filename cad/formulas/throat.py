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


TIGHT_GAP_MM = 0.4  # a mouth gap below this chokes on all but the finest shavings; common practice, no source


def truing_mm(lacking: float, bed_deg: float, front_deg: float) -> float:
    """Return what must come off the sole for a mouth gap to grow by `lacking`: lacking / (cot β − cot φ).

    >>> round(truing_mm(0.3, 50, 60), 3)
    1.146
    """
    return lacking / spread(bed_deg, front_deg)


def square_to_face_mm(along_sole: float, angle_deg: float) -> float:
    """Return the depth square to a face that moves its line by `along_sole` where it meets the sole."""
    return along_sole * sin(radians(angle_deg))


def turn_at_top_mm(height: float, now_deg: float, wanted_deg: float) -> float:
    """Return how far a face must move at the body's top, along it, to turn about its foot in the mouth.

    H (cot now − cot wanted): positive towards the toe.

    >>> round(turn_at_top_mm(75, 55, 60), 3)
    9.214
    """
    return height * (cot(now_deg) - cot(wanted_deg))
