"""The wedge, driven home between iron and front face."""

from __future__ import annotations

from cadquery import Solid

from cad.geometry import Plan
from cad.kernel.shapes import Frame, prism

COLOUR = (0.62, 0.42, 0.26)


def build(plan: Plan) -> Solid:
    """Return the wedge: its side view swept across the throat, half the side clearance free on each side."""
    iron, wedge = plan.iron, plan.wedge
    free = wedge.side_clearance / 2
    x, _, z = iron.origin
    frame = Frame((x, free, z), iron.up_bed, iron.off_bed)
    return prism(wedge.side_view(), frame, (0, wedge.width, 0))
