"""Paths of the cutter by themselves: lengths, ramps, tabs, holes, floors, passes of a ball, words.

The words and the tolerance of arcs are those of RS274/NGC, version 3 (NIST), section 3.5.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import atan2, degrees, hypot, pi, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, box, get_coordinates, unary_union

from cad.errors import OutputError
from cad.formulas.routing import ball_step_mm, chip_mm, chip_range_mm, drill_point_mm, feed_mm, ramp_length_mm
from cad.geometry.cuts import Operation, Planform
from cad.outline import Arc, Line, Path, polygon
from cad.routing.contours import contour, tab_spans
from cad.routing.flat import sheet_holding
from cad.routing.gcode import ARC_TOLERANCE_MM, minutes, program_text
from cad.routing.holes import bored, drilled, is_bored
from cad.routing.model import CannotCutError, Cutter, Driving, Move, Stock
from cad.routing.offsets import inside, outside, region
from cad.routing.passes import finishing
from cad.routing.pockets import cleared, room_for
from cad.routing.section import Section
from cad.routing.track import Track, along, levels, rounds, sinking
from cad.spec.router import Router
from tests.planes import plan_of, spec_text
from tests.routes import steps, swept, touched, words

FLAT = Cutter("flat", 6.0, 22.0)
DRIVING = Driving(16000, 2400, 700)
STADIUM = Path(
    (
        Line((0.0, 0.0), (40.0, 0.0)),
        Arc((40.0, 0.0), (40.0, 20.0), (40.0, 10.0), ccw=True),
        Line((40.0, 20.0), (0.0, 20.0)),
        Arc((0.0, 20.0), (0.0, 0.0), (0.0, 10.0), ccw=True),
    )
)


def router(extra: str = "") -> Router:
    return plan_of(spec_text("round", 16, 60, 50, "right") + f"[shop.router]\n{extra}\n").spec.shop.router


def text_of(moves: tuple[Move, ...], extra: str = "") -> str:
    return program_text((), moves, DRIVING, router(extra))


# --- formulas --------------------------------------------------------------------------------------------


@given(st.floats(0.01, 0.5), st.floats(1.0, 15.0))
def test_ball_step_leaves_the_ridge_asked_for(scallop: float, radius: float) -> None:
    """The ridge between circles of radius R with centres s apart: R - sqrt(R² - s²/4), by Pythagoras."""
    step = ball_step_mm(scallop, radius)
    assert radius - sqrt(radius**2 - step**2 / 4) == pytest.approx(scallop, rel=1e-6)


def test_chip_and_feed_are_each_others_inverse() -> None:
    """Feed = chip × edges × speed: Machinery's Handbook, milling, from memory."""
    assert chip_mm(2400, 16000, 2) == pytest.approx(0.075)
    assert feed_mm(0.075, 16000, 2) == pytest.approx(2400)


@pytest.mark.parametrize("material", ["MDF", "plywood", "hard maple", "acrylic"])
def test_chips_grow_with_the_cutter(material: str) -> None:
    low, high = zip(*(chip_range_mm(material, d) for d in (1, 3, 4.5, 6, 9, 12, 20)), strict=True)
    assert list(low) == sorted(low) and list(high) == sorted(high)
    assert all(a < b for a, b in zip(low, high, strict=True))


def test_point_of_a_drill_and_a_ramp() -> None:
    assert drill_point_mm(10, 90) == pytest.approx(5)
    assert ramp_length_mm(1, 45) == pytest.approx(1)


# --- tracks ----------------------------------------------------------------------------------------------


@given(st.floats(-300, 300), st.floats(0.01, 400))
def test_a_stretch_is_as_long_as_asked_and_joined(first: float, length: float) -> None:
    track = Track(STADIUM)
    found = Path(track.stretch(first, first + length))  # a Path refuses parts that do not join
    assert found.length == pytest.approx(length, abs=1e-4)


def test_a_stretch_backwards_is_the_same_way_back() -> None:
    track = Track(STADIUM)
    there, back = track.stretch(10, 70), track.stretch(70, 10)
    assert tuple(one.reversed() for one in reversed(back)) == there


