"""Saw, guide and blade: where a bearing face stands and how deep a cut can go."""

from math import sqrt


def set_of_teeth_mm(kerf: float, plate: float) -> float:
    """Return how far the side of the kerf stands outside the saw's plate: (k − plate)/2."""
    return (kerf - plate) / 2


def guide_height_mm(depth_under_back: float, cut_depth: float) -> float:
    """Return the height of a guide that stops a backed saw at depth: what is left of the blade."""
    return depth_under_back - cut_depth


def half_chord_mm(blade_diameter: float, above_table: float) -> float:
    """Return how far a blade reaches before and behind its axle at the table, standing that high.

    Raises ValueError when the blade would have to stand higher than its radius.
    """
    radius = blade_diameter / 2
    if not 0 <= above_table <= radius:
        raise ValueError(f"a blade of {blade_diameter:g} cannot stand {above_table:g} above the table")
    return sqrt(radius**2 - (radius - above_table) ** 2)
