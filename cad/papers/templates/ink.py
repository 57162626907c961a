"""What a page is made of: strokes of a pen and words, in mm, x to the right and y up.

Values only: nothing here knows of PDF. Line widths are of ISO 128-2; the patterns are our own, told by the
legend on every page.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from cad.outline import Arc, Line, Point
from cad.papers.templates.bezier import Box, Chain, chain, on_circle, polyline, turned_left
from cad.papers.templates.fonts import descent, width_mm

LEAST_TEXT_MM = 2.5  # height of the capitals
TITLE_MM = 3.5
LEADER_OFF_MM = 1.0  # between words and their leader
CLEAR_MM = 0.8  # between words and the edge of a tile
ROW_MM = 4.4  # from one line of least text to the next

LEFT, RIGHT = "\u27f5", "\u27f6"  # arrows
_OTHER_WAY = str.maketrans(LEFT + RIGHT, RIGHT + LEFT)

Align = Literal["left", "middle", "right"]


@dataclass(frozen=True)
class Pen:
    """A kind of line: its width and dashes in mm, and what it says."""

    width: float
    dashes: tuple[float, ...]
    says: str


CUT = Pen(0.25, (), "cut, saw or scribe")
FOLD = Pen(0.25, (4.0, 1.0, 0.6, 1.0), "fold")
CENTRE = Pen(0.18, (9.0, 1.2, 2.4, 1.2), "centre line")
EDGE = Pen(0.18, (2.0, 1.0), "reference only")
TILE = Pen(0.18, (0.4, 1.2), "edge of a tile")
FINE = Pen(0.18, (), "leader, ruler, mark")
LEGEND = (CUT, FOLD, CENTRE, EDGE, TILE)


@dataclass(frozen=True)
class Stroke:
    """A curve drawn with a pen, or the area within it filled."""

    pen: Pen
    chain: Chain
    filled: bool = False


@dataclass(frozen=True)
class Words:
    """A line of text at a height of its capitals, their middle level with `at`; `upright` reads upwards."""

    text: str
    at: Point
    height: float = LEAST_TEXT_MM
    align: Align = "left"
    upright: bool = False

    @cached_property
    def box(self) -> Box:
        wide = width_mm(self.text, self.height)
        back = {"left": 0.0, "middle": wide / 2, "right": wide}[self.align]
        low, high = -self.height * (0.5 + descent(self.text)), self.height * 0.5
        x, y = self.at
        if self.upright:
            return (x - high, y - back, x - low, y - back + wide)
        return (x - back, y + low, x - back + wide, y + high)

    def moved(self, by: Point) -> Words:
        return replace(self, at=(self.at[0] + by[0], self.at[1] + by[1]))

    def mirrored(self) -> Words:
        """Return the words where a mirror about x = 0 shows them, still to be read."""
        swapped: dict[Align, Align] = {"left": "right", "middle": "middle", "right": "left"}
        align = self.align if self.upright else swapped[self.align]
        text = self.text.translate(_OTHER_WAY)
        return replace(self, text=text, at=(-self.at[0], self.at[1]), align=align)

    def turned(self) -> Words:
        """Return the words after a quarter turn to the left; those that read upwards come to stand level."""
        if not self.upright:
            return replace(self, at=turned_left(self.at), upright=True)
        swapped: dict[Align, Align] = {"left": "right", "middle": "middle", "right": "left"}
        return replace(self, at=turned_left(self.at), upright=False, align=swapped[self.align])


@dataclass(frozen=True)
class Art:
    """Strokes and words that belong together."""

    strokes: tuple[Stroke, ...] = ()
    words: tuple[Words, ...] = ()

    def __add__(self, other: Art) -> Art:
        return Art(self.strokes + other.strokes, self.words + other.words)

    def moved(self, dx: float, dy: float) -> Art:
        return self._mapped(lambda p: (p[0] + dx, p[1] + dy), lambda words: words.moved((dx, dy)))

    def mirrored(self) -> Art:
        """Return the art mirrored about x = 0; its words keep their sense."""
        return self._mapped(lambda p: (-p[0], p[1]), lambda words: words.mirrored())

    def turned(self) -> Art:
        """Return the art after a quarter turn to the left about the origin."""
        return self._mapped(turned_left, lambda words: words.turned())

    def clipped(self, window: Box) -> Art:
        """Return what lies in a window: strokes cut at its border, words only when wholly inside."""
        strokes = tuple(
            replace(stroke, chain=part) for stroke in self.strokes for part in stroke.chain.clipped(window)
        )
        clear = (window[0] + CLEAR_MM, window[1] + CLEAR_MM, window[2] - CLEAR_MM, window[3] - CLEAR_MM)
        return Art(strokes, tuple(words for words in self.words if inside(words.box, clear)))

    @cached_property
    def box(self) -> Box:
        """The box around everything. Raises ValueError when there is nothing."""
        return around(
            [*(stroke.chain.box() for stroke in self.strokes), *(words.box for words in self.words)]
        )

    def _mapped(self, move: Callable[[Point], Point], place: Callable[[Words], Words]) -> Art:
        strokes = tuple(replace(stroke, chain=stroke.chain.mapped(move)) for stroke in self.strokes)
        return Art(strokes, tuple(place(words) for words in self.words))


def joined(arts: Iterable[Art]) -> Art:
    """Return several arts as one."""
    listed = list(arts)
    return Art(
        tuple(stroke for art in listed for stroke in art.strokes),
        tuple(words for art in listed for words in art.words),
    )


def around(boxes: list[Box]) -> Box:
    """Return the box around boxes. Raises ValueError when there are none."""
    if not boxes:
        raise ValueError("nothing is drawn, so that no box lies around it")
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


def inside(box: Box, window: Box) -> bool:
    return box[0] >= window[0] and box[1] >= window[1] and box[2] <= window[2] and box[3] <= window[3]


def apart(one: Box, two: Box, by: float = 0.0) -> bool:
    """Return whether two boxes are at least so far from each other."""
    across = one[2] + by <= two[0] or two[2] + by <= one[0]
    return across or one[3] + by <= two[1] or two[3] + by <= one[1]


def drawn(pen: Pen, *chains: Chain) -> Art:
    return Art(tuple(Stroke(pen, one) for one in chains))


def line(pen: Pen, *points: Point) -> Art:
    """Return straight lines through points."""
    return drawn(pen, polyline(*points))


def cross(centre: Point, half: float) -> Art:
    """Return a centre's cross."""
    (x, y), pen = centre, FINE
    return line(pen, (x - half, y), (x + half, y)) + line(pen, (x, y - half), (x, y + half))