def test_rounds_ramp_no_steeper_than_asked_and_end_at_depth() -> None:
    moves, _ = rounds(Track(STADIUM), (-3.0, -6.0), 5.0)
    at, steepest = (*STADIUM.start, 0.5), 0.0
    for step in steps(text_of((Move((*STADIUM.start, 6.0), rapid=True), Move(at, rapid=True), *moves))):
        fall = step.points[0][2] - step.points[-1][2]
        if step.word and fall > 1e-3:
            steepest = max(steepest, degrees(atan2(fall, LineString([p[:2] for p in step.points]).length)))
    assert steepest == pytest.approx(5, abs=0.01)
    assert moves[-1].to[2] == -6


@pytest.mark.parametrize("room", [10.0, 35.0, 200.0])
def test_sinking_between_two_places_stays_there_and_ends_at_the_last(room: float) -> None:
    track = Track(polygon([(0.0, 0.0), (300.0, 0.0), (300.0, 50.0), (0.0, 50.0)]))
    moves = sinking(track, 5.0, 5.0 + room, 0.0, -3.0, 5.0)
    assert all(5 - 1e-9 <= move.to[0] <= 5 + room + 1e-9 for move in moves)
    assert moves[-1].to == pytest.approx((5 + room, 0, -3))
    at_depth = [move.to[0] for move in moves if move.to[2] < -3 + 1e-9]
    assert min(at_depth) == pytest.approx(5) and max(at_depth) == pytest.approx(5 + room)


@given(st.floats(0.5, 40), st.floats(0.3, 9))
def test_levels_are_even_and_none_too_deep(depth: float, step: float) -> None:
    found = (0.0, *levels(0.0, -depth, step))
    drops = -np.diff(found)
    assert found[-1] == pytest.approx(-depth)
    assert drops.max() <= step + 1e-9 and np.ptp(drops) < 1e-9


# --- contours --------------------------------------------------------------------------------------------


def test_lines_and_arcs_stay_lines_and_arcs_beside_the_plate() -> None:
    around = outside(STADIUM, FLAT).path
    assert [type(one) for one in around] == [Line, Arc, Line, Arc]
    assert {round(one.radius, 9) for one in around if isinstance(one, Arc)} == {13.0}
    assert inside(STADIUM, FLAT).path.area == pytest.approx(-(40 * 14 + pi * 49))


def test_outline_too_fine_for_the_cutter_is_refused_with_its_place() -> None:
    notched = polygon([(0, 0), (50, 0), (50, 30), (27, 30), (27, 10), (23, 10), (23, 30), (0, 30)])
    with pytest.raises(CannotCutError, match=r"notch of the outline at 2[3-7]\.\d.* cutter of 6 mm"):
        outside(notched, FLAT)
    assert len(outside(notched, Cutter("flat", 3.0, 22.0)).corners) == 2


def test_small_steps_that_fold_the_parallel_are_left_to_polygons() -> None:
    """A side of 0.5 mm between two rounded inside corners is taken up wholly by the parallel."""
    stepped = Path(
        (
            *(
                Line((0.0, 0.0), (60.0, 0.0)),
                Line((60.0, 0.0), (60.0, 20.0)),
                Line((60.0, 20.0), (50.0, 20.0)),
            ),
            *(
                Line((50.0, 20.0), (50.0, 20.5)),
                Line((50.0, 20.5), (40.0, 20.5)),
                Line((40.0, 20.5), (40.0, 21.0)),
            ),
            *(Line((40.0, 21.0), (0.0, 21.0)), Line((0.0, 21.0), (0.0, 0.0))),
        )
    )
    way = outside(stepped, FLAT)
    cut = LineString(way.path.points(0.001)).buffer(3, quad_segs=64)
    assert cut.intersection(region(stepped)).area < 0.01
    left = region(stepped).buffer(1.0).difference(region(stepped).buffer(0.03)).difference(cut)
    corners = unary_union([Polygon(corner.ring) for corner in way.corners])
    assert left.difference(corners).area < 0.02


