"""Corners, bulges and the chain that pieces make: against closed forms, and against any order of drawing."""

from __future__ import annotations

from itertools import pairwise
from math import atan2, degrees, pi, tan
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cad.errors import ProfileError
from cad.outline import Arc, Line, Segment
from cad.profiles.bulges import bulge_of, corners_of, path_of, segment_of, set_level
from cad.profiles.chain import JOIN_MM, MOST_PIECES, MOST_SEGMENTS, chained
from cad.profiles.drawing import Piece


@pytest.mark.parametrize("included_deg", [30, 60, 90, 120, 180, 270])
def test_a_bulge_is_the_tangent_of_a_quarter_of_the_angle(included_deg: float) -> None:
    """DXF reference, LWPOLYLINE, code 42: 0 is straight, 1 a half circle, counter-clockwise when positive.

    Chord and height of the segment of a circle: formulas of Machinery's Handbook, 31st ed.
    """
    bulge = tan(included_deg / 180 * pi / 4)
    arc = segment_of((2.0, 3.0), (8.0, 11.0), bulge)
    assert isinstance(arc, Arc) and arc.ccw
    assert degrees(arc.turn) == pytest.approx(included_deg)
    middle, chord = arc.point(0.5), 10.0
    # To the right of the way from start to end, by half the chord times the bulge.
    assert middle == pytest.approx((5 + 0.8 * bulge * chord / 2, 7 - 0.6 * bulge * chord / 2))
    assert arc.radius == pytest.approx(chord * (1 + bulge**2) / (4 * bulge))
    assert bulge_of(arc) == pytest.approx(bulge)
    assert bulge_of(arc.reversed()) == pytest.approx(-bulge)


def test_a_bulge_of_nothing_is_a_line() -> None:
    assert isinstance(segment_of((0.0, 0.0), (10.0, 0.0), 0.0), Line)
    assert isinstance(segment_of((0.0, 0.0), (10.0, 0.0), 1e-9), Line)


def test_a_profile_is_laid_from_left_to_right_on_its_lowest_point() -> None:
    corners = ((30.0, 12.0, 1.0), (20.0, 12.0, 0.0), (10.0, 15.0, 0.0))
    laid = set_level(corners)
    # Turned about, the half circle from 20 to 30 runs clockwise; its crown is up, its ends are the lowest.
    assert laid == ((0.0, 3.0, 0.0), (10.0, 0.0, -1.0), (20.0, 0.0, 0.0))


heights = st.integers(-40, 40).map(lambda n: n / 8)
bulges = st.integers(-8, 8).map(lambda n: n / 12)


@st.composite
def profiles(draw: st.DrawFn) -> list[Segment]:
    """Draw by lot a chain of lines and arcs whose corners lie well apart."""
    steps = draw(st.lists(st.tuples(st.integers(8, 40), heights, bulges), min_size=1, max_size=8))
    place, segments = (0.0, draw(heights)), []
    for run, height, bulge in steps:
        onward = (place[0] + run / 4, height)
        segments.append(segment_of(place, onward, bulge))
        place = onward
    return segments


@settings(max_examples=60, deadline=None)
@given(segments=profiles(), seed=st.integers(0, 999))
def test_pieces_make_one_chain_in_whatever_order_they_were_drawn(segments: list[Segment], seed: int) -> None:
    lot = Random(seed)
    pieces = []
    for place, segment in enumerate(segments):
        # As a file may have it: ends off by less than counts, the sense of travel as it came.
        off = segment.moved(lot.uniform(-1, 1) * JOIN_MM / 4, lot.uniform(-1, 1) * JOIN_MM / 4)
        pieces.append(Piece(f"piece {place}", (off.reversed() if lot.random() < 0.5 else off,)))
    lot.shuffle(pieces)
    chain = chained(pieces, 0.02)
    found, wanted = set_level(chain.corners), set_level(corners_of(segments))
    assert len(found) == len(wanted)
    for one, two in zip(found, wanted, strict=True):
        assert one[:2] == pytest.approx(two[:2], abs=JOIN_MM)
        assert one[2] == pytest.approx(two[2], abs=1e-9)
    names = chain.names if chain.corners[0][0] < chain.corners[-1][0] else chain.names[::-1]
    assert names == tuple(f"piece {place}" for place in range(len(segments)))


