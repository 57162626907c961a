"""Measures of sawn wood. A board foot is 144 cubic inches (definition), an inch 25.4 mm."""

BOARD_FOOT_MM3 = 144 * 25.4**3
LITRE_MM3 = 1e6


def board_feet(volume_mm3: float) -> float:
    """Return a volume in board feet, as it is measured before planing.

    >>> round(board_feet(2359.737e3), 5)
    1.0
    """
    return volume_mm3 / BOARD_FOOT_MM3


def litres(volume_mm3: float) -> float:
    """Return a volume in litres (cubic decimetres)."""
    return volume_mm3 / LITRE_MM3


# Allowances on sawn wood: common practice, no source.
JOINTING_MM = 25.4 / 32  # left on a sawn edge, to be planed off: 1/32 in
ROUGH_LENGTH_MM = 20.0  # for checks in the ends and squaring
ROUGH_WIDTH_MM = 6.0
ROUGH_THICKNESS_MM = 3.0  # for flattening and planing both faces

# Thicknesses that rough hardwood is sawn to, mm.
METRIC_MM = (20.0, 27.0, 32.0, 40.0, 50.0, 65.0, 80.0, 100.0)  # EN 1313-2, from memory
QUARTERS = (4, 5, 6, 8, 10, 12, 16)  # quarters of an inch; common practice, no source


def rough_thickness_mm(needed: float, inches: bool) -> float:
    """Return the least common thickness of rough sawn wood that holds `needed` mm.

    Beyond the thickest it is the next whole 20 mm or inch, glued up or sawn to order.

    >>> rough_thickness_mm(35, inches=False), rough_thickness_mm(35, inches=True)
    (40.0, 38.1)
    """
    sizes = tuple(quarter * 25.4 / 4 for quarter in QUARTERS) if inches else METRIC_MM
    step = 25.4 if inches else 20.0
    return round(next((size for size in sizes if size >= needed - 1e-9), -(-needed // step) * step), 9)