def test_square_inside_corners_are_left_round_and_said() -> None:
    shape = polygon([(0, 0), (60, 0), (60, 20), (30, 20), (30, 40), (0, 40)])
    (corner,) = outside(shape, FLAT).corners
    assert Polygon(corner.ring).area == pytest.approx(9 * (1 - pi / 4), abs=0.9)
    assert Polygon(corner.ring).distance(Point(30, 20)) < 0.1


@pytest.mark.parametrize("direction", ["conventional", "climb"])
@pytest.mark.parametrize("size", [(400.0, 200.0), (60.0, 30.0), (18.0, 14.0)])
def test_a_contour_goes_through_all_but_its_tabs(size: tuple[float, float], direction: str) -> None:
    wide, high = size
    plate = polygon([(20, 20), (20 + wide, 20), (20 + wide, 20 + high), (20, 20 + high)])
    spec = router(f'direction = "{direction}"')
    around = outside(plate, FLAT).path
    made = contour(around if direction == "conventional" else around.reversed(), 12.0, FLAT, spec)
    text = text_of(made.moves)
    assert touched(text, 3, 0.0).intersection(region(plate)).area < 0.5, "it cuts into the plate"
    through = swept(text, 3, -12.2)
    tabs = unary_union([Polygon(tab.ring) for tab in made.tabs])
    kerf = region(plate).buffer(5.9).difference(region(plate).buffer(0.05))
    assert kerf.difference(through).difference(tabs).area < 0.5, "it leaves more than its tabs"
    assert len(made.tabs) >= 2 or max(size) < 20
    for tab in made.tabs:
        left = kerf.difference(through).intersection(Polygon(tab.ring))
        sides = sorted((left.bounds[2] - left.bounds[0], left.bounds[3] - left.bounds[1]))
        assert sides[0] == pytest.approx(5.85, abs=0.1) and sides[1] >= spec.tab_width
        assert tab.top == pytest.approx(-9)


def test_tabs_keep_apart_and_find_straight_parts() -> None:
    track = Track(outside(STADIUM, FLAT).path)
    spans = tab_spans(track, 12.0, 200.0)
    assert len(spans) >= 2
    for low, high in spans:
        assert high - low == pytest.approx(12)
        assert len(track.stretch(low, high)) == 1 and isinstance(track.stretch(low, high)[0], Line)
    for one, two in pairwise(spans):
        assert two[0] - one[1] >= 12 - 1e-9


def test_tabs_of_a_half_disc_keep_apart_though_one_side_alone_is_straight() -> None:
    disc = Path((Arc((0.0, 32.0), (0.0, 0.0), (0.0, 16.0), ccw=True), Line((0.0, 0.0), (0.0, 32.0))))
    track = Track(outside(disc, FLAT).path)
    one, two = tab_spans(track, 12.0, 200.0)
    assert two[0] - one[1] >= 12 and (one[0] - two[1]) % track.length >= 12


def test_a_contour_with_no_room_for_tabs_has_none() -> None:
    assert tab_spans(Track(polygon([(0, 0), (5, 0), (5, 5), (0, 5)])), 12.0, 200.0) == ()


@pytest.mark.parametrize(("direction", "turn"), [("conventional", "G2"), ("climb", "G3")])
def test_direction_turns_a_bore(direction: str, turn: str) -> None:
    """With the spindle clockwise (M3) climb milling keeps the wall on the right, so turns left in a hole."""
    text = text_of(bored((50, 50), 10, 12.2, FLAT, router(f'direction = "{direction}"')))
    assert {line[:2] for line in text.splitlines() if line[:2] in ("G2", "G3")} == {turn}


# --- holes and floors ------------------------------------------------------------------------------------


@pytest.mark.parametrize("diameter", [8.0, 10.0, 11.5, 20.0, 39.0])
def test_a_bore_is_as_wide_as_asked_and_sinks_on_a_helix(diameter: float) -> None:
    text = text_of(bored((50, 50), diameter, 12.2, FLAT, router()))
    hole = Point(50, 50).buffer(diameter / 2, quad_segs=100)
    made = swept(text, 3, -12.2)
    assert hole.difference(made).buffer(-0.01).is_empty and made.difference(hole).buffer(-0.01).is_empty
    for step in steps(text):
        fall = step.points[0][2] - step.points[-1][2]
        assert step.word == 0 or fall <= 1e-9 or step.radii is not None, "it goes straight down"


