"""What no profile may be, told by member and place; and where lines and arcs meet, against shapely."""

from __future__ import annotations

from itertools import pairwise
from math import cos, radians, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString

from cad.crossings import meetings
from cad.outline import Arc, Line, Point, Segment, arc_through
from cad.soles.member import Member
from cad.soles.sound import flaws, past_plumb_deg
from cad.units import format_limit


def told(*segments: Segment) -> list[tuple[str, str]]:
    """Return the member and the problem of each flaw of a profile."""
    members = tuple(Member(f"part {i}", segment) for i, segment in enumerate(segments, start=1))
    return [(flaw.member, flaw.problem) for flaw in flaws(members, lambda mm: format_limit(mm, "mm"))]


def lines(*corners: Point) -> list[Segment]:
    return [Line(p, q) for p, q in pairwise(corners)]


def test_sound_profiles() -> None:
    assert told(*lines((0, 0), (10, 0))) == []
    assert told(*lines((0, 3), (4, 0), (10, 5))) == []
    # A step: its wall is exactly plumb, which the corner of the iron beside it leaves in the work.
    assert told(*lines((0, 0), (4, 0), (4, 3), (10, 3))) == []
    # Half rounds either way have plumb tangents at their edges.
    assert told(Arc((0, 5), (10, 5), (5, 5), ccw=True)) == []
    assert told(Arc((0, 0), (10, 0), (5, 0), ccw=False)) == []


@pytest.mark.parametrize(
    ("segments", "member", "words"),
    [
        (lines((1, 0), (9, 0)), "part 1", "begins 1 mm across, not at the rabbet face"),
        (lines((0, 0), (0, 9)), "part 1", "no width"),
        (lines((0, 0), (5, 0), (5.01, 0), (9, 0)), "part 2", "5 mm across and 0 mm up is only 0.01 mm long"),
        (lines((0, 0), (5, 0), (4, 3), (9, 3)), "part 2", "undercut: it leans up to 18.4° past plumb"),
        (lines((0, 0), (5, 0), (3, 0), (9, 4)), "part 2", "runs back along the part 1"),
        # An arc of 240°, with 30° past plumb at either end.
        ([arc_through((0, 0), (3, -9), (6, 0))], "part 1", "past plumb"),
        (lines((0, 0), (4, 0), (4, 3), (4, 1), (9, 1)), "part 3", "runs back along the part 2"),
    ],
)
def test_a_flaw_names_its_member_and_place(segments: list[Segment], member: str, words: str) -> None:
    found = told(*segments)
    assert any(one == member and words in problem for one, problem in found), found


def test_a_profile_that_crosses_itself() -> None:
    # Through its own first flat: told as a crossing, which it is, and not as an undercut, which it is too.
    loop = lines((0, 2), (6, 2), (6, 4), (3, 4), (3, 0), (9, 0))
    where = "at 3 mm across and 2 mm up: the part 1 meets the part 4"
    assert told(*loop) == [("part 4", f"the profile crosses or touches itself {where}")]
    round_loop = [Line((0, 0), (6, 0)), Arc((6, 0), (6, 4), (6, 2), ccw=True), Line((6, 4), (6, -1))]
    assert "at 6 mm across and 0 mm up" in told(*round_loop)[0][1]


SWEEPS = [(-90, 180, 0), (-100, 100, 10), (-60, 180, 30), (80, 9, 0)]


@pytest.mark.parametrize(("start", "turn", "past"), SWEEPS)
def test_how_far_past_plumb(start: float, turn: float, past: float) -> None:
    # An arc of radius 5 that sets out on a heading and turns to the left.
    first = (5 * cos(radians(start - 90)), 5 * sin(radians(start - 90)))
    last = (5 * cos(radians(start + turn - 90)), 5 * sin(radians(start + turn - 90)))
    assert past_plumb_deg(Arc(first, last, (0, 0), ccw=True)) == pytest.approx(past, abs=1e-9)


COORDINATES = st.tuples(st.integers(-9, 9), st.integers(-9, 9))


@st.composite
def segments(draw: st.DrawFn) -> Segment:
    start, end, middle = draw(st.lists(COORDINATES, min_size=3, max_size=3, unique=True))
    try:
        return arc_through(start, middle, end) if draw(st.booleans()) else Line(start, end)
    except ValueError:
        return Line(start, end)


def chain(segment: Segment) -> LineString:
    return LineString([segment.point(i / 2000) for i in range(2001)])


@settings(deadline=None, max_examples=200)
@given(segments(), segments())
def test_segments_meet_where_shapely_says(one: Segment, two: Segment) -> None:
    # shapely has only chords: within their sagitta a touch may be a miss, and the other way about.
    apart = chain(one).distance(chain(two))
    found = meetings(one, two)
    if apart > 0.02:
        assert not found
    if chain(one).crosses(chain(two)):
        assert found
    for p in found:
        assert max(distance_to(one, p), distance_to(two, p)) < 1e-6


def distance_to(segment: Segment, p: Point) -> float:
    """Return the distance of a point from a segment by its fine chords, less what these stand off it."""
    from shapely import Point as Spot

    return max(chain(segment).distance(Spot(p)) - 2e-4 * segment.length, 0.0)
