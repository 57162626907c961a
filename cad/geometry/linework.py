"""The lines of a view put in order: drawn once, joined where they run on, cut to a window. No kernel."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from math import atan2, cos, pi, sin

from cad.outline import Line, Path, Point, distance

CHORD_MM = 0.02  # between a drawn curve that is no circle and its chords
SAME_MM = 1e-4  # lines nearer than this are one
LEAST_MM = 1e-3  # shorter lines are dust of the projection

Span = tuple[float, float]
Window = tuple[float, float, float, float]  # least a, least b, greatest a, greatest b


def bounds(paths: Iterable[Path]) -> Window:
    """Return the rectangle around paths. Raises ValueError when there are none."""
    boxes = [path.bounds() for path in paths]
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


def drawn_once(paths: Iterable[Path], over: Iterable[Path] = ()) -> tuple[Path, ...]:
    """Return paths with overlapping and touching lines made one, and curves that repeat left out.

    What lies under the lines and curves of `over` is left out as well.
    """
    given, above = list(paths), list(over)
    lines = joined(_straight(given), _straight(above))
    taken = {_key(path) for path in above if not _is_line(path)}
    curves = {_key(path): path for path in reversed(given) if not _is_line(path)}
    return (*(Path((line,)) for line in lines), *(curves[key] for key in sorted(curves) if key not in taken))


def joined(lines: Iterable[Line], over: Iterable[Line] = ()) -> list[Line]:
    """Return lines with those that overlap or run on in one direction made one, less what `over` covers."""
    wanted, covered = _by_ray(lines), _by_ray(over)
    found = []
    for ray in sorted(wanted):
        angle, off = ray[0] / 1e6, ray[1] / 1e4
        for low, high in _less(_union(wanted[ray]), _union(covered.get(ray, []))):
            ends = [
                (t * cos(angle) - off * sin(angle), t * sin(angle) + off * cos(angle)) for t in (low, high)
            ]
            found.append(Line(ends[0], ends[1]))
    return found


def clipped(paths: Iterable[Path], window: Window) -> tuple[Path, ...]:
    """Return the parts of paths within an upright rectangle; curves that it cuts come back as chords."""
    found: list[Path] = []
    for path in paths:
        a0, b0, a1, b1 = path.bounds()
        if window[0] <= a0 and window[1] <= b0 and a1 <= window[2] and b1 <= window[3]:
            found.append(path)
        else:
            found += _runs(path.points(CHORD_MM), window)
    return tuple(found)


def inside(line: Line, window: Window) -> Line | None:
    """Return the part of a line within a rectangle (the clipping of Liang and Barsky), or None."""
    t0, t1 = 0.0, 1.0
    for axis in (0, 1):
        start, run = line.start[axis], line.end[axis] - line.start[axis]
        for step, room in ((-run, start - window[axis]), (run, window[axis + 2] - start)):
            if step == 0 and room < 0:
                return None
            if step < 0:
                t0 = max(t0, room / step)
            elif step > 0:
                t1 = min(t1, room / step)
    return Line(line.point(t0), line.point(t1)) if t1 - t0 > 1e-9 else None


def _is_line(path: Path) -> bool:
    return len(path.segments) == 1 and isinstance(path.segments[0], Line)


def _straight(paths: Iterable[Path]) -> list[Line]:
    firsts = [path.segments[0] for path in paths if len(path.segments) == 1]
    return [first for first in firsts if isinstance(first, Line)]


def _by_ray(lines: Iterable[Line]) -> dict[tuple[int, int], list[Span]]:
    """Return the spans that lines cover, by the direction and the distance from the origin of their rays."""
    spans: dict[tuple[int, int], list[Span]] = {}
    for line in lines:
        if line.length <= LEAST_MM:
            continue
        angle = atan2(line.end[1] - line.start[1], line.end[0] - line.start[0]) % pi
        angle = 0.0 if pi - angle < 1e-6 else angle
        off = line.start[1] * cos(angle) - line.start[0] * sin(angle)
        low, high = sorted(p[0] * cos(angle) + p[1] * sin(angle) for p in (line.start, line.end))
        spans.setdefault((round(angle * 1e6), round(off * 1e4)), []).append((low, high))
    return spans


def _union(spans: Iterable[Span]) -> list[Span]:
    merged: list[Span] = []
    for low, high in sorted(spans):
        if merged and low <= merged[-1][1] + SAME_MM:
            merged[-1] = (merged[-1][0], max(high, merged[-1][1]))
        else:
            merged.append((low, high))
    return merged


def _less(spans: list[Span], over: list[Span]) -> list[Span]:
    for low, high in over:
        pieces = [piece for a, b in spans for piece in ((a, min(b, low)), (max(a, high), b))]
        spans = [(a, b) for a, b in pieces if b - a > LEAST_MM]
    return spans


def _key(path: Path) -> tuple[tuple[float, ...], ...]:
    """Return what two drawings of one curve share: its ends and its middle, to a hundredth."""
    points = path.points(CHORD_MM)
    named = (points[0], points[len(points) // 2], points[-1])
    return tuple(sorted(tuple(round(c, 2) + 0.0 for c in p) for p in named))


def _runs(points: Sequence[Point], window: Window) -> Iterator[Path]:
    """Yield the runs of a chain of chords that lie within a rectangle."""
    run: list[Line] = []
    for p, q in itertools.pairwise(points):
        piece = inside(Line(p, q), window)
        if run and (piece is None or distance(run[-1].end, piece.start) > SAME_MM):
            yield Path(tuple(run))
            run = []
        if piece is not None:
            run.append(piece)
    if run:
        yield Path(tuple(run))
