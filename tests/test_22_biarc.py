"""Ellipses as tangent arcs, against the exact ellipse by scipy."""

from __future__ import annotations

from itertools import pairwise
from math import cos, hypot, radians, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from cad.geometry.biarc import tangent_arcs
from cad.geometry.iron import EdgeArc
from cad.outline import Arc, Segment, distance
from tests.planes import plan_of, spec_text


def edge_of(form: str, radius: float, arc: float, bed: float) -> EdgeArc:
    (edge,) = plan_of(spec_text(form, radius, arc, bed, "right")).iron.edge()
    assert isinstance(edge, EdgeArc)
    return edge


def off_the_ellipse(edge: EdgeArc, p: tuple[float, float]) -> float:
    """Return the distance of a point from the whole ellipse, by minimising over its parameter."""
    v, u = p[0] - edge.centre[0], p[1] - edge.centre[1]

    def apart(a: float) -> float:
        return hypot(edge.across * cos(a) - v, edge.along * sin(a) - u)

    guess = np.arctan2(u / edge.along, v / edge.across)
    return float(minimize_scalar(apart, bounds=(guess - 0.3, guess + 0.3), method="bounded").fun)


def headings(segments: tuple[Segment, ...]) -> list[tuple[float, float]]:
    return [(s.heading_deg(0.0), s.heading_deg(1.0)) for s in segments]


@settings(max_examples=20, deadline=None)
@given(
    form=st.sampled_from(["round", "hollow"]),
    radius=st.integers(6, 80).map(lambda n: n / 2),
    arc=st.integers(45, 180),
    bed=st.integers(45, 60),
)
def test_arcs_stay_near_the_ellipse_and_meet_in_tangents(
    form: str, radius: float, arc: float, bed: float
) -> None:
    edge = edge_of(form, radius, arc, bed)
    found = tangent_arcs(edge)
    assert found[0].start == pytest.approx(edge.start, abs=1e-9)
    assert found[-1].end == pytest.approx(edge.end, abs=1e-9)
    for one, two in pairwise(found):
        assert distance(one.end, two.start) < 1e-9
    for (_, leaves), (enters, _) in pairwise(headings(found)):
        assert abs((leaves - enters + 180) % 360 - 180) < 1e-4
    spots = [segment.point(share) for segment in found for share in np.linspace(0, 1, 9)]
    assert max(off_the_ellipse(edge, spot) for spot in spots) <= 0.005 * 1.05
    assert len(found) <= 32, "few enough for a drawing"


def test_length_agrees_with_the_elliptic_integral() -> None:
    """Perimeter with semi-axes 1 and 1/sin 50°: 7.27446174, complete elliptic integral by mpmath."""
    edge = edge_of("round", 10, 180, 50)
    length = sum(segment.length for segment in tangent_arcs(edge, 1e-4))
    assert length == pytest.approx(10 * 7.27446174 / 2, abs=1e-3)


def test_end_tangents_are_those_of_the_ellipse() -> None:
    edge = edge_of("round", 16, 60, 50)
    first = tangent_arcs(edge)[0]
    # At -30° round the circle the slope of the ellipse is tan 30° / sin 50°.
    slope = -np.tan(radians(30)) / sin(radians(50))
    assert np.tan(radians(first.heading_deg(0))) == pytest.approx(slope, rel=1e-6)


def test_a_circle_stays_one_circle() -> None:
    circle = EdgeArc((10.0, 0.0), (0.0, 10.0), (0.0, 0.0), 10.0, 10.0, ccw=True)
    for segment in tangent_arcs(circle, 1e-9):
        assert isinstance(segment, Arc)
        assert segment.radius == pytest.approx(10, abs=1e-9)
        assert segment.centre == pytest.approx((0, 0), abs=1e-9)


def test_the_impossible_is_refused() -> None:
    with pytest.raises(ValueError, match="within 1e-20 mm"):
        tangent_arcs(edge_of("round", 16, 60, 50), 1e-20)
