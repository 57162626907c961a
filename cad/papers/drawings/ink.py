"""What is on a sheet, read back from its document: strokes, fills and words, in mm of paper.

ezdxf's own front end walks the document (dimensions, line types, hatching); this is the back end it draws on.
Words are kept as words, so that page and picture can be searched and edited.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from math import cos, radians, sin
from typing import Any

from ezdxf.addons.drawing import Frontend, RenderContext
from ezdxf.addons.drawing.backend import Backend
from ezdxf.addons.drawing.config import Configuration
from ezdxf.render import hatching

from cad.outline import Point
from cad.papers.drawings.document import Draught
from cad.papers.drawings.lettering import width_mm

PLACES = 4


@dataclass(frozen=True)
class Stroke:
    """A line drawn with a pen: "M", "L" and "C" (cubic Bézier) commands with their points."""

    commands: tuple[tuple[str, tuple[Point, ...]], ...]
    width: float
    layer: str

    @property
    def points(self) -> list[Point]:
        """Return the points that the stroke passes or, in curves, is drawn to."""
        return [points[-1] for _, points in self.commands]


@dataclass(frozen=True)
class Fill:
    """A filled polygon."""

    points: tuple[Point, ...]
    layer: str


@dataclass(frozen=True)
class Words:
    """A line of text: its left end on the base line, the height of its capitals, and the way it reads."""

    text: str
    at: Point
    height: float
    turn_deg: float

    @property
    def width(self) -> float:
        return width_mm(self.text, self.height)

    def corners(self, by: float = 0.0) -> list[Point]:
        """Return the corners of the box around the text, `by` mm wider all round."""
        c, s = cos(radians(self.turn_deg)), sin(radians(self.turn_deg))
        square = [
            (-by, -by),
            (self.width + by, -by),
            (self.width + by, self.height + by),
            (-by, self.height + by),
        ]
        return [(self.at[0] + a * c - b * s, self.at[1] + a * s + b * c) for a, b in square]


@dataclass(frozen=True)
class Ink:
    """All that is on a sheet, in the order in which it was drawn."""

    strokes: tuple[Stroke, ...]
    fills: tuple[Fill, ...]
    words: tuple[Words, ...]


def ink_of(draught: Draught) -> Ink:
    """Return what a document puts on paper."""
    pad = _Pad()
    _Reader(draught, pad).draw_layout(draught.space)
    return Ink(tuple(pad.strokes), tuple(pad.fills), tuple(pad.words))


@dataclass
class _Pad(Backend):
    """The back end: keeps what it is given."""

    strokes: list[Stroke] = field(default_factory=list)
    fills: list[Fill] = field(default_factory=list)
    words: list[Words] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__()

    def set_background(self, color: str) -> None:
        return None

    def clear(self) -> None:
        self.strokes.clear()
        self.fills.clear()
        self.words.clear()

    def draw_point(self, pos: Any, properties: Any) -> None:
        return None  # defpoints of dimensions print as nothing

    def draw_line(self, start: Any, end: Any, properties: Any) -> None:
        commands = (("M", (_point(start),)), ("L", (_point(end),)))
        self.strokes.append(Stroke(commands, properties.lineweight, properties.layer))

    def draw_solid_lines(self, lines: Iterable[tuple[Any, Any]], properties: Any) -> None:
        for start, end in lines:
            self.draw_line(start, end, properties)

    def draw_path(self, path: Any, properties: Any) -> None:
        self.strokes.append(Stroke(_commands(path), properties.lineweight, properties.layer))

    def draw_filled_paths(self, paths: Iterable[Any], properties: Any) -> None:
        for path in paths:
            points = tuple(_point(p) for p in path.to_path().flattening(0.01))
            self.fills.append(Fill(_leftwise(points), properties.layer))

    def draw_filled_polygon(self, points: Any, properties: Any) -> None:
        self.fills.append(Fill(_leftwise(tuple(_point(p) for p in points.vertices())), properties.layer))

    def draw_image(self, image_data: Any, properties: Any) -> None:
        raise TypeError("a sheet holds no pictures")


class _Reader(Frontend):
    """The front end, but for words: they are kept as they stand, not drawn as outlines of letters."""

    def __init__(self, draught: Draught, pad: _Pad) -> None:
        super().__init__(RenderContext(draught.document), pad, config=Configuration())
        self._pad = pad

    def draw_hatch_pattern(self, polygon: Any, paths: Any, properties: Any) -> None:
        # The library's own shifts the lines by chance, a little, and the same sheet would differ each time.
        found = [
            (line.start, line.end)
            for base in hatching.pattern_baselines(polygon)
            for line in hatching.hatch_paths(base, paths)
        ]
        self.pipeline.draw_solid_lines(found, properties)

    def draw_text_entity_2d(self, entity: Any, properties: Any) -> None:
        align, at, _ = entity.get_placement()
        self._keep(entity.dxf.text, at, entity.dxf.height, entity.dxf.rotation, align.name)

    def draw_mtext_entity(self, entity: Any, properties: Any) -> None:
        if entity.dxf.attachment_point != 5:  # middle centre: what dimensions use
            raise TypeError("only the text of dimensions is set as MTEXT")
        dxf = entity.dxf
        self._keep(entity.plain_text(), dxf.insert, dxf.char_height, entity.get_rotation(), "MIDDLE_CENTER")

    def _keep(self, text: str, at: Any, height: float, turn_deg: float, align: str) -> None:
        width = width_mm(text, height)
        across = {"LEFT": 0.0, "RIGHT": width, "MIDDLE_CENTER": width / 2}[align]
        up = height / 2 if align == "MIDDLE_CENTER" else 0.0
        c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
        place = (at.x - across * c + up * s, at.y - across * s - up * c)
        rounded = (round(place[0], PLACES), round(place[1], PLACES))
        self._pad.words.append(Words(text, rounded, height, round(turn_deg, PLACES)))


def _leftwise(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """Return a polygon run counter-clockwise, so that polygons that overlap do not blot each other out."""
    area = sum(p[0] * q[1] - q[0] * p[1] for p, q in zip(points, points[1:] + points[:1], strict=True))
    return points if area >= 0 else points[::-1]


def _point(p: Any) -> Point:
    return (round(p.x, PLACES) + 0.0, round(p.y, PLACES) + 0.0)


def _commands(path: Any) -> tuple[tuple[str, tuple[Point, ...]], ...]:
    start = path.start
    found: list[tuple[str, tuple[Point, ...]]] = [("M", (_point(start),))]
    for command in path.commands():
        if command.type.name == "LINE_TO":
            found.append(("L", (_point(command.end),)))
        elif command.type.name == "CURVE4_TO":
            found.append(("C", (_point(command.ctrl1), _point(command.ctrl2), _point(command.end))))
        elif command.type.name == "MOVE_TO":
            found.append(("M", (_point(command.end),)))
        else:
            raise TypeError(f"{command.type.name} is not drawn here")
    return tuple(found)
