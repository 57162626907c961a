"""Router cutters: speeds and feeds to start from, the step between passes of a ball, ramps and drill points.

The tables are common practice, no source: a careful start for a light machine, to be tried on scrap. What
the machine's manual and the maker of the cutter say goes before them.
"""

from collections.abc import Mapping
from math import radians, sqrt, tan

Range = tuple[float, float]

DIAMETERS_MM = (3.0, 6.0, 12.0)  # of the cutters that the columns below are for
# Thickness of the chip that each cutting edge takes, mm, from careful to brisk.
CHIP_MM: Mapping[str, tuple[Range, Range, Range]] = {
    "MDF": ((0.03, 0.08), (0.06, 0.15), (0.10, 0.25)),
    "plywood": ((0.02, 0.07), (0.05, 0.13), (0.08, 0.22)),
    "hard maple": ((0.02, 0.05), (0.04, 0.10), (0.07, 0.18)),
    "acrylic": ((0.03, 0.07), (0.05, 0.12), (0.08, 0.18)),
}
# Turns of the spindle in a minute: wood is cut fast, acrylic melts.
SPEED_RPM: Mapping[str, tuple[Range, Range, Range]] = {
    "MDF": ((16000, 24000), (14000, 20000), (10000, 16000)),
    "plywood": ((16000, 24000), (14000, 20000), (10000, 16000)),
    "hard maple": ((16000, 24000), (14000, 18000), (10000, 14000)),
    "acrylic": ((14000, 18000), (10000, 16000), (8000, 12000)),
}
# Depth of one step, as a share of the cutter's diameter.
STEP_SHARE: Mapping[str, Range] = {
    "MDF": (0.4, 1.0),
    "plywood": (0.4, 1.0),
    "hard maple": (0.25, 0.6),
    "acrylic": (0.2, 0.5),
}
MATERIALS = tuple(CHIP_MM)


def chip_range_mm(material: str, diameter: float) -> Range:
    """Return the least and greatest chip for each edge of a cutter, mm, between the table's columns in line.

    >>> chip_range_mm("plywood", 6), chip_range_mm("plywood", 1)
    ((0.05, 0.13), (0.02, 0.07))
    """
    return _between(CHIP_MM[material], diameter)


def speed_range_rpm(material: str, diameter: float) -> Range:
    """Return the least and greatest speed for a cutter, turns in a minute."""
    return _between(SPEED_RPM[material], diameter)


def step_range_mm(material: str, diameter: float) -> Range:
    """Return the least and greatest depth of one step, mm."""
    low, high = STEP_SHARE[material]
    return (low * diameter, high * diameter)


def chip_mm(feed: float, speed_rpm: float, flutes: float) -> float:
    """Return the thickness of the chip that each edge takes: feed over speed and edges (Machinery's Handbook,
    milling, from memory).

    >>> chip_mm(2400, 16000, 2)
    0.075
    """
    return feed / (speed_rpm * flutes)


def feed_mm(chip: float, speed_rpm: float, flutes: float) -> float:
    """Return the feed, mm a minute, at which each edge takes a chip so thick."""
    return chip * speed_rpm * flutes


def ball_step_mm(scallop: float, radius: float) -> float:
    """Return the step at which a ball leaves ridges so high: 2 √(2 R h − h²), measured between its centres.

    Centres move on the parallel of the profile, so the step seen from above is shorter on a slope by the
    cosine of it, longer in the open where the profile bulges and shorter where it is hollow.

    >>> round(ball_step_mm(0.041958, 3), 3)
    1.0
    """
    return 2 * sqrt(2 * radius * scallop - scallop**2)


def ramp_length_mm(drop: float, ramp_deg: float) -> float:
    """Return how long a way down at an angle from level is, seen from above."""
    return drop / tan(radians(ramp_deg))


def drill_point_mm(diameter: float, point_deg: float) -> float:
    """Return how far a drill's point stands out below the corners that cut the hole's wall.

    >>> round(drill_point_mm(8, 118), 4)
    2.4034
    """
    return diameter / 2 / tan(radians(point_deg / 2))


def _between(columns: tuple[Range, Range, Range], diameter: float) -> Range:
    at = min(max(diameter, DIAMETERS_MM[0]), DIAMETERS_MM[-1])
    i = 0 if at <= DIAMETERS_MM[1] else 1
    low, high = columns[i], columns[i + 1]
    share = (at - DIAMETERS_MM[i]) / (DIAMETERS_MM[i + 1] - DIAMETERS_MM[i])
    return (low[0] + (high[0] - low[0]) * share, low[1] + (high[1] - low[1]) * share)