def piece(name: str, *corners: tuple[float, float]) -> Piece:
    return Piece(name, tuple(Line(p, q) for p, q in pairwise(corners)))


def faulty(*pieces: Piece) -> ProfileError:
    with pytest.raises(ProfileError) as caught:
        chained(pieces, 0.02)
    assert caught.value.problem and caught.value.cure
    return caught.value


def test_nothing_drawn_is_refused() -> None:
    assert "nothing is drawn" in str(faulty())


def test_a_gap_is_named_with_its_width_and_both_its_sides() -> None:
    error = faulty(piece("a", (0, 0), (5, 0)), piece("b", (5.3, 0.4), (9, 1)), piece("c", (9, 1), (12, 0)))
    assert error.place == "a"
    assert "between a and b there is a gap of 0.5 mm at (5.00, 0.00)" in error.problem


def test_a_gap_as_small_as_rounding_is_closed_in_the_middle() -> None:
    chain = chained([piece("a", (0, 0), (5, 0)), piece("b", (5.01, 0), (9, 1))], 0.02)
    assert chain.corners[1][:2] == pytest.approx((5.005, 0))


def test_two_profiles_in_one_file_are_refused() -> None:
    error = faulty(piece("a", (0, 0), (5, 0)), piece("b", (0, 20), (5, 20)))
    assert "the profile is in 2 parts" in error.problem


@pytest.mark.parametrize(
    "pieces",
    [
        [piece("a", (0, 0), (5, 0), (5, 5), (0, 0))],
        [piece("a", (0, 0), (5, 0)), piece("b", (5, 0), (5, 5)), piece("c", (5, 5), (0, 0))],
    ],
)
def test_a_closed_line_is_refused(pieces: list[Piece]) -> None:
    assert "closed" in faulty(*pieces).problem


def test_a_frame_beside_the_profile_is_refused_by_name() -> None:
    error = faulty(piece("a", (0, 0), (5, 0)), piece("frame", (9, 9), (12, 9), (12, 12), (9, 9)))
    assert error.place == "frame"


def test_a_branch_is_refused_with_all_that_meet_there() -> None:
    error = faulty(piece("a", (0, 0), (5, 0)), piece("b", (5, 0), (9, 1)), piece("c", (5, 0), (9, -1)))
    assert "branches at (5.00, 0.00)" in error.problem and "b, c" in error.problem


def test_what_is_drawn_twice_is_refused() -> None:
    error = faulty(piece("a", (0, 0), (5, 0)), piece("b", (5, 0), (9, 1)), piece("c", (9, 1), (5, 0)))
    assert error.place == "c" and "drawn twice" in error.problem


def test_what_has_no_length_is_refused() -> None:
    assert "no length" in faulty(piece("a", (0, 0), (5, 0), (5, 0.001), (9, 0))).problem


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), 1e9, -1e200])
def test_coordinates_beyond_all_drawing_are_refused(bad: float) -> None:
    error = faulty(piece("a", (0, 0), (bad, 0)), piece("b", (5, 0), (9, 1)))
    assert error.place == "a" and "coordinate" in error.problem


def test_too_many_pieces_and_segments_are_refused() -> None:
    dots = [piece(f"p{n}", (n, 0), (n + 1, n % 2)) for n in range(MOST_PIECES + 1)]
    assert f"more than {MOST_PIECES}" in faulty(*dots).problem
    long = piece("traced", *[(float(n), n % 2) for n in range(MOST_SEGMENTS + 2)])
    assert f"more than {MOST_SEGMENTS} lines and arcs" in faulty(long).problem


def test_the_turn_of_an_arc_survives_the_way_to_corners_and_back() -> None:
    arc = Arc((0.0, 5.0), (10.0, 5.0), (5.0, 5.0), ccw=True)
    (back,) = path_of(corners_of([arc]))
    assert isinstance(back, Arc)
    assert back.centre == pytest.approx((5, 5)) and degrees(back.turn) == pytest.approx(180)
    assert atan2(back.point(0.5)[1], back.point(0.5)[0]) == pytest.approx(0, abs=1e-9)
