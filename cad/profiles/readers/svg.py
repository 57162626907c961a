"""SVG: paths and simple shapes, read by svgelements; lengths as CSS has them, 96 px to the inch.

The size is real when width and height carry it: in mm, cm, Q, in, pt, pc or px (CSS Values and Units, level
3, absolute lengths). What is not displayed, texts and images are passed over; nothing outside the file is
opened, and documents that declare entities or draw by reference are refused before anything is made of them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from io import BytesIO
from itertools import pairwise
from math import atan2, hypot
from types import MappingProxyType
from typing import Any
from xml.parsers import expat

from cad.errors import ProfileError
from cad.outline import Arc, Line, Point, distance
from cad.profiles.drawing import LARGEST_MM, Curve, Part, Piece, Sheet, Span, quarters

SUFFIX = ".svg"

UNITS: Mapping[str, tuple[float, str]] = MappingProxyType(  # of width and height: in mm, and in words
    {
        "mm": (1.0, "millimetres"),
        "cm": (10.0, "centimetres"),
        "Q": (0.25, "quarter millimetres"),
        "in": (25.4, "inches"),
        "pc": (25.4 / 6, "picas"),
        "pt": (25.4 / 72, "points"),
        "px": (25.4 / 96, "px, 96 to the inch"),
        "": (25.4 / 96, "px, 96 to the inch"),
    }
)
DEEPEST = 40  # elements within elements
MOST_ELEMENTS = 5_000
MOST_SHAPES = 500
MOST_DRAWN = 100_000  # characters of all paths together; a profile takes some hundreds
MOST_SAID = 20_000  # characters of any other attribute, and of all style sheets together
MOST_TURNED = 300  # characters of a transform: it is read again for every shape within
SHAPES = frozenset(("path", "line", "polyline", "polygon", "rect", "circle", "ellipse"))
REFUSED = frozenset(
    ("use", "symbol", "marker", "mask", "switch", "foreignObject", "animate", "animateTransform")
)
LONGEST_ID = 40  # characters of a shape's name that are said
FLAT = 1e-12  # an ellipse whose two radii make a smaller share of a square is none
ROUND = 1e-6  # an arc whose radii differ by a smaller share of them is round

NOTHING_MM = 1e-6
STRETCH = 1e-3  # by which width and height may disagree, as they do when a program has rounded them

_NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_LENGTH = re.compile(rf"\s*({_NUMBER})\s*([A-Za-z%]*)\s*")


def sheet(content: bytes, unit_mm: float | None) -> Sheet:
    """Return the drawing of an SVG file. See cad.profiles.readers."""
    root = _judged(content)
    scale, unit = (unit_mm, "the unit given as profile_unit") if unit_mm is not None else _unit(root)
    from svgelements import SVG, Matrix, Shape

    try:
        drawing = SVG.parse(BytesIO(content), reify=True, on_error="raise")
        shapes = [one for one in drawing.elements() if isinstance(one, Shape) and _is_visible(one)]
        # Back to the document's own units: svgelements holds a millimetre to seven places alone.
        undo = Matrix(drawing.viewbox_transform)
        undo.inverse()
    except Exception as error:  # whatever a spoiled file does to a reader, the file is to blame
        why = str(error).split("\n")[0][:120] or type(error).__name__
        raise ProfileError("", f"this cannot be read as SVG: {why}", "Save it anew as plain SVG") from error
    pieces: list[Piece] = []
    for place, shape in enumerate(shapes, start=1):
        try:
            pieces += _pieces(shape, place, undo, scale)
        except ProfileError:
            raise
        except Exception as error:  # as above: its numbers can be anything
            raise ProfileError(_name(shape, place), f"it cannot be read: {error}", "Draw it anew") from error
    return Sheet(tuple(pieces), unit)


@dataclass
class _Scan:
    """What one pass over the document has seen, before any of it is believed."""

    depth: int = 0
    elements: int = 0
    shapes: int = 0
    hidden: int = 0  # depth of the definitions that are being passed through, 0 outside
    drawn: int = 0  # characters of paths so far
    said: int = 0  # characters between tags so far, style sheets among them
    root: dict[str, str] = field(default_factory=dict)

    def begins(self, name: str, attributes: Mapping[str, str]) -> str:
        """Take note of an element that begins, and return what is wrong with it, nothing as a rule."""
        self.depth += 1
        self.elements += 1
        self.shapes += name in SHAPES
        if self.depth == 1:
            self.root = dict(attributes)
            return "" if name == "svg" else f"the document is no SVG: it begins with <{name}>"
        if not self.hidden and (name in REFUSED or name == "svg"):
            return f"<{name}> draws by reference or in a frame of its own: draw the profile itself"
        if not self.hidden and name in ("defs", "clipPath", "pattern", "metadata"):
            self.hidden = self.depth
        return ""

    def ends(self) -> None:
        """Take note of an element that ends."""
        if self.hidden == self.depth:
            self.hidden = 0
        self.depth -= 1

    def excess(self, attributes: Mapping[str, str]) -> str:
        """Return in words what there is too much of, to be read in a moment; nothing as a rule."""
        long = {key: len(value) for key, value in attributes.items()}
        self.drawn += long.pop("d", 0) + long.pop("points", 0)
        turned = long.pop("transform", 0)
        if self.depth > DEEPEST:
            return f"elements are nested more than {DEEPEST} deep"
        if self.elements > MOST_ELEMENTS or self.shapes > MOST_SHAPES:
            return f"there are over {MOST_SHAPES} shapes, or over {MOST_ELEMENTS} elements"
        if self.drawn > MOST_DRAWN or turned > MOST_TURNED or max(long.values(), default=0) > MOST_SAID:
            return "it is far longer than any profile"
        return "the document holds far more text than a drawing" if self.said > MOST_SAID else ""


def _judged(content: bytes) -> Mapping[str, str]:
    """Return the root's attributes. Raises ProfileError for what is no SVG, or none that is safe to read."""
    parser, scan = expat.ParserCreate(namespace_separator=" "), _Scan()

    def refuse_if(problem: str, cure: str) -> None:
        if problem:
            raise ProfileError(f"line {parser.CurrentLineNumber}", problem, cure)

    def start(tag: str, attributes: dict[str, str]) -> None:
        refuse_if(scan.begins(tag.rpartition(" ")[2], attributes), "Save the drawing as plain SVG")
        refuse_if(scan.excess(attributes), "Keep only the profile in the file")

    def text(words: str) -> None:
        scan.said += len(words)
        refuse_if(scan.excess({}), "Save the drawing as plain SVG")

    def entity(*declared: Any) -> None:
        refuse_if("the document declares entities", "Save it as plain SVG, without a DOCTYPE")

    parser.StartElementHandler, parser.EndElementHandler = start, lambda tag: scan.ends()
    parser.CharacterDataHandler, parser.EntityDeclHandler = text, entity
    try:
        parser.Parse(content, True)
    except expat.ExpatError as error:
        raise ProfileError(
            f"line {error.lineno}", f"this is not XML: {error}", "Save the drawing as SVG"
        ) from error
    return scan.root


