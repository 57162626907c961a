"""Plane curves made ready for the drawing formats. Needs no kernel."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from cad.outline import Arc, Path, Point, Segment

OUTSIDE, INSIDE = "PROFILE_OUTSIDE", "PROFILE_INSIDE"  # layers of a profile: on which side the cutter runs


@dataclass(frozen=True)
class Curve:
    """A curve on its layer; `bore` when it is the circle of a drilled hole."""

    layer: str
    path: Path
    bore: bool = False


@dataclass(frozen=True)
class Words:
    """A line of text on its layer, centred on a point, capitals of a height in mm."""

    layer: str
    text: str
    at: Point
    height: float


@dataclass(frozen=True)
class Drawing:
    """A drawing in true size: curves in mm, x to the right and y up."""

    title: str
    curves: tuple[Curve, ...]
    words: tuple[Words, ...] = ()

    @property
    def layers(self) -> tuple[str, ...]:
        """The names of its layers in the order in which they first come."""
        named = [curve.layer for curve in self.curves] + [words.layer for words in self.words]
        return tuple(dict.fromkeys(named))

    def bounds(self) -> tuple[float, float, float, float]:
        """Return (least x, least y, greatest x, greatest y) of the curves."""
        boxes = [curve.path.bounds() for curve in self.curves]
        return (
            min(box[0] for box in boxes),
            min(box[1] for box in boxes),
            max(box[2] for box in boxes),
            max(box[3] for box in boxes),
        )


def profile_drawing(title: str, outline: Path, holes: tuple[Path, ...] = ()) -> Drawing:
    """Return the drawing of an outline and the holes in it."""
    return Drawing(title, (Curve(OUTSIDE, outline), *(Curve(INSIDE, hole) for hole in holes)))


def half_turns(path: Path) -> list[Segment]:
    """Return the segments of a path with every arc of more than half a turn split in two.

    Both formats describe an arc by its ends: of a full circle they are one point and say nothing.
    """
    return [piece for segment in path for piece in _split(segment)]


def _split(segment: Segment) -> list[Segment]:
    if not isinstance(segment, Arc) or abs(segment.turn) <= pi + 1e-9:
        return [segment]
    middle = segment.point(0.5)
    return [
        Arc(segment.start, middle, segment.centre, segment.ccw),
        Arc(middle, segment.end, segment.centre, segment.ccw),
    ]
