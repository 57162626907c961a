"""The closed forms against handbooks, textbooks and independent libraries."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import integrate, optimize, special

from cad.formulas import circle, cutting, grit, sawing, throat, wedging, wood

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
    assert circle.arc_length_mm(35, 60) == pytest.approx(36.645, abs=0.01)


def test_a_chord_longer_than_the_diameter_is_refused() -> None:
    with pytest.raises(ValueError, match="chord"):
        circle.arc_deg(10, 20.1)


def test_turn_is_the_angle_whose_sine_is_the_offset() -> None:
    for across in np.linspace(0, 16, 9):
        assert circle.turn_deg(16, float(across)) == pytest.approx(
            np.degrees(np.arcsin(across / 16)), abs=1e-6
        )


def test_a_hole_drawn_with_straight_sides_is_smaller() -> None:
    # Closed form r(1 - cos(pi/N)); r 4, N 32.
    assert circle.facet_loss_mm(4, 32) == pytest.approx(0.0193, abs=5e-5)


@pytest.mark.parametrize(
    ("bed", "perimeter"), [(45, 7.64039558), (50, 7.27446174), (55, 6.99401768), (60, 6.77791761)]
)
def test_the_edge_s_ellipse_has_the_perimeter_of_the_elliptic_integral(bed: float, perimeter: float) -> None:
    # Complete elliptic integral: the values by mpmath, here once more by scipy.
    along = cutting.stretch(bed)
    assert 4 * along * special.ellipe(1 - 1 / along**2) == pytest.approx(perimeter, abs=1e-7)


def test_the_throat_s_values() -> None:
    # Reckoned by hand from cot(50°) = 0.8390996 and cot(60°) = 0.5773503 of any table of functions.
    assert throat.spread(50, 60) == pytest.approx(0.8390996 - 0.5773503, abs=1e-7)
    assert throat.opening_mm(6.35, 50, 60, 76.2) == pytest.approx(26.29530, abs=1e-5)
    assert throat.along_sole_mm(3.175, 50) == pytest.approx(4.144668, abs=1e-6)
    assert throat.mouth_gap_mm(6.35, 3.175, 50) == pytest.approx(2.205332, abs=1e-6)
    assert throat.relief_rise_mm(6.35, 20) == pytest.approx(26.97148 - 9.525, abs=1e-5)


def test_truing_the_sole_widens_the_mouth() -> None:
    # The same plane with its sole moved up by the depth trued: the opening there is the new mouth.
    trued = 0.8
    wider = throat.opening_mm(6.35, 50, 60, trued) - throat.along_sole_mm(3.175, 50)
    assert throat.gap_after_truing_mm(throat.mouth_gap_mm(6.35, 3.175, 50), trued, 50, 60) == pytest.approx(
        wider
    )


def driving_force(load: float, wedge_deg: float, friction: float) -> float:
    """Return the force that drives a wedge with one inclined face (freeing it: the negative of a load's).

    Engineering Statics (Baker and Haynes), ch. 9.3: P = N [tan(theta + phi) + tan phi].
    """
    phi = math.atan(friction)
    return load * (math.tan(math.radians(wedge_deg) + phi) + math.tan(phi))


def freeing_force(load: float, wedge_deg: float, friction: float) -> float:
    phi = math.atan(friction)
    return load * (math.tan(phi) - math.tan(math.radians(wedge_deg) - phi))


def test_the_wedge_s_limit_is_where_the_force_to_free_it_vanishes() -> None:
    # Textbook exercise: one inclined face of 15°, friction 0.25, load 6000 N: 4831 N in, 1399 N out.
    assert driving_force(6000, 15, 0.25) == pytest.approx(4831, abs=1)
    assert freeing_force(6000, 15, 0.25) == pytest.approx(1399, abs=1)
    for friction in (0.10, 0.15, 0.25):
        limit = optimize.brentq(lambda angle, mu=friction: freeing_force(1, angle, mu), 1, 60)
        assert wedging.widest_holding_deg(friction, friction) == pytest.approx(limit, abs=1e-6)
        assert wedging.least_friction(limit) == pytest.approx(friction, abs=1e-9)


@pytest.mark.parametrize(
    ("friction", "widest"), [(0.10, 11.421), (0.15, 17.062), (0.20, 22.620), (0.30, 33.398)]
)
def test_widest_wedges_that_hold(friction: float, widest: float) -> None:
    # Twice the friction angle, Engineering Statics (Baker and Haynes), ch. 9.3; computed to three places.
    assert wedging.widest_holding_deg(friction, friction) == pytest.approx(widest, abs=5e-4)


def test_a_wedge_of_ten_degrees() -> None:
    # 1 / sin 10° and tan 5° of any table of functions.
    assert wedging.sink_per_shaving(50, 60) == pytest.approx(5.7588, abs=1e-4)
    assert wedging.least_friction(10) == pytest.approx(0.08749, abs=1e-5)


def test_clearance_round_the_arc_is_that_of_the_bevel_over_the_sole() -> None:
    assert cutting.clearance_deg(50, 30, 30) == pytest.approx(17.49524, abs=1e-5)
    assert cutting.clearance_deg(50, 30, 60) == pytest.approx(10.31410, abs=1e-5)
    # By vectors: how far the bevel has left the sole's tangent plane, for its run along the plane.
    for turned in (0.0, 20.0, 47.0, 75.0, 90.0):
        bevel = np.array([np.cos(np.radians(20)), 0, np.sin(np.radians(20))])
        out = np.array([0, -np.sin(np.radians(turned)), np.cos(np.radians(turned))])
        seen = np.degrees(np.arctan2(bevel @ out, bevel[0]))
        assert cutting.clearance_deg(50, 30, turned) == pytest.approx(seen, abs=1e-9)


def test_shaving_is_the_edge_s_way_square_to_the_sole() -> None:
    for turned in (0.0, 30.0, 60.0, 90.0):
        down_bed = -0.1 * np.array([np.cos(np.radians(52)), 0, np.sin(np.radians(52))])
        out = np.array([0, np.sin(np.radians(turned)), -np.cos(np.radians(turned))])
        assert cutting.shaving_mm(0.1, 52, turned) == pytest.approx(down_bed @ out, abs=1e-12)
        assert cutting.shaving_share(turned) == pytest.approx(np.cos(np.radians(turned)), abs=1e-12)


def test_saw_and_blade() -> None:
    assert sawing.set_of_teeth_mm(0.7, 0.5) == pytest.approx(0.1)
    assert sawing.guide_height_mm(50, 16) == 34
    # Half the chord from the handbook's chord of r 60, h 8: a blade of 120 mm standing 8 mm high.
    assert sawing.half_chord_mm(120, 8) == pytest.approx(59.8665 / 2, abs=1e-4)
    with pytest.raises(ValueError, match="cannot stand"):
        sawing.half_chord_mm(120, 61)


def test_grain_sizes_of_the_standard() -> None:
    # FEPA 43 / ISO 6344, median grain in µm (reprints; P400 from memory).
    assert [grit.GRAIN_UM[name] for name in ("P60", "P100", "P120", "P220", "P400")] == [
        269,
        162,
        125,
        68,
        35,
    ]


@pytest.mark.parametrize(
    ("name", "radial", "tangential"),
    [
        ("American beech", 0.0019, 0.00431),
        ("black cherry", 0.00126, 0.00248),
        ("persimmon", 0.00278, 0.00403),
    ],
)
def test_coefficients_of_wood(name: str, radial: float, tangential: float) -> None:
    # Wood Handbook, FPL-GTR-190, table 13-5; and from the shrinkages of its table 4-3.
    species = wood.SPECIES[name]
    assert (species.coefficient("quartered"), species.coefficient("flat")) == (radial, tangential)
    assert species.radial_shrinkage is not None
    assert wood.coefficient_from_shrinkage(species.radial_shrinkage) == pytest.approx(radial, abs=1e-5)


def test_movement_as_in_the_handbook_s_example() -> None:
    # Wood Handbook, ch. 13: 232 mm of flat-grained white fir from 8 to 11 %: + 1.7 mm.
    assert wood.change_mm(232, 0.00245, 8, 11) == pytest.approx(1.7, abs=0.05)
