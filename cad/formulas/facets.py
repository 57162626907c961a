"""What a round loses when it is made of flats."""

from __future__ import annotations

from math import acos, ceil, cos, pi


def facets(radius_mm: float, chord_mm: float, angle_rad: float) -> int:
    """Return into how many flats a circle is cut: each within `chord_mm` of it and `angle_rad` of turn.

    A flat over the angle a stands off its circle by r(1 - cos(a/2)).
    """
    by_chord = 2 * acos(1 - chord_mm / radius_mm) if chord_mm < radius_mm else pi
    return max(ceil(2 * pi / min(angle_rad, by_chord) - 1e-9), 3)


def facet_loss_mm(radius_mm: float, count: int) -> float:
    """Return how much nearer to the centre the middles of the flats lie than their corners.

    >>> round(facet_loss_mm(4, 32), 4)
    0.0193
    """
    return radius_mm * (1 - cos(pi / count))
