"""Spring: a profile leaned in the body, for a plane that is held leaning while it works.

A plane with a spring of s degrees is held with its top leaning by s towards the side of its cheek plate. In
the body, which stands upright in its own frame, the profile is turned the other way by as much: seen from the
heel, clockwise. Held leaning, it stands on the work as it was drawn. A negative spring leans the other way.

Source: a rotation in the plane; which way planes lean: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, degrees, radians, sin

from cad.outline import Arc, Path, Point, Segment, mapped
from cad.soles.member import Member

PLUMB_DEG = 90.0
MOST_SPRING_DEG = 45


@dataclass(frozen=True)
class Lean:
    """How far a profile may lean either way before one of its members turns past plumb, and what evens it.

    `least_deg` to `most_deg` is the span of springs that leave no member undercut; an empty one belongs to a
    profile that no spring can save. `even_deg`, the middle of it, makes the steepest turns to either side
    alike: no other spring brings the steepest member nearer to level.
    """

    least_deg: float
    most_deg: float

    @property
    def even_deg(self) -> float:
        return (self.least_deg + self.most_deg) / 2

    def steepest_at(self, spring_deg: float) -> float:
        """Return the most that the profile turns from level, either way, when it leans by so much."""
        return PLUMB_DEG - min(self.most_deg - spring_deg, spring_deg - self.least_deg)


def leaned(members: Sequence[Member], spring_deg: float) -> tuple[Member, ...]:
    """Return the members as they lie in a body with this spring, from (0, z), lowest point at z = 0.

    >>> from cad.outline import Line
    >>> (turned,) = leaned([Member("flat", Line((0.0, 0.0), (10.0, 0.0)))], 30)
    >>> [round(value, 3) for value in (*turned.segment.start, *turned.segment.end)]
    [0.0, 5.0, 8.66, 0.0]
    """
    if spring_deg == 0:
        return tuple(members)
    c, s = cos(radians(spring_deg)), sin(radians(spring_deg))

    def turn(p: Point) -> Point:
        return (p[0] * c + p[1] * s, p[1] * c - p[0] * s)

    path = mapped(Path(tuple(member.segment for member in members)), turn)
    laid = path.moved(-path.start[0], -path.bounds()[1])
    return tuple(Member(member.name, segment) for member, segment in zip(members, laid, strict=True))


def lean_of(segments: Sequence[Segment]) -> Lean:
    """Return how a profile, drawn upright, may lean: from the headings between which its members turn.

    A spring of s takes s from every heading, and none may leave −90° to 90°.
    """
    turns = [heading for segment in segments for heading in _headings(segment)]
    return Lean(max(turns) - PLUMB_DEG, min(turns) + PLUMB_DEG)


def _headings(segment: Segment) -> tuple[float, float]:
    start = segment.heading_deg(0.0)
    return start, start + (degrees(segment.turn) if isinstance(segment, Arc) else 0.0)
