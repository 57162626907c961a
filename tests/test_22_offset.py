"""Parallel curves: against Steiner's formula, shapely's parallels, and the distance they are named for."""

from __future__ import annotations

from math import cos, pi, radians, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, hausdorff_distance

from cad.errors import OffsetError
from cad.geometry.sanding import BlockSection
from cad.outline import Arc, Line, Path, Point, distance, polygon
from cad.parallel import distance_to, parallel
from cad.soles.flanks import flanked
from tests.mouldings import MOULDINGS, moulding
from tests.planes import plan_of, spec_text

CHORD_MM = 1e-5  # how finely curves are drawn for shapely
SHAPELY_MM = 5e-3  # shapely's buffers leave out points of their source within 1 % of the distance


def stadium(straight: float, radius: float) -> Path:
    """Return two half circles joined by straights, counter-clockwise."""
    return Path(
        (
            Line((0, 0), (straight, 0)),
            Arc((straight, 0), (straight, 2 * radius), (straight, radius), ccw=True),
            Line((straight, 2 * radius), (0, 2 * radius)),
            Arc((0, 2 * radius), (0, 0), (0, radius), ccw=True),
        )
    )


def half_disc(radius: float) -> Path:
    return Path((Line((-radius, 0), (radius, 0)), Arc((radius, 0), (-radius, 0), (0, 0), ccw=True)))


def hexagon(side: float) -> Path:
    return polygon([(side * cos(radians(a)), side * sin(radians(a))) for a in range(0, 360, 60)])


def ogee() -> Path:
    """Return a fillet, a quarter round, a flat, a step up and a quarter hollow: corners of both kinds."""
    return Path(
        (
            Line((0, 8), (3, 8)),
            Arc((3, 8), (11, 0), (11, 8), ccw=True),
            Line((11, 0), (13, 0)),
            Line((13, 0), (13, 3)),
            Arc((13, 3), (22, 12), (22, 3), ccw=False),
            Line((22, 12), (26, 12)),
        )
    )


def smooth_ogee() -> Path:
    """Return a round that runs without a corner into a hollow: two sixths of circles of 12 and 9 mm."""
    a = radians(60)
    turn: Point = (12 * sin(a), 12 - 12 * cos(a))
    centre = (turn[0] + 9 * sin(a), turn[1] - 9 * cos(a))
    return Path(
        (
            Arc((0.0, 0.0), turn, (0.0, 12.0), ccw=True),
            Arc(turn, (centre[0], centre[1] + 9), centre, ccw=False),
        )
    )


def shapely_parallel(path: Path, by: float) -> LineString:
    line = LineString(path.points(CHORD_MM)).offset_curve(-by, quad_segs=2000, join_style="round")
    assert isinstance(line, LineString)
    return line


def apart_from_shapely(path: Path, by: float) -> float:
    ours = LineString(parallel(path, by).path.points(CHORD_MM))
    return float(hausdorff_distance(ours, shapely_parallel(path, by)))


# Parallel curve of a convex outline: A(d) = A + P·d + π·d², P(d) = P + 2π·d (Steiner's formula; textbook).
@pytest.mark.parametrize(
    "outline", [hexagon(7), stadium(20, 6), half_disc(9.525), polygon([(0, 0), (9, 0), (2, 5)])]
)
@pytest.mark.parametrize("by", [0.01, 2.412, 30])
def test_a_convex_outline_grows_as_steiner_says(outline: Path, by: float) -> None:
    grown = parallel(outline, by).path
    assert grown.is_closed
    assert grown.area == pytest.approx(outline.area + outline.length * by + pi * by**2, rel=1e-12)
    assert grown.length == pytest.approx(outline.length + 2 * pi * by, rel=1e-12)


@pytest.mark.parametrize("path", [ogee(), smooth_ogee()])
@pytest.mark.parametrize("by", [0.3, 1.5, 2.4])
def test_soles_of_many_segments_lie_on_shapelys_parallel(path: Path, by: float) -> None:
    assert apart_from_shapely(path, by) < SHAPELY_MM


@pytest.mark.parametrize("form", ["round", "hollow"])
@pytest.mark.parametrize("arc", [45, 60, 125, 140, 160, 180])
def test_soles_with_their_flanks_lie_on_shapelys_parallel(form: str, arc: float) -> None:
    sole = plan_of(spec_text(form, 16, arc, 50, "right")).sole
    assert apart_from_shapely(flanked(sole.path, sole.relief_deg, 12, 10), 2.412) < SHAPELY_MM


@pytest.mark.parametrize("form", MOULDINGS)
@pytest.mark.parametrize("by", [0.4, 1.1])
def test_mouldings_with_their_flanks_lie_on_shapelys_parallel(form: str, by: float) -> None:
    sole = moulding(form).sole
    assert apart_from_shapely(flanked(sole.path, sole.relief_deg, 12, 10), by) < SHAPELY_MM


