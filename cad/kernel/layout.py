"""Labels laid out on the flat faces of a solid, and refused where they do not fit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Protocol

from cadquery import Face, Solid, Vector
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepTools import BRepTools, BRepTools_WireExplorer
from OCP.GCPnts import GCPnts_QuasiUniformDeflection
from OCP.GeomAbs import GeomAbs_CurveType
from OCP.TopAbs import TopAbs_Orientation
from OCP.TopoDS import TopoDS, TopoDS_Iterator, TopoDS_Shape, TopoDS_Wire
from shapely import MultiPolygon, Polygon, union_all
from shapely.affinity import affine_transform

from cad.errors import KernelError
from cad.kernel.lettering import letters
from cad.kernel.measure import flat_face_at, plane_of
from cad.kernel.shapes import Frame, Triple
from cad.outline import Point

MARGIN_MM = 0.8  # of material left between a letter and anything that is not: the thinnest wall that prints
CHORD_MM = 0.01  # how far the outline of a curved face is taken from the true one
LEAST_MM = MARGIN_MM - CHORD_MM  # the margin as it is tested: outlines are known no better


def refused(text: str, problem: str) -> KernelError:
    """Return the error that names the label which cannot be cut."""
    return KernelError(f"label {text!r}", "lettering", problem)


class Lettered(Protocol):
    """Words for a flat face: centred on `at`, the tops of the letters towards `up`, capitals `height` mm."""

    @property
    def text(self) -> str: ...
    @property
    def at(self) -> Triple: ...
    @property
    def normal(self) -> Triple: ...
    @property
    def up(self) -> Triple: ...
    @property
    def height(self) -> float: ...


@dataclass(frozen=True)
class Words:
    """The patches of one label, laid out in the frame of its face."""

    text: str
    patches: MultiPolygon


@dataclass(frozen=True)
class Page:
    """A face to be lettered, its frame (normal out of the solid) and all that is written on it."""

    face: Face
    frame: Frame
    words: tuple[Words, ...]


def pages(solid: Solid, labels: Sequence[Lettered]) -> list[Page]:
    """Return the faces that labels name, each with everything to be written on it.

    Raises KernelError naming the text when there is no such face, when the text has no ink or a character
    that the font lacks, or when its letters come within MARGIN_MM of the edge of the face, a hole in it or
    another label on it.
    """
    found: list[tuple[Face, Frame, list[Words]]] = []
    for label in labels:
        face = flat_face_at(solid, label.at, label.normal, f"label {label.text!r}")
        frame = _frame(face, label)
        home = next((page for page in found if page[0].isSame(face)), None)
        if home is None:
            home = (face, frame, [])
            found.append(home)
        home[2].append(_laid(label, frame, home[1]))
    laid = [Page(face, frame, tuple(words)) for face, frame, words in found]
    for page in laid:
        _refuse_misfits(page)
    return laid


def _frame(face: Face, label: Lettered) -> Frame:
    """Return the label's own frame on the face: across to the reader's right, along towards `up`."""
    plane = plane_of(face)
    normal = Vector(*plane.normal)
    upright = Vector(*label.up) - normal * Vector(*label.up).dot(normal)
    if upright.Length < 1e-6:
        raise refused(label.text, "its up does not lie along its face")
    along = upright.normalized()
    spot = Vector(*label.at) - normal * plane.height(label.at)
    return Frame(spot.toTuple(), along.cross(normal).toTuple(), along.toTuple())


def _laid(label: Lettered, own: Frame, page: Frame) -> Words:
    """Return a label's patches in the frame of its page, joined where the font lays rings over each other."""
    patches = MultiPolygon([(letter.outer, letter.holes) for letter in letters(label.text, label.height)])
    if patches.is_empty:
        raise refused(label.text, "it has no letters")
    if not all(patch.is_valid for patch in patches.geoms):
        raise refused(label.text, "the font draws one of its letters with an outline that crosses itself")
    if not patches.is_valid:
        joined = union_all(list(patches.geoms))
        patches = joined if isinstance(joined, MultiPolygon) else MultiPolygon([joined])
    (a, b), right, up = _in_plane(page, own.origin), _turned(page, own.across), _turned(page, own.along)
    return Words(label.text, affine_transform(patches, [right[0], up[0], right[1], up[1], a, b]))


def _in_plane(frame: Frame, p: Triple) -> Point:
    """Return the coordinates of a point in a frame's plane."""
    o = frame.origin
    return _turned(frame, (p[0] - o[0], p[1] - o[1], p[2] - o[2]))


def _turned(frame: Frame, v: Triple) -> Point:
    a, b = (sum(x * y for x, y in zip(v, axis, strict=True)) for axis in (frame.across, frame.along))
    return (a, b)


def _refuse_misfits(page: Page) -> None:
    """Raise KernelError when letters come too near the outline of the face, its holes or each other."""
    bare = outline_in(page.face, page.frame)
    for words in page.words:
        if not bare.contains(words.patches):
            raise refused(words.text, "its letters do not fit on the face")
        left = bare.boundary.distance(words.patches)
        if left < LEAST_MM:
            what = (
                f"its letters come within {left:.2f} mm of an edge or hole of the face; leave {MARGIN_MM} mm"
            )
            raise refused(words.text, what)
    for one, two in combinations(page.words, 2):
        left = one.patches.distance(two.patches)
        if left < LEAST_MM:
            near = f"its letters come within {left:.2f} mm of those of {one.text!r}"
            raise refused(two.text, f"{near}; leave {MARGIN_MM} mm")


def outline_in(face: Face, frame: Frame) -> Polygon:
    """Return the face as a polygon in a frame, within CHORD_MM of the true one."""
    outer = BRepTools.OuterWire_s(face.wrapped)
    rings = [_ring(TopoDS.Wire_s(wire), face, frame) for wire in children(face.wrapped)]
    (shell,) = (r for r, w in zip(rings, children(face.wrapped), strict=True) if w.IsSame(outer))
    return Polygon(shell, [ring for ring in rings if ring is not shell])


def _ring(wire: TopoDS_Wire, face: Face, frame: Frame) -> list[Point]:
    points: list[Point] = []
    walk = BRepTools_WireExplorer(wire, face.wrapped)
    while walk.More():
        curve = BRepAdaptor_Curve(walk.Current())
        ends = [curve.FirstParameter(), curve.LastParameter()]
        if curve.GetType() == GeomAbs_CurveType.GeomAbs_Line:
            stops = [curve.Value(u) for u in ends]
        else:
            cutter = GCPnts_QuasiUniformDeflection(curve, CHORD_MM, *ends)
            stops = [cutter.Value(i) for i in range(1, cutter.NbPoints() + 1)]
        if walk.Current().Orientation() == TopAbs_Orientation.TopAbs_REVERSED:
            stops.reverse()
        points += [_in_plane(frame, (p.X(), p.Y(), p.Z())) for p in stops[:-1]]
        walk.Next()
    return points


def children(shape: TopoDS_Shape) -> Iterator[TopoDS_Shape]:
    """Yield the shapes one level down, placed and oriented as the whole is."""
    walk = TopoDS_Iterator(shape)
    while walk.More():
        yield walk.Value()
        walk.Next()
