"""What an extrusion printer can draw: common practice, no source."""

LEAST_WALL_MM = 0.8  # and two nozzle widths


def least_wall_mm(nozzle_mm: float) -> float:
    """Return the thinnest wall that a nozzle prints soundly, mm.

    >>> least_wall_mm(0.4), least_wall_mm(0.6)
    (0.8, 1.2)
    """
    return max(LEAST_WALL_MM, 2 * nozzle_mm)


def least_gap_mm(nozzle_mm: float) -> float:
    """Return the narrowest gap that does not close in printing, mm: a nozzle's width."""
    return nozzle_mm
