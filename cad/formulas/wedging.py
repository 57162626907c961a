"""The wedge between iron and front face: how it sinks and whether it holds.

Source of the holding condition: wedge friction in any text on statics (Baker and Haynes, Engineering
Statics, ch. 9.3): a wedge stays by itself while its angle is less than the sum of the friction angles.
"""

from math import atan, degrees, radians, sin, tan


def sink_per_shaving(bed_deg: float, front_deg: float) -> float:
    """Return how much further the wedge sinks for each mm planed off one face: 1 / sin(φ − β).

    >>> round(sink_per_shaving(50, 60), 2)
    5.76
    """
    return 1 / sin(radians(front_deg - bed_deg))


def least_friction(wedge_deg: float) -> float:
    """Return the least coefficient of friction, alike on both faces, that holds the wedge: tan(α/2).

    >>> round(least_friction(10), 4)
    0.0875
    """
    return tan(radians(wedge_deg) / 2)


def widest_holding_deg(friction_below: float, friction_above: float) -> float:
    """Return the widest wedge angle that still holds with these coefficients on its two faces."""
    return degrees(atan(friction_below) + atan(friction_above))
