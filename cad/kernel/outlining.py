"""The kernel's edges as lines and arcs in the plane, seen from above.

Exact for lines and circles; any other curve becomes tangent arcs within 0.005 mm (`cad.profiles.fitting`).
"""

from __future__ import annotations

from math import hypot

from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepTools import BRepTools_WireExplorer
from OCP.GeomAbs import GeomAbs_CurveType
from OCP.gp import gp_Pnt, gp_Vec
from OCP.TopAbs import TopAbs_Orientation
from OCP.TopoDS import TopoDS_Edge, TopoDS_Wire

from cad.errors import KernelError
from cad.geometry.biarc import WITHIN_MM
from cad.outline import Arc, Line, Path, Point, Segment
from cad.profiles.fitting import arcs_along

PLACES = 9  # of a millimetre: what is kept of a coordinate, so that a turned piece reads as it was drawn


def path_of(wire: TopoDS_Wire, name: str) -> Path:
    """Return the closed path of a wire seen from above, in the wire's own sense.

    Raises KernelError naming the edge when one of its curves cannot be brought to lines and arcs.
    """
    segments: list[Segment] = []
    walk = BRepTools_WireExplorer(wire)
    while walk.More():
        segments += _segments(walk.Current(), name)
        walk.Next()
    return Path(tuple(segments))


def _segments(edge: TopoDS_Edge, name: str) -> tuple[Segment, ...]:
    curve = BRepAdaptor_Curve(edge)
    first, last = _point(curve.Value(curve.FirstParameter())), _point(curve.Value(curve.LastParameter()))
    reverse = edge.Orientation() == TopAbs_Orientation.TopAbs_REVERSED
    found: tuple[Segment, ...]
    if curve.GetType() == GeomAbs_CurveType.GeomAbs_Line:
        found = (Line(first, last),)
    elif curve.GetType() == GeomAbs_CurveType.GeomAbs_Circle:
        centre = curve.Circle().Location()
        found = (Arc(first, last, _point(centre), _turns_left(curve, centre)),)
    else:
        found = _arcs_along(curve, first, last, name)
    return tuple(one.reversed() for one in reversed(found)) if reverse else found


def _arcs_along(curve: BRepAdaptor_Curve, first: Point, last: Point, name: str) -> tuple[Segment, ...]:
    """Return tangent arcs along a curve that is neither straight nor round."""
    low, high = curve.FirstParameter(), curve.LastParameter()

    def ray(share: float) -> tuple[Point, Point]:
        spot, way = gp_Pnt(), gp_Vec()
        curve.D1(low + (high - low) * share, spot, way)
        length = hypot(way.X(), way.Y())
        return (spot.X(), spot.Y()), (way.X() / length, way.Y() / length)

    try:
        return arcs_along(ray, WITHIN_MM)
    except (ValueError, ZeroDivisionError) as error:
        where = f"the one from {first} to {last} cannot be drawn with arcs: {error}"
        raise KernelError(name, "edge", where) from error


def _turns_left(curve: BRepAdaptor_Curve, centre: gp_Pnt) -> bool:
    start, way = gp_Pnt(), gp_Vec()
    curve.D1(curve.FirstParameter(), start, way)
    return bool((start.X() - centre.X()) * way.Y() - (start.Y() - centre.Y()) * way.X() > 0)


def _point(p: gp_Pnt) -> Point:
    return (round(p.X(), PLACES) + 0.0, round(p.Y(), PLACES) + 0.0)