def dot(at: Point, radius: float = 0.45) -> Art:
    """Return a filled dot, the end of a leader."""
    start = on_circle(at, radius, 0.0)
    ring = chain([Arc(start, start, at, ccw=True)])
    return Art((Stroke(FINE, ring, filled=True),))


def leader(text: str, at: Point, to: Point, align: Align = "left") -> Art:
    """Return words and a leader to a point; `at` is where the words begin, or end.

    The leader leaves the words at the end nearer to the point, or straight over or under it.
    """
    words = Words(text, at, align=align)
    low_x, low_y, high_x, high_y = words.box
    if low_x < to[0] < high_x:
        start = (to[0], low_y - LEADER_OFF_MM if to[1] < at[1] else high_y + LEADER_OFF_MM)
    else:
        start = (low_x - LEADER_OFF_MM if to[0] <= low_x else high_x + LEADER_OFF_MM, at[1])
    return Art((), (words,)) + line(FINE, start, to) + dot(to)


def toe_mark(at: Point) -> Words:
    """Return an arrow to the left and the word TOE, from `at` on."""
    return Words(f"{LEFT} TOE", at, TITLE_MM)


def outline(*segments: Line | Arc) -> Chain:
    return chain(segments)


def rows(lines: Iterable[str], at: Point, height: float = LEAST_TEXT_MM) -> Iterator[Words]:
    """Yield lines of text one under the other from `at` downwards."""
    for i, text in enumerate(lines):
        yield Words(text, (at[0], at[1] - i * ROW_MM * height / LEAST_TEXT_MM), height)


def wrapped(text: str, wide: float, height: float = LEAST_TEXT_MM) -> list[str]:
    """Return a text broken between words into lines no wider than `wide` mm, where its words allow."""
    lines: list[str] = []
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_mm(longer, height) <= wide:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines
