"""The cutting edge: clearance, shaving and the true shape of the edge."""

from math import atan, cos, degrees, radians, sin, tan


def clearance_deg(bed_deg: float, bevel_deg: float, turned_deg: float = 0.0) -> float:
    """Return the clearance square to the edge where the sole has turned by `turned_deg` from level.

    tan c′ = tan(β − γ) · cos θ: the bevel runs on in one direction, seen ever more obliquely.

    >>> round(clearance_deg(50, 30, 30), 5), round(clearance_deg(50, 30, 60), 5)
    (17.49524, 10.3141)
    """
    return degrees(atan(tan(radians(bed_deg - bevel_deg)) * cos(radians(turned_deg))))


def shaving_share(turned_deg: float) -> float:
    """Return the thickness of the shaving where the sole has turned, as a share of that at the apex."""
    return cos(radians(turned_deg))


def shaving_mm(advance: float, bed_deg: float, turned_deg: float = 0.0) -> float:
    """Return the shaving that an advance of the iron along its bed takes: p · sin β · cos θ."""
    return advance * sin(radians(bed_deg)) * cos(radians(turned_deg))


def stretch(bed_deg: float) -> float:
    """Return 1 / sin β: what a height of the sole becomes along the iron.

    >>> round(9.525 * stretch(50), 5)
    12.434
    """
    return 1 / sin(radians(bed_deg))
