"""The circle and its segment: what a sole of one arc is made of.

Source of the formulas: Machinery's Handbook, 31st ed., segments of circles (any handbook has them).
"""

from math import asin, atan2, degrees, radians, sin, sqrt


def chord_mm(radius_mm: float, arc_deg: float) -> float:
    """Return the chord under a central angle.

    >>> round(chord_mm(16, 60), 6)
    16.0
    """
    return 2 * radius_mm * sin(radians(arc_deg) / 2)


def arc_deg(radius_mm: float, chord: float) -> float:
    """Return the central angle (at most 180) over a chord. Raises ValueError beyond twice the radius."""
    ratio = chord / (2 * radius_mm)
    if not 0 <= ratio <= 1 + 1e-12:
        raise ValueError(f"no arc of radius {radius_mm:g} has a chord of {chord:g}")
    return 2 * degrees(asin(min(ratio, 1.0)))


def sagitta_mm(radius_mm: float, chord: float) -> float:
    """Return the height of the segment that a chord cuts off (the smaller one), r − √(r² − w²/4).

    >>> round(sagitta_mm(16, 16), 6)
    2.143594
    """
    half = chord / 2
    # The product form keeps its digits where r² − w²/4 nearly cancels at a half round.
    return radius_mm - sqrt(max((radius_mm - half) * (radius_mm + half), 0.0))


def radius_from_chord(chord: float, sagitta: float) -> float:
    """Return the radius of the arc over a chord with a given sagitta: (w²/4 + s²) / 2s."""
    return (chord * chord / 4 + sagitta * sagitta) / (2 * sagitta)


def segment_area_mm2(radius_mm: float, arc: float) -> float:
    """Return the area between an arc (central angle in degrees) and its chord."""
    a = radians(arc)
    return radius_mm * radius_mm * (a - sin(a)) / 2


def turn_deg(radius_mm: float, across: float) -> float:
    """Return how far the arc has turned from its apex at a distance across it, 0 to 90 degrees."""
    return degrees(atan2(across, sqrt(max(radius_mm**2 - across**2, 0.0))))
