"""What no profile of a sole may be, whatever its form: judged on its lines and arcs alone.

A sole runs from the rabbet face (y = 0) to its full width without ever turning back: every y but those of
plumb walls has one height. A plumb wall is sound, since the corner of the iron beside it leaves it standing
in the work, and cad.checks says what it cannot do; past plumb the plane could neither enter nor leave.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from math import degrees

from cad.crossings import meetings
from cad.outline import Arc, Point, Segment, distance
from cad.soles.member import Member

PLUMB_DEG = 90.0
DUST_DEG = 1e-6  # what rounding may put a plumb tangent past plumb
DUST_MM = 1e-6
LEAST_MM = 0.02  # a shorter member is a slip of the drawing: no tool cuts it and no kernel keeps it
JOINT_MM = 1e-4  # members meet within this of their common end
KNIFE_DEG = 0.5  # two members closer than this to back to back leave no wood, or no work, between them

Show = Callable[[float], str]


@dataclass(frozen=True)
class Flaw:
    """Why a profile cannot be a sole: the member to blame, what is wrong, what to change."""

    member: str
    problem: str
    cure: str


def flaws(members: Sequence[Member], show: Show) -> tuple[Flaw, ...]:
    """Return all that keeps members, in their order, from being the profile of a sole.

    `show` puts a length in mm into words. The members must be joined end to start, as cad.outline.Path asks.
    """
    # Each fault below makes those after it meaningless: a curve in a loop is undercut as well.
    for find in (_ends, _slivers, _knives, _crossed, _turned_back):
        if found := tuple(find(members, show)):
            return found
    return ()


def _ends(members: Sequence[Member], show: Show) -> Iterator[Flaw]:
    first, last = members[0], members[-1]
    if abs(first.segment.start[0]) > DUST_MM:
        yield Flaw(
            first.name,
            f"the profile begins {show(first.segment.start[0])} across, not at the rabbet face",
            "Let it begin at 0",
        )
    if last.segment.end[0] <= first.segment.start[0] + LEAST_MM:
        yield Flaw(
            last.name,
            "the profile ends no further across than it begins: it has no width",
            "Let it run across from the rabbet face to the blind side",
        )


def _slivers(members: Sequence[Member], show: Show) -> Iterator[Flaw]:
    for member in members:
        if member.segment.length < LEAST_MM:
            yield Flaw(
                member.name,
                f"{_the(member.name)} {_at(member.segment.start, show)} is only "
                f"{show(member.segment.length)} long",
                f"Make it at least {show(LEAST_MM)}, or leave it out",
            )


def _turned_back(members: Sequence[Member], show: Show) -> Iterator[Flaw]:
    for member in members:
        past = past_plumb_deg(member.segment)
        if past > DUST_DEG:
            ends = " to ".join(_place(p, show) for p in (member.segment.start, member.segment.end))
            yield Flaw(
                member.name,
                f"{_the(member.name)}, from {ends}, is undercut: it leans up to {past:.1f}° past plumb, and "
                "no iron can enter there",
                "Lean it back to plumb at the most, or lay the whole profile over",
            )


def past_plumb_deg(segment: Segment) -> float:
    """Return how far a segment on its way across turns past plumb at its worst; 0 when it never does.

    A segment that runs straight back is 90° past plumb.
    """
    start = segment.heading_deg(0.0)
    end = start + (degrees(segment.turn) if isinstance(segment, Arc) else 0.0)
    return max(abs(start) - PLUMB_DEG, abs(end) - PLUMB_DEG, 0.0)


def _knives(members: Sequence[Member], show: Show) -> Iterator[Flaw]:
    for one, two in pairwise(members):
        turn = abs((two.segment.heading_deg(0.0) - one.segment.heading_deg(1.0) + 180) % 360 - 180)
        if turn > 180 - KNIFE_DEG:
            yield Flaw(
                two.name,
                f"{_the(two.name)} runs back along {_the(one.name)} {_at(two.segment.start, show)}: nothing "
                "stands between them",
                "Put a flat between the two, or take both out",
            )


def _crossed(members: Sequence[Member], show: Show) -> Iterator[Flaw]:
    for i, j in combinations(range(len(members)), 2):
        one, two = members[i], members[j]
        if _apart(one.segment, two.segment):
            continue
        joint = one.segment.end if j == i + 1 else None
        meets = [
            p for p in meetings(one.segment, two.segment) if joint is None or distance(p, joint) > JOINT_MM
        ]
        if meets:
            yield Flaw(
                two.name,
                f"the profile crosses or touches itself {_at(meets[0], show)}: {_the(one.name)} meets "
                f"{_the(two.name)}",
                "Let each member go on where the one before it ends",
            )


def _apart(one: Segment, two: Segment) -> bool:
    """Return whether two segments are surely apart: each lies within its length of its start."""
    return distance(one.start, two.start) > one.length + two.length + JOINT_MM


def _the(name: str) -> str:
    return f"the {name}"


def _at(p: Point, show: Show) -> str:
    return f"at {_place(p, show)}"


def _place(p: Point, show: Show) -> str:
    return f"{show(p[0])} across and {show(p[1])} up"
