"""The closed forms against handbooks, textbooks and independent libraries."""

from __future__ import annotations

import numpy as np
import pytest

from cad.formulas import circle, cutting, sawing, throat, wedging


def test_a_chord_longer_than_the_diameter_is_refused() -> None:
    with pytest.raises(ValueError, match="chord"):
        circle.arc_deg(10, 20.1)


def test_turn_is_the_angle_whose_sine_is_the_offset() -> None:
    for across in np.linspace(0, 16, 9):
        assert circle.turn_deg(16, float(across)) == pytest.approx(
            np.degrees(np.arcsin(across / 16)), abs=1e-6
        )


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


@pytest.mark.parametrize(("now", "wanted"), [(50, 60), (62, 58), (45, 90)])
def test_what_a_cure_takes_off_a_face(now: float, wanted: float) -> None:
    """By points and normals: two lines of the side view, and where they stand at a height."""
    along = np.array([np.cos(np.radians(now)), np.sin(np.radians(now))])
    square = np.array([along[1], -along[0]])
    assert throat.square_to_face_mm(0.7, now) == pytest.approx(square @ (0.7, 0.0), abs=1e-12)
    # A face of the same foot: how far its top, 75 mm up, must go to the toe.
    tops = [75 / np.sin(np.radians(turn)) * np.cos(np.radians(turn)) for turn in (now, wanted)]
    assert throat.turn_at_top_mm(75, now, wanted) == pytest.approx(tops[0] - tops[1], abs=1e-9)


def test_what_comes_off_a_sole_for_a_wider_mouth() -> None:
    # The gap where both faces of 50° and 60° stand as far above the sole, less that on the sole.
    off = throat.truing_mm(0.3, 50, 60)
    wider = throat.opening_mm(6.35, 50, 60, off) - throat.opening_mm(6.35, 50, 60, 0)
    assert wider == pytest.approx(0.3, abs=1e-12) and off == pytest.approx(0.3 / 0.2617494, abs=1e-6)