@settings(max_examples=60, deadline=None)
@given(
    form=st.sampled_from(["round", "hollow"]),
    radius=st.floats(3, 40),
    arc=st.floats(45, 180),
    share=st.floats(0.01, 0.9),
)
def test_every_point_of_a_parallel_is_as_far_off_as_it_says(
    form: str, radius: float, arc: float, share: float
) -> None:
    sole = plan_of(spec_text(form, radius, arc, 50, "right")).sole
    source = flanked(sole.path, sole.relief_deg, 8, 8)
    by = min(share * radius, 5.0)
    fine = LineString(source.points(1e-4))
    for segment in parallel(source, by).path:
        for i in range(9):
            p = segment.point(i / 8)
            assert distance_to(source, p) == pytest.approx(by, abs=1e-6)
            assert fine.distance(LineString([p, p])) == pytest.approx(by, abs=2e-4)


def test_a_round_grows_and_a_hollow_shrinks_by_the_stack() -> None:
    for form, radius in (("round", 18.412), ("hollow", 13.588)):
        sole = plan_of(spec_text(form, 16, 60, 50, "right")).sole
        (moved,) = parallel(sole.path, 2.412).moved
        assert isinstance(moved, Arc)
        assert moved.radius == pytest.approx(radius, abs=1e-12)


def test_flanks_lean_by_the_relief_from_the_edges() -> None:
    sole = plan_of(spec_text("round", 9.525, 180, 50, "right")).sole
    first, *_, last = flanked(sole.path, sole.relief_deg, 6, 10).segments
    # 20 degrees from the vertical: tan 20° = 0.3639702 (any table).
    assert first.start == pytest.approx((-6 * 0.3639702, 9.525 + 6), abs=1e-6)
    assert last.end == pytest.approx((19.05 + 10 * 0.3639702, 9.525 + 10), abs=1e-6)


def test_an_arc_without_room_says_its_radius_and_the_distance() -> None:
    hollow = plan_of(spec_text("hollow", 3, 60, 50, "right")).sole
    for by in (3.0, 3.5):
        with pytest.raises(OffsetError, match=f"no parallel {by:g} mm away.*radius 3 "):
            parallel(hollow.path, by)
    assert parallel(hollow.path, 2.9).path.length == pytest.approx(0.1 * pi / 3)


def test_a_face_taken_up_by_its_neighbours_is_refused() -> None:
    # A floor 4 mm wide between walls that stand 60 degrees up: nothing is left of it at 2·√3 mm.
    slope = 10 / 3**0.5
    trough = polygon([(0, 0), (slope, 10), (slope + 4, 10), (2 * slope + 4, 0)])
    path = Path(trough.segments[:3])
    most = 2 * 3**0.5
    assert parallel(path, most - 0.01).moved[1].length == pytest.approx(0.01 * 2 / 3**0.5, rel=1e-6)
    with pytest.raises(OffsetError, match="nothing is left of the face"):
        parallel(path, most + 0.01)


def test_two_stretches_that_face_each_other_too_closely_are_refused() -> None:
    # Two legs 4 mm apart with a round head of 3 mm between them, wider than the way in.
    keyhole = Path(
        (
            Line((-6, 0), (-2, 0)),
            Line((-2, 0), (-2, 5)),
            Arc((-2, 5), (2, 5), (0, 5 + 5**0.5), ccw=False),
            Line((2, 5), (2, 0)),
            Line((2, 0), (6, 0)),
        )
    )
    assert parallel(keyhole, 1.9)
    with pytest.raises(OffsetError):
        parallel(keyhole, 2.1)


def test_nothing_is_moved_by_nothing_and_nothing_to_the_left() -> None:
    assert parallel(ogee(), 0).path == ogee()
    with pytest.raises(ValueError, match="negative"):
        parallel(ogee(), -1)


@pytest.mark.parametrize(
    ("form", "arc", "quirks"),
    [
        ("round", 60, True),  # the arc leaves the edge 30 degrees below level, the flank at 70: they turn
        ("round", 139.9, True),
        ("round", 140, False),  # 70 and 70: flank and arc run on
        ("round", 180, False),  # plumb, then out by 20 degrees: re-entrant
        ("hollow", 45, True),
        ("hollow", 180, True),
    ],
)
def test_the_turn_at_the_edge_decides_whether_there_is_a_quirk(form: str, arc: float, quirks: bool) -> None:
    sole = plan_of(spec_text(form, 16, arc, 50, "right")).sole
    block = BlockSection(sole, 2.412, 0.412, 10)
    assert block.has_quirks is quirks
    assert len(block.over_sole) == 1
    (over,) = block.over_sole
    if quirks or arc == 140:
        # From edge to edge: each end of the face lies one stack from the edge of the sole.
        assert distance(over.start, sole.path.start) == pytest.approx(2.412, abs=1e-9)
        assert distance(over.end, sole.path.end) == pytest.approx(2.412, abs=1e-9)
    else:
        # The two faces meet, in the mitre of the corner.
        assert distance(block.plate_land.end, over.start) < 1e-9
        assert distance(over.start, sole.path.start) == pytest.approx(2.412 / cos(radians(10)), abs=0.01)