def test_a_drill_pecks_and_never_rushes_into_wood() -> None:
    deepest = 0.5
    for step in steps(text_of(drilled((20, 30), 4.5, 13.6, router()))):
        if step.word == 0:
            assert step.lowest >= deepest - 1e-9 or step.points[1][2] > step.points[0][2]
        else:
            assert deepest - step.lowest <= 1.5 * 4.5 + 0.5 + 1e-6
            assert step.feed == pytest.approx(DRIVING.down)
        deepest = min(deepest, step.lowest) if step.word else deepest
    assert deepest == pytest.approx(-13.6)
    assert is_bored(8, FLAT) and not is_bored(6.6, FLAT)


@pytest.mark.parametrize(
    "floor",
    [
        polygon([(10, 10), (70, 10), (70, 40), (10, 40)]),
        polygon([(10, 10), (70, 10), (70, 25), (40, 25), (40, 60), (10, 60)]),
        STADIUM,
    ],
)
def test_a_floor_is_cleared_to_its_walls(floor: Path) -> None:
    area = region(floor)
    room, corners = room_for(area, area.buffer(30).difference(area), FLAT)
    text = text_of(cleared(room, 4.0, FLAT, router()))
    made, left = swept(text, 3, -4.0), unary_union([Polygon(corner.ring) for corner in corners])
    assert area.difference(made).difference(left).buffer(-0.025).is_empty
    assert touched(text, 3, 0.0).difference(area).area < 0.05
    assert len(corners) == {4: 4, 6: 5}[len(floor.segments)] if floor is not STADIUM else not corners


def test_the_wall_of_a_pocket_is_cut_in_true_arcs() -> None:
    around = polygon([(-40, -30), (90, -30), (90, 60), (-40, 60)])
    cuts = (Operation("pocket", 4.0, STADIUM), Operation("outside", 12.0, around, through=True))
    plate = Planform("trial", 12.0, tuple(replace(c, path=c.path.moved(60, 50)) for c in cuts))
    text = sheet_holding("sheet", Stock(200, 150, 12), (plate,), router()).programs[-1].text
    radii = [round(step.radii[0], 3) for step in steps(text) if step.radii and -4.01 < step.lowest < -3.99]
    assert radii.count(7.0) >= 2
    area = region(STADIUM.moved(60, 50))
    over = touched(text, 3, 0.0).intersection(area.buffer(10))
    assert over.difference(area).buffer(-0.01).is_empty
    assert area.difference(swept(text, 3, -4.0)).buffer(-0.01).is_empty


def test_a_floor_narrower_than_the_cutter_is_refused() -> None:
    area = region(polygon([(0, 0), (40, 0), (40, 5), (0, 5)]))
    with pytest.raises(CannotCutError, match="too narrow for a cutter of 6 mm"):
        room_for(area, area.buffer(20).difference(area), FLAT)


# --- passes of a ball ------------------------------------------------------------------------------------


@pytest.mark.parametrize("hollow", [True, False])
@pytest.mark.parametrize("scallop", [0.02, 0.1])
def test_ridges_of_a_ball_stay_within_the_scallop(hollow: bool, scallop: float) -> None:
    """What circles at the chosen places leave of a trough or a bead of radius 20, by shapely."""
    rise = 20 - sqrt(20**2 - 15**2)
    z, centre = (0.0, (15.0, sqrt(20**2 - 15**2))) if hollow else (-rise, (15.0, -20.0))
    arc = Arc((30.0, z), (0.0, z), centre, ccw=not hollow)
    block = Path(
        (Line((0.0, -30.0), (30.0, -30.0)), Line((30.0, -30.0), arc.start), arc, Line(arc.end, (0.0, -30.0)))
    )
    angles = np.linspace(pi, 2 * pi, 4000)
    cut = unary_union(
        [
            Polygon(
                [
                    (p.y + 3, 9),
                    *reversed([(p.y + 3 * np.cos(a), p.z + 3 + 3 * np.sin(a)) for a in angles]),
                    (p.y - 3, 9),
                ]
            )
            for group in finishing(Section(block), Cutter("ball", 6.0, 25.0), scallop)
            for p in group
        ]
    )
    wood = region(block)
    assert wood.intersection(cut).buffer(-0.003).is_empty, "it cuts into the profile"
    left = box(3, -30, 27, 0).difference(wood).difference(cut)
    highest = max(abs(hypot(x - centre[0], y - centre[1]) - 20) for x, y in get_coordinates(left))
    assert 0.4 * scallop < highest < scallop + 0.004


