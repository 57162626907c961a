"""Whether two solids are the same shape, wherever they stand: by what a kernel can measure of each."""

from __future__ import annotations

from collections.abc import Iterator
from hashlib import sha256

from cadquery import Solid
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface

from cad.kernel.shapes import Triple

PLACES = 3  # a thousandth of a mm, far coarser than the kernel's dust and far finer than any tool
NUDGE = 1.7e-4  # keeps round sizes, and half thousandths, away from where rounding turns


def likeness(solid: Solid) -> str:
    """Return a hash that equal solids share and different ones do not, whatever place they were moved to.

    It is taken of all corners, of the middles and kinds of all edges, of the kinds of all faces, and of the
    volume: to PLACES decimals in mm, measured from the least corner. A solid that is turned or mirrored has
    another.
    """
    corners = [vertex.toTuple() for vertex in solid.Vertices()]
    low = (min(p[0] for p in corners), min(p[1] for p in corners), min(p[2] for p in corners))
    lines = sorted(_measures(solid, corners, low))
    return sha256("\n".join(lines).encode()).hexdigest()


def _measures(solid: Solid, corners: list[Triple], low: Triple) -> Iterator[str]:
    for corner in corners:
        yield f"corner {_from(low, corner)}"
    for edge in solid.Edges():
        curve = BRepAdaptor_Curve(edge.wrapped)
        middle = curve.Value((curve.FirstParameter() + curve.LastParameter()) / 2)
        yield f"edge {curve.GetType()} {_from(low, middle.Coord())}"
    for face in solid.Faces():
        yield f"face {BRepAdaptor_Surface(face.wrapped).GetType()}"
    yield f"volume {_number(solid.Volume())}"


def _from(low: Triple, point: Triple) -> str:
    return " ".join(_number(a - b) for a, b in zip(point, low, strict=True))


def _number(value: float) -> str:
    return f"{value + NUDGE:.{PLACES}f}"
