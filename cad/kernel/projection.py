"""Views of solids: the lines seen from a direction, those hidden, and sections through them.

Curves come out in the plane of the view, in mm: a to the right, b up, both from the frame's own origin.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import cadquery.func as cq
from cadquery import Face, Solid
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepLib import BRepLib
from OCP.GCPnts import GCPnts_QuasiUniformDeflection
from OCP.GeomAbs import GeomAbs_CurveType
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.HLRAlgo import HLRAlgo_Projector
from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape

from cad.geometry.linework import CHORD_MM, SAME_MM, drawn_once
from cad.kernel.layout import children
from cad.kernel.shapes import Frame, Triple, cut, flat_face, outline_wire, prism
from cad.outline import Arc, Line, Path, Point, Segment, distance, polygon

FAR_MM = 4000.0  # reaches past any solid of ours


@dataclass(frozen=True)
class Look:
    """Which way a view is taken: the unit vectors to the eye and to the right of the page (square)."""

    to_eye: Triple
    right: Triple

    @property
    def up(self) -> Triple:
        """Return the unit vector up the page."""
        (a0, a1, a2), (b0, b1, b2) = self.to_eye, self.right
        return (a1 * b2 - a2 * b1, a2 * b0 - a0 * b2, a0 * b1 - a1 * b0)

    def flat(self, p: Triple) -> Point:
        """Return where a point of space is in the view."""
        return (_dot(p, self.right), _dot(p, self.up))


@dataclass(frozen=True)
class Seen:
    """What a view shows: the lines in sight and the lines behind, each curve a path, each drawn once."""

    visible: tuple[Path, ...]
    hidden: tuple[Path, ...] = ()


@dataclass(frozen=True)
class Sliced:
    """A section: what is seen behind the cutting plane, and for each solid the rims of its cut faces."""

    seen: Seen
    rims: tuple[tuple[Path, ...], ...]


def seen(solids: Sequence[Solid], look: Look, hidden: bool = False) -> Seen:
    """Return the lines of solids seen from a direction, hidden ones only when asked for.

    Edges and outlines are drawn, not the seams where a surface runs on smoothly.
    """
    shapes = _projected(solids, look)
    visible = drawn_once(_curves(shapes.VCompound(), shapes.OutLineVCompound()))
    behind = _curves(shapes.HCompound(), shapes.OutLineHCompound()) if hidden else ()
    return Seen(visible, drawn_once(behind, visible))


def each_seen(solids: Sequence[Solid], look: Look) -> tuple[tuple[Path, ...], ...]:
    """Return, for each solid, its lines in sight among the others: so that each can have its own pen."""
    shapes = _projected(solids, look)
    parts = (solid.wrapped for solid in solids)
    return tuple(drawn_once(_curves(shapes.VCompound(one), shapes.OutLineVCompound(one))) for one in parts)


def _projected(solids: Sequence[Solid], look: Look) -> HLRBRep_HLRToShape:
    algorithm = HLRBRep_Algo()
    for solid in solids:
        algorithm.Add(solid.wrapped)
    # Without an axis of its own the kernel picks one, and views come out upside down.
    axes = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(*look.to_eye), gp_Dir(*look.right))
    algorithm.Projector(HLRAlgo_Projector(axes))
    algorithm.Update()
    algorithm.Hide()
    return HLRBRep_HLRToShape(algorithm)


def sliced(solids: Sequence[Solid], look: Look, through: Triple) -> Sliced:
    """Return the view of solids cut by the plane through a point, square to the look; what is nearer is gone.

    A solid that the plane misses has no rims. Raises KernelError when the cut leaves more than one piece.
    """
    frame = Frame(through, look.right, look.up)
    square = polygon([(-FAR_MM, -FAR_MM), (FAR_MM, -FAR_MM), (FAR_MM, FAR_MM), (-FAR_MM, FAR_MM)])
    x, y, z = look.to_eye
    near = prism(square, frame, (FAR_MM * x, FAR_MM * y, FAR_MM * z))
    plane = flat_face(outline_wire(square, frame))
    left: list[Solid] = []
    rims: list[tuple[Path, ...]] = []
    for solid in solids:
        met = cq.intersect(plane, solid).Faces()
        rims.append(tuple(rim for face in met for rim in _rims(face, look)))
        if met:
            left.append(cut(solid, near, part="section", feature="cutting plane"))
        elif _dot(solid.Center().toTuple(), look.to_eye) < _dot(through, look.to_eye):
            left.append(solid)
    return Sliced(seen(left, look), tuple(rims))


def _rims(face: Face, look: Look) -> Iterator[Path]:
    """Yield the closed rims of a flat face in the view."""
    for one in children(face.wrapped):
        pieces = [_path(BRepAdaptor_Curve(TopoDS.Edge_s(edge)), look.flat) for edge in children(one)]
        yield _chained([segment for piece in pieces for segment in piece])


def _chained(segments: list[Segment]) -> Path:
    """Return the segments of one rim as a path, each turned to start where the one before it ended."""
    chain, rest = [segments[0]], segments[1:]
    while rest:
        end = chain[-1].end
        # The nearest end, not an equal one: ends read off neighbouring edges differ in their last digits.
        gaps = [min(distance(one.start, end), distance(one.end, end)) for one in rest]
        one = rest.pop(gaps.index(min(gaps)))
        chain.append(one if distance(one.start, end) <= distance(one.end, end) else one.reversed())
    return Path(tuple(chain))


def _curves(*shapes: TopoDS_Shape | None) -> Iterator[Path]:
    for shape in shapes:
        if shape is None or shape.IsNull():
            continue
        BRepLib.BuildCurves3d_s(shape)  # the kernel leaves projected edges with flat curves only
        explorer = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_EDGE)
        while explorer.More():
            yield _path(BRepAdaptor_Curve(TopoDS.Edge_s(explorer.Current())), lambda p: (p[0], p[1]))
            explorer.Next()


def _path(curve: BRepAdaptor_Curve, flat: Callable[[Triple], Point]) -> Path:
    """Return a curve of the kernel in the view: a line, an arc, or chords within CHORD_MM."""

    def place(p: gp_Pnt) -> Point:
        return flat((p.X(), p.Y(), p.Z()))

    first, last = curve.FirstParameter(), curve.LastParameter()
    start, end = place(curve.Value(first)), place(curve.Value(last))
    if curve.GetType() == GeomAbs_CurveType.GeomAbs_Line:
        return Path((Line(start, end),))
    if curve.GetType() == GeomAbs_CurveType.GeomAbs_Circle:
        centre, radius = place(curve.Circle().Location()), curve.Circle().Radius()
        early, middle = (place(curve.Value(first + (last - first) * share)) for share in (0.25, 0.5))
        # A circle that leans to the view is an ellipse there.
        if all(abs(distance(p, centre) - radius) < SAME_MM for p in (start, early, middle)):
            return Path((Arc(start, end, centre, ccw=_turns_left(start, early, middle)),))
    sampled = GCPnts_QuasiUniformDeflection(curve, CHORD_MM)
    points = [place(sampled.Value(i + 1)) for i in range(sampled.NbPoints())]
    lines = [Line(p, q) for p, q in itertools.pairwise(points) if distance(p, q) > SAME_MM]
    return Path(tuple(lines) or (Line(start, end),))


def _turns_left(p: Point, q: Point, r: Point) -> bool:
    return (q[0] - p[0]) * (r[1] - q[1]) - (q[1] - p[1]) * (r[0] - q[0]) > 0


def _dot(u: Triple, v: Triple) -> float:
    return u[0] * v[0] + u[1] * v[1] + u[2] * v[2]
