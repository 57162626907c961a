"""Where a straight line meets a face."""

from __future__ import annotations

from cadquery import Face
from OCP.gp import gp_Dir, gp_Lin, gp_Pnt
from OCP.IntCurvesFace import IntCurvesFace_Intersector

from cad.kernel.shapes import Triple

TOLERANCE_MM = 1e-7


def met_at(face: Face, start: Triple, way: Triple, reach: float) -> float | None:
    """Return how far along a line from `start` the face is met, mm, nearest to the start either way.

    `way` is a unit vector; nothing further than `reach` counts. Returns None where the face is not met.
    """
    crossing = IntCurvesFace_Intersector(face.wrapped, TOLERANCE_MM)
    crossing.Perform(gp_Lin(gp_Pnt(*start), gp_Dir(*way)), -reach, reach)
    met = [crossing.WParameter(i) for i in range(1, crossing.NbPnt() + 1)]
    return min(met, key=abs) if met else None