# --- words -----------------------------------------------------------------------------------------------


def test_an_arc_with_ends_apart_in_radius_is_never_written() -> None:
    crooked = (Move((0, 0, 5), rapid=True), Move((10, 0.0, 5), centre=(5.01, 0.0), ccw=True))
    with pytest.raises(OutputError, match=r"0\.0200 mm apart in radius"):
        text_of(crooked)


@given(st.floats(0.3, 400), st.floats(0, 360), st.floats(1, 180), st.sampled_from(["mm", "in"]))
def test_arcs_keep_their_tolerance_as_written(radius: float, start: float, turn: float, unit: str) -> None:
    a, b = np.radians((start, start + turn))
    centre = (123.45678, 98.76543)
    ends = [(centre[0] + radius * np.cos(w), centre[1] + radius * np.sin(w)) for w in (a, b)]
    moves = (Move((*ends[0], 5.0), rapid=True), Move((*ends[1], 5.0), centre=centre, ccw=True))
    for step in steps(text_of(moves, f'units = "{unit}"')):
        if step.radii:
            assert abs(step.radii[0] - step.radii[1]) < ARC_TOLERANCE_MM
            assert step.radii[0] == pytest.approx(radius, abs=0.002)


def test_inches_are_the_same_moves() -> None:
    moves = bored((50, 50), 10, 12.2, FLAT, router())
    metric, inch = steps(text_of(moves)), steps(text_of(moves, 'units = "in"'))
    for one, two in zip(metric, inch, strict=True):
        assert np.allclose(one.points[-1], two.points[-1], atol=0.001)
        assert one.feed == pytest.approx(two.feed, rel=0.001)


def test_time_is_length_over_feed() -> None:
    moves = (
        Move((0, 0, 5), rapid=True),
        Move((300, 0, 5), rapid=True),
        Move((300, 240, 5)),
        Move((300, 240, -2), down=True),
    )
    assert minutes(moves, DRIVING) == pytest.approx(300 / 3000 + 240 / 2400 + 7 / 700)
    half = (Move((0, 0, 0), rapid=True), *along((Arc((0, 0), (20, 0), (10, 0), ccw=True),), 0.0))
    assert minutes(half, DRIVING) == pytest.approx(10 * pi / 2400)


def test_comments_cannot_break_out_of_their_brackets() -> None:
    text = program_text(("a (b) c",), (Move((0, 0, 5), rapid=True),), DRIVING, router())
    assert text.startswith("(a [b] c)\n")
    assert all(words(line) is not None for line in text.splitlines())
    with pytest.raises(OutputError, match="not ASCII"):
        program_text(("5 × 5",), (Move((0, 0, 5), rapid=True),), DRIVING, router())


@pytest.mark.parametrize(("ccw", "share"), [(True, 0.25), (False, 0.75)])
def test_an_arc_takes_as_long_as_its_own_way_round(ccw: bool, share: float) -> None:
    """From (10, 0) to (0, 10) about 0: a quarter of the circle one way round, three quarters the other."""
    moves = (Move((10.0, 0.0, -1.0)), Move((0.0, 10.0, -1.0), centre=(0.0, 0.0), ccw=ccw))
    assert minutes(moves, Driving(18000, 600, 200)) == pytest.approx(share * 2 * pi * 10 / 600)
    sinking = (moves[0], replace(moves[1], to=(0.0, 10.0, -4.0), down=True))
    assert minutes(sinking, Driving(18000, 600, 200)) == pytest.approx(hypot(share * 2 * pi * 10, 3) / 200)
