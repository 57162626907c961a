"""The kernel's edges as lines and arcs in the plane, seen from above; exact where they are such."""

from __future__ import annotations

from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepTools import BRepTools_WireExplorer
from OCP.GeomAbs import GeomAbs_CurveType
from OCP.gp import gp_Pnt, gp_Vec
from OCP.TopAbs import TopAbs_Orientation
from OCP.TopoDS import TopoDS_Edge, TopoDS_Wire

from cad.errors import KernelError
from cad.outline import Arc, Line, Path, Point, Segment

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
    found: Line | Arc
    if curve.GetType() == GeomAbs_CurveType.GeomAbs_Line:
        found = Line(first, last)
    elif curve.GetType() == GeomAbs_CurveType.GeomAbs_Circle:
        found = Arc(first, last, _point(curve.Circle().Location()), _turns_left(curve))
    else:
        raise KernelError(name, "edge", f"the one from {first} to {last} is neither a line nor an arc")
    return (found.reversed() if reverse else found,)


def _turns_left(curve: BRepAdaptor_Curve) -> bool:
    start, way, centre = gp_Pnt(), gp_Vec(), curve.Circle().Location()
    curve.D1(curve.FirstParameter(), start, way)
    return bool((start.X() - centre.X()) * way.Y() - (start.Y() - centre.Y()) * way.X() > 0)


def _point(p: gp_Pnt) -> Point:
    return (round(p.X(), PLACES) + 0.0, round(p.Y(), PLACES) + 0.0)