def _unit(root: Mapping[str, str]) -> tuple[float, str]:
    """Return the length of the document's own unit in mm, and in words where it is from.

    Raises ProfileError where width and height give the drawing no size, or two.
    """
    if "viewBox" not in root:
        return UNITS["px"]
    frame = [float(number) for number in re.findall(_NUMBER, root["viewBox"])]
    if len(frame) != 4 or not all(0 < side < LARGEST_MM for side in frame[2:]):
        raise ProfileError(
            "<svg>", f'viewBox = "{root["viewBox"][:40]}" is no frame', "Save it anew as plain SVG"
        )
    sizes = [_size(root, side) for side in ("width", "height")]
    scales = [mm / side for (mm, _), side in zip(sizes, frame[2:], strict=True)]
    if max(scales) > min(scales) * (1 + STRETCH):
        raise ProfileError(
            "<svg>",
            f"width, height and viewBox do not fit together: one unit is {scales[0]:.6g} mm across and "
            f"{scales[1]:.6g} mm up",
            'Give the length of its unit, as in profile_unit = "mm", or save the drawing anew',
        )
    return min(scales), sizes[0][1]  # as preserveAspectRatio "meet" has it, unless told otherwise


def _size(root: Mapping[str, str], side: str) -> tuple[float, str]:
    """Return a side of the drawing in mm, and its unit in words."""
    found = _LENGTH.fullmatch(root.get(side, ""))
    if found is None or found[2] not in UNITS or not float(found[1]) > 0:
        given = f'"{root[side][:40]}"' if side in root else "missing"
        raise ProfileError(
            "<svg>",
            f"the drawing has a viewBox but no real size: its {side} is {given}",
            'Set width and height in mm, or give the length of its unit, as in profile_unit = "mm"',
        )
    mm, words = UNITS[found[2]]
    return float(found[1]) * mm, words


