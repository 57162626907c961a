"""An arc of an ellipse as circular arcs that meet in common tangents, for formats that know no ellipse."""

from __future__ import annotations

from math import atan2, cos, hypot, sin

from cad.geometry.iron import EdgeArc
from cad.outline import Arc, Line, Path, Point, Segment
from cad.profiles.fitting import arcs_along

WITHIN_MM = 0.005


def tangent_arcs(edge: EdgeArc, within_mm: float = WITHIN_MM) -> tuple[Segment, ...]:
    """Return arcs from the edge's start to its end that keep within `within_mm` of it.

    Ends and their tangents are exact. Raises ValueError when the distance asked for is out of reach.
    """
    return arcs_along(lambda share: _ray(edge, share), within_mm)


def drawn(segments: tuple[Line | Arc | EdgeArc, ...], within_mm: float = WITHIN_MM) -> Path:
    """Return segments as a path of lines and arcs, ellipses within `within_mm`."""
    plain: list[Segment] = []
    for segment in segments:
        plain += tangent_arcs(segment, within_mm) if isinstance(segment, EdgeArc) else (segment,)
    return Path(tuple(plain))


def _ray(edge: EdgeArc, share: float) -> tuple[Point, Point]:
    """Return the point at a share of an edge and the unit vector along it."""
    (v, u), (cv, cu) = edge.point(share), edge.centre
    a = atan2((u - cu) / edge.along, (v - cv) / edge.across)
    way = 1.0 if edge.ccw else -1.0
    dv, du = -edge.across * sin(a) * way, edge.along * cos(a) * way
    length = hypot(dv, du)
    return (v, u), (dv / length, du / length)
