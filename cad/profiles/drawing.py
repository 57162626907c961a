"""What the readers hand on: pieces of a drawing in mm, y to the right and z up, each with its name."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import cos, hypot, isfinite, pi, sin

from cad.errors import ProfileError
from cad.outline import Arc, Point, Segment
from cad.profiles.fitting import arcs_along, strays_mm

LARGEST_MM = 100_000.0  # of a coordinate: a drawing so far from its origin has the wrong unit or is mischief
SMOOTH = 1e-4  # the sine of the turn below which two spans of a curve run on smoothly, as drawn with a mouse
STILL = 1e-6  # a derivative shorter than this share of its span says nothing about the way
NUDGE = 1e-4  # a share of a span that is gone aside to find the way there
MEASURED = 64  # steps over each span at which a fitted curve is measured

Span = Callable[[float], tuple[Point, Point]]  # from a share, 0 to 1, to a point and the derivative there


@dataclass(frozen=True)
class Curve:
    """A curve neither straight nor round: spans that follow one another, each smooth in itself."""

    spans: tuple[Span, ...]

    def fitted(self, within_mm: float) -> tuple[Segment, ...]:
        """Return arcs within `within_mm` of the curve, tangent to each other wherever it is smooth.

        Raises ValueError where the curve turns too sharply for that.
        """
        return tuple(arc for run in self._runs() for arc in arcs_along(_ray(run), within_mm, len(run)))

    def strays_mm(self, arcs: tuple[Segment, ...]) -> float:
        """Return how far the curve strays from arcs laid along it."""
        return strays_mm(_ray(self.spans), arcs, MEASURED * len(self.spans))

    def _runs(self) -> Iterator[tuple[Span, ...]]:
        """Yield spans that run on smoothly, together."""
        run = [self.spans[0]]
        for one, two in pairwise(self.spans):
            (_, before), (_, after) = _way(one, 1.0), _way(two, 0.0)
            straight_on = before[0] * after[0] + before[1] * after[1] > 0
            if straight_on and abs(before[0] * after[1] - before[1] * after[0]) < SMOOTH:
                run.append(two)
            else:
                yield tuple(run)
                run = [two]
        yield tuple(run)


Part = Segment | Curve


@dataclass(frozen=True)
class Piece:
    """One thing drawn: parts that follow one another, and what to call it, such as "LINE 2F"."""

    name: str
    parts: tuple[Part, ...]


@dataclass(frozen=True)
class Sheet:
    """All that a file draws, in mm, and the words for the unit it was drawn in."""

    pieces: tuple[Piece, ...]
    unit: str


def quarters(centre: Point, a: Point, b: Point, first: float, swept: float) -> Curve:
    """Return the arc of an ellipse, centre + a·cos t + b·sin t, from t = `first` on over `swept` radians."""
    steps = max(1, round(abs(swept) / (pi / 2)))  # some quarter at a time: no span comes back on itself

    def span(at: int) -> Span:
        low, wide = first + swept * at / steps, swept / steps

        def point(share: float) -> tuple[Point, Point]:
            c, s = cos(low + wide * share), sin(low + wide * share)
            here = (centre[0] + a[0] * c + b[0] * s, centre[1] + a[1] * c + b[1] * s)
            return here, ((b[0] * c - a[0] * s) * wide, (b[1] * c - a[1] * s) * wide)

        return point

    return Curve(tuple(span(at) for at in range(steps)))


def check_points(name: str, points: Iterator[Point]) -> None:
    """Raise ProfileError for a point that no profile can have."""
    for point in points:
        for value in point:
            if not isfinite(value):
                raise ProfileError(name, f"a coordinate is {value}", "Draw it anew: that is no number")
            if abs(value) > LARGEST_MM:
                raise ProfileError(
                    name,
                    f"a coordinate is {value:.6g} mm, further out than {LARGEST_MM:.0f} mm",
                    "Check the drawing's unit, and move it near the origin",
                )


def points_of(part: Part) -> Iterator[Point]:
    """Yield the points by which a part can be judged: its ends, an arc's centre, a few of a curve."""
    if isinstance(part, Curve):
        yield from (span(share)[0] for span in part.spans for share in (0.0, 0.5, 1.0))
    else:
        yield from (part.start, part.end)
        if isinstance(part, Arc):
            yield part.point(0.5)


def _ray(spans: tuple[Span, ...]) -> Callable[[float], tuple[Point, Point]]:
    """Return the point and unit tangent at a share of a run of spans."""

    def ray(share: float) -> tuple[Point, Point]:
        at = min(int(share * len(spans)), len(spans) - 1)
        return _way(spans[at], share * len(spans) - at)

    return ray


def _way(span: Span, share: float) -> tuple[Point, Point]:
    """Return the point at a share of a span and the unit tangent there. Raises ValueError without one."""
    here, way = span(share)
    reach = hypot(*way)
    (y0, z0), (y1, z1) = span(0.0)[0], span(1.0)[0]
    if reach <= STILL * hypot(y1 - y0, z1 - z0):
        # A control point that lies on its end leaves no derivative there; the curve has a way all the same.
        one, two = (share - NUDGE, share) if share > 0.5 else (share, share + NUDGE)
        (y0, z0), (y1, z1) = span(one)[0], span(two)[0]
        way = (y1 - y0, z1 - z0)
        reach = hypot(*way)
    if reach == 0:
        raise ValueError(f"the curve stands still at ({here[0]:.3f}, {here[1]:.3f})")
    return here, (way[0] / reach, way[1] / reach)
