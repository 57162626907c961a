"""Where the centre of an arc lies, by offsets or by a radius (RS274/NGC version 3, 3.5.3, from memory)."""

from __future__ import annotations

from math import hypot, sqrt

from cad.simulate.finding import Place
from cad.simulate.moves import AXES, Bend, Plane

# How far an arc's ends may differ in their distance from its centre.
TOLERANCE_MM = 0.002
TOLERANCE_IN_MM = 0.0002 * 25.4


class ArcError(Exception):
    """An arc that is none: what is wrong with it, by how much, and the cure."""

    def __init__(self, problem: str, cure: str, amount_mm: float = 0.0) -> None:
        self.problem, self.cure, self.amount_mm = problem, cure, amount_mm
        super().__init__(problem)


def bend_by_offsets(
    start: Place, end: Place, plane: Plane, offsets: tuple[float, float], ccw: bool, tolerance_mm: float
) -> Bend:
    """Return an arc whose centre lies at offsets from its start, in the plane's two axes.

    Raises ArcError when its ends do not lie equally far from the centre within the tolerance.
    """
    first, second, _ = AXES[plane]
    centre = (start[first] + offsets[0], start[second] + offsets[1])
    radius = hypot(*offsets)
    there = hypot(end[first] - centre[0], end[second] - centre[1])
    if radius <= tolerance_mm:
        raise ArcError(f"an arc of radius {radius:.4f} mm", "Give the centre's offsets from the arc's start")
    off = abs(there - radius)
    if off > tolerance_mm:
        raise ArcError(
            f"its start lies {radius:.4f} mm from its centre and its end {there:.4f} mm: they differ by "
            f"{off:.4f} mm, where {tolerance_mm:.4g} mm may be",
            "Correct its end or its centre, or write more decimals",
            off,
        )
    return Bend(plane, centre, ccw)


def bend_by_radius(
    start: Place, end: Place, plane: Plane, radius: float, ccw: bool, tolerance_mm: float
) -> Bend:
    """Return an arc of a radius: up to a half turn where the radius is positive, more where it is negative.

    Raises ArcError when its ends are one point, or further apart than the diameter.
    """
    first, second, _ = AXES[plane]
    across, up = end[first] - start[first], end[second] - start[second]
    chord = hypot(across, up)
    if chord < 1e-9:
        raise ArcError("a radius says nothing of an arc that ends where it starts", "Give its centre instead")
    short = chord / 2 - abs(radius)
    if short > tolerance_mm:
        raise ArcError(
            f"its ends lie {chord:.4f} mm apart, which is more than twice its radius of {abs(radius):.4f} mm",
            "Correct its end or its radius",
            short,
        )
    out = sqrt(max(radius**2 - chord**2 / 4, 0.0))
    # The centre of the lesser arc lies to the left of its chord when it turns counter-clockwise.
    left = out if ccw == (radius > 0) else -out
    middle = (start[first] + across / 2, start[second] + up / 2)
    return Bend(plane, (middle[0] - up / chord * left, middle[1] + across / chord * left), ccw)
