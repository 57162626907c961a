"""DXF: lines, arcs, polylines, ellipses and splines of the model space, read by ezdxf.

The unit is that of $INSUNITS. Layers that are off, frozen or never plotted (such as those of construction
lines), texts, dimensions and hatches are passed over; anything else that is drawn must be the profile.
Nothing outside the file is opened.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from io import StringIO
from itertools import pairwise
from logging import NullHandler, getLogger
from math import cos, hypot, pi, radians, sin
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from cad.errors import ProfileError
from cad.outline import Arc, Line, Point, Segment
from cad.profiles.bulges import segment_of
from cad.profiles.drawing import Curve, Part, Piece, Sheet, Span, quarters

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.entities import DXFEntity, Layer

SUFFIX = ".dxf"

BINARY = b"AutoCAD Binary DXF"  # how a binary DXF file begins (DXF reference, binary DXF files)
DWG = b"AC10"  # how a DWG file begins, from memory
UNITS: Mapping[int, tuple[float, str]] = MappingProxyType(  # $INSUNITS (DXF reference, header variables)
    {
        1: (25.4, "inches"),
        2: (304.8, "feet"),
        4: (1.0, "millimetres"),
        5: (10.0, "centimetres"),
        6: (1000.0, "metres"),
    }
)
PASSED_OVER = re.compile(
    "TEXT|MTEXT|ATTDEF|TOLERANCE|(ARC_|LARGE_RADIAL_)?DIMENSION|(MULTI)?LEADER|POINT|HATCH|MPOLYGON|WIPEOUT|"
    "IMAGE|VIEWPORT|(PDF|DWF|DGN)UNDERLAY"
)
FLAT_MM = 1e-6  # how far out of one plane a profile may lie
MOST_CONTROL_POINTS = 300
MOST_DEGREE = 10


def sheet(content: bytes, unit_mm: float | None) -> Sheet:
    """Return the drawing of a DXF file. See cad.profiles.readers."""
    document = _document(content)
    scale, unit = _unit(document, unit_mm)
    try:
        shown = tuple(_shown(document))
    except ProfileError:
        raise
    except Exception as error:
        raise _spoiled(error) from error
    return Sheet(tuple(_piece(entity, scale) for entity in shown), unit)


def _document(content: bytes) -> Drawing:
    if content.startswith(BINARY) or content.startswith(DWG):
        kind = "a binary DXF" if content.startswith(BINARY) else "a DWG"
        raise ProfileError("", f"this is {kind} file", "Save it as DXF in text (ASCII)")
    import ezdxf  # a quarter of a second, for those alone whose profile is a DXF file

    # What it has to say of a spoiled file is no message of ours, and would go to the terminal by itself.
    getLogger("ezdxf").addHandler(NullHandler())
    # Of the text, names alone may go beyond ASCII, and no name matters here.
    text = content.decode("utf-8", "replace")
    try:
        return ezdxf.read(StringIO(text, newline=None))
    except Exception as error:
        raise _spoiled(error) from error


def _spoiled(error: Exception) -> ProfileError:
    """Return what an error of the library comes to: whatever a file does to it, the file is to blame."""
    why = str(error).split("\n")[0][:120] or type(error).__name__
    return ProfileError("", f"this cannot be read as DXF: {why}", "Save it anew as DXF in text (ASCII)")


def _unit(document: Drawing, unit_mm: float | None) -> tuple[float, str]:
    if unit_mm is not None:
        return unit_mm, "the unit given as profile_unit"
    code = document.header.get("$INSUNITS", 0)
    if code not in UNITS:
        what = "names no unit" if code == 0 else f"is drawn in a unit that no profile is ($INSUNITS = {code})"
        raise ProfileError(
            "",
            f"the file {what}",
            'Give it under [sole], as in profile_unit = "mm", or set the drawing\'s unit',
        )
    return UNITS[code]


def _shown(document: Drawing) -> Iterator[DXFEntity]:
    """Yield what is drawn and could be seen. Raises ProfileError at what is no line of a profile."""
    hidden = {layer.dxf.name.lower() for layer in document.layers if _is_hidden(layer)}
    for entity in document.modelspace():
        if str(_held(entity, "layer", "0")).lower() in hidden or _held(entity, "invisible", 0):
            continue
        kind = entity.dxftype()
        if kind in _PARTS:
            yield entity
        elif not PASSED_OVER.fullmatch(kind):
            cure = (
                "Explode it to lines and arcs" if kind == "INSERT" else "Draw the profile with lines and arcs"
            )
            raise ProfileError(_name(entity), "this cannot be part of a profile", cure)


def _held(entity: DXFEntity, name: str, default: object) -> object:
    """Return what an entity holds under a name; ezdxf refuses to look for what its kind never has."""
    return entity.dxf.get(name, default) if entity.dxf.hasattr(name) else default


def _is_hidden(layer: Layer) -> bool:
    # Group code 290 of LAYER says whether it is plotted (DXF reference); Defpoints never is (from memory).
    plotted = layer.dxf.get("plot", 1) and layer.dxf.name.lower() != "defpoints"
    return layer.is_off() or layer.is_frozen() or not plotted


def _name(entity: DXFEntity) -> str:
    return f"{entity.dxftype()} #{entity.dxf.handle}"


def _piece(entity: DXFEntity, scale: float) -> Piece:
    name = _name(entity)
    try:
        parts = tuple(_PARTS[entity.dxftype()](entity, name, scale))
    except ProfileError:
        raise
    except Exception as error:  # as above: its numbers can be anything
        raise ProfileError(name, f"it cannot be read: {error}", "Draw it anew") from error
    if not parts:
        raise ProfileError(name, "it has no length", "Delete it")
    return Piece(name, parts)


def _line(entity: Any, name: str, scale: float) -> Iterator[Part]:
    start, end = entity.dxf.start, entity.dxf.end
    _check_flat(name, (start.z, end.z))
    yield Line((start.x * scale, start.y * scale), (end.x * scale, end.y * scale))


def _arc(entity: Any, name: str, scale: float) -> Iterator[Part]:
    facing = _facing(entity, name)
    centre, radius = entity.dxf.center, entity.dxf.radius * scale
    first, last = (
        (0.0, 2 * pi)
        if entity.dxftype() == "CIRCLE"
        else (radians(entity.dxf.start_angle), radians(entity.dxf.end_angle))
    )
    middle = (centre.x * scale * facing, centre.y * scale)
    ends = [(middle[0] + radius * cos(a) * facing, middle[1] + radius * sin(a)) for a in (first, last)]
    yield Arc(ends[0], ends[1], middle, ccw=facing > 0)


def _lwpolyline(entity: Any, name: str, scale: float) -> Iterator[Part]:
    corners = [(float(y), float(z), float(bulge)) for y, z, bulge in entity.get_points("xyb")]
    return _strung(corners, entity.closed, _facing(entity, name), scale)


def _polyline(entity: Any, name: str, scale: float) -> Iterator[Part]:
    if not entity.is_2d_polyline:
        raise ProfileError(
            name, "it is no flat polyline", "Draw the profile with lines and arcs in one plane"
        )
    if entity.dxf.flags & (2 | 4):
        raise ProfileError(
            name, "it is a smoothed polyline, whose curve the file does not hold", "Draw it with arcs"
        )
    corners = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0.0)) for v in entity.vertices]
    return _strung(corners, entity.is_closed, _facing(entity, name), scale)


def _strung(
    corners: list[tuple[float, float, float]], closed: bool, facing: float, scale: float
) -> Iterator[Segment]:
    """Yield the lines and arcs through the corners of a polyline, corners given twice in a row left out."""
    if closed:
        corners = [*corners, corners[0]]
    for (y0, z0, bulge), (y1, z1, _) in pairwise(corners):
        if (y0, z0) != (y1, z1):
            start, end = (y0 * scale * facing, z0 * scale), (y1 * scale * facing, z1 * scale)
            yield segment_of(start, end, bulge * facing)


def _ellipse(entity: Any, name: str, scale: float) -> Iterator[Part]:
    _check_flat(name, (entity.dxf.major_axis.z,))
    tool = entity.construction_tool()
    centre, major, minor = tool.center, tool.major_axis, tool.minor_axis
    first, last = tool.start_param, tool.end_param
    if last <= first:
        last += 2 * pi

    def scaled(v: Any) -> Point:
        return (v.x * scale, v.y * scale)

    yield quarters(scaled(centre), scaled(major), scaled(minor), first, last - first)


def _spline(entity: Any, name: str, scale: float) -> Iterator[Part]:
    points = entity.control_points
    if len(points) == 0:
        raise ProfileError(
            name,
            "the spline holds no control points, and its curve is left to the program",
            "Draw it with arcs",
        )
    if len(points) > MOST_CONTROL_POINTS or entity.dxf.degree > MOST_DEGREE:
        raise ProfileError(
            name,
            f"the spline has {len(points)} control points and is of degree {entity.dxf.degree}",
            f"At most {MOST_CONTROL_POINTS} and degree {MOST_DEGREE} are read: draw it with arcs",
        )
    _check_flat(name, (point[2] for point in points))
    tool = entity.construction_tool()
    all_knots = tool.knots()
    low, high = all_knots[tool.degree], all_knots[-tool.degree - 1]  # the curve lies between these
    knots = sorted({knot for knot in all_knots if low <= knot <= high})

    def span(low: float, high: float) -> Span:
        def point(share: float) -> tuple[Point, Point]:
            # Not to the very knot: at a corner the derivative there is that of the next span.
            t = low + (high - low) * min(share, 1 - 1e-9)
            here, way = tool.derivative(t, 1)[:2]
            wide = (high - low) * scale
            return (here.x * scale, here.y * scale), (way.x * wide, way.y * wide)

        return point

    yield Curve(tuple(span(low, high) for low, high in pairwise(knots)))


def _facing(entity: Any, name: str) -> float:
    """Return 1 for an entity drawn facing up, -1 for one facing down, whose y is turned about."""
    x, y, z = entity.dxf.get("extrusion", (0, 0, 1))
    if hypot(x, y) > FLAT_MM * abs(z):
        raise ProfileError(name, "it does not lie in the drawing's plane", "Draw the profile flat")
    return 1.0 if z > 0 else -1.0


def _check_flat(name: str, heights: Iterable[float]) -> None:
    found = list(heights)
    if max(found) - min(found) > FLAT_MM or any(height != height for height in found):
        raise ProfileError(name, "it does not lie in the drawing's plane", "Draw the profile flat")


_PARTS: Mapping[str, Callable[[Any, str, float], Iterator[Part]]] = MappingProxyType(
    {
        "LINE": _line,
        "ARC": _arc,
        "CIRCLE": _arc,
        "LWPOLYLINE": _lwpolyline,
        "POLYLINE": _polyline,
        "ELLIPSE": _ellipse,
        "SPLINE": _spline,
    }
)
