"""Circles and the ellipse of a cut cylinder: Machinery's Handbook, 31st ed.; scipy's integrals."""

from __future__ import annotations

import math

import pytest
from scipy import integrate, special
from shapely import Point, Polygon

from cad.formulas import circle, cutting, facets
from cad.outline import Arc

# Machinery's Handbook, 31st ed., segments of circles, r = 1: angle, chord, height, area (computed from its
# formulas to six places).
SEGMENTS = [
    (30, 0.517638, 0.034074, 0.011799),
    (60, 1.0, 0.133975, 0.090586),
    (90, 1.414214, 0.292893, 0.285398),
    (120, 1.732051, 0.5, 0.614185),
    (180, 2.0, 1.0, 1.570796),
]


@pytest.mark.parametrize(("arc", "chord", "height", "area"), SEGMENTS)
def test_segments_agree_with_the_handbook(arc: float, chord: float, height: float, area: float) -> None:
    assert circle.chord_mm(1, arc) == pytest.approx(chord, abs=1e-6)
    assert circle.sagitta_mm(1, circle.chord_mm(1, arc)) == pytest.approx(height, abs=1e-6)
    assert circle.segment_area_mm2(1, arc) == pytest.approx(area, abs=1e-6)
    assert circle.arc_deg(1, min(chord, 2.0)) == pytest.approx(arc, abs=1e-4)


@pytest.mark.parametrize(("arc", "height"), [(30, 0.034074), (120, 0.5), (180, 1.0)])
def test_the_segment_s_area_is_the_integral_under_its_arc(arc: float, height: float) -> None:
    # Independent reference: scipy's quadrature of the circle's own equation.
    half = math.sin(math.radians(arc) / 2)
    area, _ = integrate.quad(lambda y: math.sqrt(max(1 - y * y, 0)) - (1 - height), -half, half)
    assert circle.segment_area_mm2(1, arc) == pytest.approx(area, abs=2e-6)


def test_worked_examples_of_the_handbook() -> None:
    # Machinery's Handbook, 31st ed., p. 79-83: r 60, h 8 gives a chord of 59.86 (rounded from 59.8665);
    # chord 16, h 6 gives r 8 1/3. P. 78: r 35, 60°: arc 36.645 as printed (36.652 exactly).
    assert circle.sagitta_mm(60, 59.8665) == pytest.approx(8, abs=1e-4)
    assert circle.radius_from_chord(16, 6) == pytest.approx(25 / 3, abs=1e-12)
    turned = (35 * math.cos(math.pi / 3), 35 * math.sin(math.pi / 3))
    assert Arc((35.0, 0.0), turned, (0.0, 0.0), ccw=True).length == pytest.approx(36.645, abs=0.01)


def test_a_hole_drawn_with_straight_sides_is_smaller() -> None:
    # Closed form r(1 - cos(pi/N)); r 4, N 32.
    assert facets.facet_loss_mm(4, 32) == pytest.approx(0.0193, abs=5e-5)
    # Shapely's circle of 8 flats a quarter: the middles of its flats.
    flats = Point(0, 0).buffer(4, quad_segs=8).exterior
    assert facets.facet_loss_mm(4, 32) == pytest.approx(4 - flats.distance(Point(0, 0)), abs=1e-9)


@pytest.mark.parametrize(("radius", "within"), [(4, 0.01), (8.5, 0.01), (30, 0.05)])
def test_flats_are_no_fewer_and_no_more_than_they_must(radius: float, within: float) -> None:
    # Against shapely: so many flats stay within the chord's height, one fewer would not.
    count = facets.facets(radius, within, math.pi)

    def stands_off(sides: int) -> float:
        turns = [2 * math.pi * i / sides for i in range(sides)]
        ring = Polygon([(radius * math.cos(a), radius * math.sin(a)) for a in turns]).exterior
        return radius - ring.distance(Point(0, 0))

    assert stands_off(count) <= within < stands_off(count - 1)


@pytest.mark.parametrize(
    ("bed", "perimeter"), [(45, 7.64039558), (50, 7.27446174), (55, 6.99401768), (60, 6.77791761)]
)
def test_the_edge_s_ellipse_has_the_perimeter_of_the_elliptic_integral(bed: float, perimeter: float) -> None:
    # Complete elliptic integral: the values by mpmath, here once more by scipy.
    along = cutting.stretch(bed)
    assert 4 * along * special.ellipe(1 - 1 / along**2) == pytest.approx(perimeter, abs=1e-7)
