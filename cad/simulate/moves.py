"""The moves that a program makes: straight, or arcs in one of the three planes, with or without rise."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import acos, atan2, ceil, cos, hypot, pi, sin
from typing import Literal

from cad.simulate.finding import Place

Plane = Literal["xy", "zx", "yz"]
# The axes of each plane, first and second, and the one square to it (RS274/NGC: G17, G18, G19).
AXES: Mapping[Plane, tuple[int, int, int]] = {"xy": (0, 1, 2), "zx": (2, 0, 1), "yz": (1, 2, 0)}
RAPID_MM_MIN = 3000.0  # taken for G0, whose speed no program says; common practice, no source


@dataclass(frozen=True)
class Bend:
    """What makes a move an arc: its plane, its centre in that plane's two axes, and its sense of turning."""

    plane: Plane
    centre: tuple[float, float]
    ccw: bool


@dataclass(frozen=True)
class Move:
    """One move of the tip, in mm. `feed_mm_min` is 0 when no speed was set; `rpm` is negative backwards."""

    line: int
    rapid: bool
    start: Place
    end: Place
    bend: Bend | None = None
    feed_mm_min: float = 0.0
    rpm: float = 0.0
    seconds: float = 0.0

    @property
    def turn(self) -> float:
        """Return the signed angle of an arc in radians, a full turn where it ends as it starts; else 0."""
        if self.bend is None:
            return 0.0
        first, second, _ = AXES[self.bend.plane]
        a, b = self.bend.centre
        start = atan2(self.start[second] - b, self.start[first] - a)
        end = atan2(self.end[second] - b, self.end[first] - a)
        ahead = (end - start if self.bend.ccw else start - end) % (2 * pi)
        # The last digits of a full circle's ends may fall on either side of 0.
        ahead = 2 * pi if ahead < 1e-9 or self._closes() else ahead
        return ahead if self.bend.ccw else -ahead

    def _closes(self) -> bool:
        assert self.bend is not None
        first, second, _ = AXES[self.bend.plane]
        return hypot(self.end[first] - self.start[first], self.end[second] - self.start[second]) < 1e-6

    @property
    def radius(self) -> float:
        """Return the radius of an arc at its start; 0 for a straight move."""
        if self.bend is None:
            return 0.0
        first, second, _ = AXES[self.bend.plane]
        return hypot(self.start[first] - self.bend.centre[0], self.start[second] - self.bend.centre[1])

    @property
    def length(self) -> float:
        """Return how far the tip travels."""
        if self.bend is None:
            return hypot(*(e - s for s, e in zip(self.start, self.end, strict=True)))
        rise = AXES[self.bend.plane][2]
        return hypot(self.radius * self.turn, self.end[rise] - self.start[rise])

    def at(self, share: float) -> Place:
        """Return where the tip is after a share (0 to 1) of the way."""
        along = [s + (e - s) * share for s, e in zip(self.start, self.end, strict=True)]
        if self.bend is not None and 0 < share < 1:
            first, second, _ = AXES[self.bend.plane]
            a, b = self.bend.centre
            angle = atan2(self.start[second] - b, self.start[first] - a) + self.turn * share
            # The ends may lie at slightly different distances from the centre, within the tolerance.
            out = self.radius + (hypot(self.end[first] - a, self.end[second] - b) - self.radius) * share
            along[first], along[second] = a + out * cos(angle), b + out * sin(angle)
        return (along[0], along[1], along[2])

    def points(self, chord_mm: float) -> list[Place]:
        """Return points along the way, both ends among them, whose chords stay within `chord_mm` of it."""
        if self.bend is None:
            return [self.start, self.end]
        step = 2 * acos(max(1 - chord_mm / max(self.radius, chord_mm), 0.0))
        count = max(ceil(abs(self.turn) / max(step, 1e-6)), 2)
        return [self.at(i / count) for i in range(count + 1)]