def _name(shape: Any, place: int) -> str:
    kind = type(shape).__name__.lower().replace("simpleline", "line")
    return f'{kind} "{shape.id[:LONGEST_ID]}"' if shape.id else f"{kind} {place}"


def _is_visible(shape: Any) -> bool:
    """Return whether a shape is not hidden by `visibility`, its own or inherited (CSS 2, 11.2).

    What `display` takes out, svgelements leaves out itself.
    """
    return shape.values.get("visibility", "visible") not in ("hidden", "collapse")


def _pieces(shape: Any, place: int, undo: Any, scale: float) -> Iterator[Piece]:
    """Yield the lines of one shape, one piece for each stretch between moves."""
    from svgelements import Move, Path

    name = _name(shape, place)
    parts: list[Part] = []
    for segment in abs(Path(shape) * undo):
        if isinstance(segment, Move):
            if parts:
                yield Piece(name, tuple(parts))
            parts = []
        else:
            parts += _parts(segment, name, scale)
    if parts:
        yield Piece(name, tuple(parts))


def _parts(segment: Any, name: str, scale: float) -> Iterator[Part]:
    """Yield one segment in mm with z up: SVG's second axis runs down (SVG 2, initial coordinate system)."""
    from svgelements import Arc as SvgArc
    from svgelements import Close, CubicBezier, QuadraticBezier
    from svgelements import Line as SvgLine

    def spot(p: Any) -> Point:
        return (p.x * scale, -p.y * scale)

    if isinstance(segment, SvgLine | Close):
        # What closes a shape is drawn even where rounding alone keeps its ends apart.
        if segment.end is not None and distance(spot(segment.start), spot(segment.end)) > NOTHING_MM:
            yield Line(spot(segment.start), spot(segment.end))
    elif isinstance(segment, SvgArc):
        yield from _arc(segment, name, spot)
    elif isinstance(segment, QuadraticBezier):
        yield Curve((_bezier(tuple(map(spot, (segment.start, segment.control, segment.end)))),))
    elif isinstance(segment, CubicBezier):
        corners = (segment.start, segment.control1, segment.control2, segment.end)
        yield Curve((_bezier(tuple(map(spot, corners))),))
    else:
        raise ProfileError(
            name, f"a {type(segment).__name__} cannot be part of a profile", "Draw it with arcs"
        )


def _arc(segment: Any, name: str, spot: Callable[[Any], Point]) -> Iterator[Part]:
    """Yield an arc of a circle, or of the ellipse that a transform has made of one.

    Raises ProfileError for one that a transform has pressed flat.
    Its points are centre + a·cos t + b·sin t, with a and b the radii that svgelements keeps as points.
    """
    (cy, cz), (ay, az), (by, bz) = map(spot, (segment.center, segment.prx, segment.pry))
    start, end = spot(segment.start), spot(segment.end)
    a, b = (ay - cy, az - cz), (by - cy, bz - cz)
    long = max(hypot(*a), hypot(*b))
    if abs(hypot(*a) - hypot(*b)) <= ROUND * long and abs(a[0] * b[0] + a[1] * b[1]) <= ROUND * long**2:
        yield Arc(start, end, (cy, cz), ccw=segment.sweep < 0)
        return
    handed = a[0] * b[1] - a[1] * b[0]
    if not abs(handed) > FLAT * long**2:  # nor where it is no number
        raise ProfileError(name, "its ellipse has no width or no length", "Draw it anew, as a line")
    off = (start[0] - cy, start[1] - cz)
    first = atan2((a[0] * off[1] - a[1] * off[0]) / handed, (off[0] * b[1] - off[1] * b[0]) / handed)
    swept = -segment.sweep if handed > 0 else segment.sweep
    yield quarters((cy, cz), a, b, first, swept)


def _bezier(corners: tuple[Point, ...]) -> Span:
    """Return a Bézier curve as a span, by de Casteljau's construction."""

    def point(share: float) -> tuple[Point, Point]:
        row = corners
        while len(row) > 2:
            row = tuple(
                (p[0] + (q[0] - p[0]) * share, p[1] + (q[1] - p[1]) * share) for p, q in pairwise(row)
            )
        (p, q), degree = row, len(corners) - 1
        way = ((q[0] - p[0]) * degree, (q[1] - p[1]) * degree)
        return (p[0] + (q[0] - p[0]) * share, p[1] + (q[1] - p[1]) * share), way

    return point
