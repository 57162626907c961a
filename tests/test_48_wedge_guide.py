"""The wedge guide: its angle and its stops as read back from STEP, and the wedge that comes out of it."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin, tan
from pathlib import Path as FilePath

import cadquery as cq
import pytest
from cadquery import Location, Solid, Vector
from hypothesis import given, settings

from cad.geometry import Plan
from cad.geometry.wedge_guide import WedgeGuide
from cad.kernel.measure import extent, shared_mm3
from cad.parts import build_part
from fixtures.bench.model import CutFigures, Declined, Fixture, Scene
from fixtures.bench.proof import prove
from fixtures.bench.workshop import build_fixture
from tests.planes import plan_of, spec_text, specs


def guide(plan: Plan, lettered: bool = False) -> Fixture:
    fixture = build_fixture("wedge_guide", plan, lettered)
    assert isinstance(fixture, Fixture), fixture
    return fixture


def plan_for(bed: float, wedge: float, hand: str = "right", more: str = "") -> Plan:
    return plan_of(spec_text("round", 16, 60, bed, hand, wedge=wedge) + more)


def made_of(plan: Plan, solid: Solid) -> CutFigures:
    """Return the cut that a solid in the place of the guide gives."""
    fixture = guide(plan)
    (cut,) = prove(replace(fixture, pieces=(replace(fixture.pieces[0], solid=solid),)), plan).cuts
    return cut


def read_back(solid: Solid, to: FilePath) -> Solid:
    cq.exporters.export(cq.Workplane(obj=solid), str(to))
    (read,) = cq.importers.importStep(str(to)).solids().vals()
    assert read.isValid()
    return read


def test_the_guide_is_proved_on_the_demos(demo: Plan) -> None:
    proof = prove(guide(demo), demo)
    assert proof.passes, proof.failures
    assert proof.work == "wedge"
    assert proof.shared_mm3 == 0
    (cut,) = proof.cuts
    assert cut.angle_deg == pytest.approx(demo.throat.front_deg - demo.throat.bed_deg, abs=1e-6)
    assert cut.offset_mm < 1e-6
    assert all(one.area_mm2 > 10 for one in proof.contacts)


@settings(max_examples=8, deadline=None)
@given(specs())
def test_the_guide_is_proved_over_the_range_of_planes(text: str) -> None:
    plan = plan_of(text)
    proof = prove(guide(plan), plan)
    assert proof.passes, proof.failures


@pytest.mark.parametrize(("bed", "wedge"), [(45, 8), (50, 10), (60, 14)])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_floor_and_bearings_read_back_at_the_wedges_angle(
    bed: float, wedge: float, hand: str, tmp_path: FilePath
) -> None:
    plan = plan_for(bed, wedge, hand)
    solid = read_back(guide(plan).pieces[0].solid, tmp_path / "guide.step")
    front = radians(bed + wedge)
    out, off_bed = Vector(-sin(front), 0, cos(front)), Vector(-sin(radians(bed)), 0, cos(radians(bed)))
    top = max(face.Center().dot(out) for face in solid.Faces())
    bearings = [
        f for f in solid.Faces() if f.normalAt().dot(out) > 1 - 1e-9 and f.Center().dot(out) > top - 1e-6
    ]
    assert len(bearings) == 2
    floors = [f for f in solid.Faces() if f.normalAt().dot(off_bed) > 1 - 1e-9]
    assert floors
    lean = max(floors, key=lambda f: float(f.Area())).normalAt().getAngle(bearings[0].normalAt())
    assert lean == pytest.approx(radians(wedge), abs=1e-7)


# Planing δ off one face lets a wedge sink δ / sin(angle) further: 5.76 mm a millimetre at 10° (trigonometry).
@pytest.mark.parametrize(("angle", "longer"), [(8, 8), (10, 6), (14, 5)])
def test_the_blank_is_started_long_by_what_a_millimetre_of_fitting_takes(angle: float, longer: float) -> None:
    plan = plan_for(50, angle)
    made = WedgeGuide(plan.wedge, 0.2)
    assert made.started_long == longer
    assert made.started_long >= 1 / sin(radians(angle)) > made.started_long - 1
    length, width, thick = made.blank
    (low, high) = extent(build_part("wedge", plan).solid)
    assert width == pytest.approx(high[1] - low[1], abs=1e-9)
    assert length == pytest.approx(plan.wedge.strike_u - plan.wedge.tip_u + longer, abs=1e-9)
    assert thick >= plan.wedge.thickness(plan.wedge.front_exit_u)


def test_a_squared_blank_drops_in_and_comes_out_as_the_wedge(demo: Plan) -> None:
    """Saw the blank with a half space at the bearings, and lay the wedge's own solid beside it."""
    made = WedgeGuide(demo.wedge, demo.spec.shop.printer.clearance)
    wedge, solid = build_part("wedge", demo).solid, guide(demo).pieces[0].solid
    length, width, thick = made.blank
    iron = demo.iron
    (_, y0, _) = extent(wedge)[0]
    origin = Vector(*iron.origin) + Vector(*iron.up_bed) * demo.wedge.tip_u
    # The normal of this plane, up × off, looks to the plate: sweep it the other way.
    up = Vector(*iron.up_bed)
    plane = cq.Plane(Vector(origin.x, y0, origin.z), up, up.cross(Vector(*iron.off_bed)))
    way = 1 if plane.zDir.y > 0 else -1
    blank = cq.Workplane(plane).rect(length, thick, centered=False).extrude(way * width).val()
    assert shared_mm3(blank, wedge) == pytest.approx(wedge.Volume(), rel=1e-6)
    assert shared_mm3(blank, solid) < 1e-3
    (cut,) = guide(demo).set_ups[0].cuts
    (tool,) = cut.swept(Scene(wedge, wedge, {"wedge_guide": solid}))
    (left,) = blank.cut(tool).Solids()
    assert left.cut(wedge).Volume() < left.Volume() * 0.35
    assert shared_mm3(left, wedge) == pytest.approx(wedge.Volume(), rel=1e-6)


def test_the_tool_passes_clear_of_the_head(demo: Plan) -> None:
    (cut,) = prove(guide(demo), demo).cuts
    assert cut.wood_mm3 == 0
    assert cut.fixture_mm3 == 0
    made = WedgeGuide(demo.wedge, 0.2)
    bead = max(u for u, n in demo.wedge.side_view().points() if n > demo.wedge.thickness(u) + 0.05)
    assert made.bearing_end < made.neck[0] < bead


def test_a_guide_out_of_true_is_caught() -> None:
    plan = plan_for(50, 10)
    solid = guide(plan).pieces[0].solid
    assert made_of(plan, solid).offset_mm < 1e-6
    other = guide(plan_for(50, 10.05)).pieces[0].solid
    fixture = guide(plan)
    steeper = prove(replace(fixture, pieces=(replace(fixture.pieces[0], solid=other),)), plan)
    assert any("wedge's front" in words for words in steeper.failures)
    up = Vector(*plan.iron.off_bed) * 0.1
    low = made_of(plan, solid.moved(Location((-up).toTuple())))
    assert low.offset_mm == pytest.approx(0.1 * cos(radians(10)), abs=1e-6)
    assert low.wood_mm3 > 50
    proof = prove(
        replace(fixture, pieces=(replace(fixture.pieces[0], solid=solid.moved(Location(up.toTuple()))),)),
        plan,
    )
    assert proof.shared_mm3 > 50


def test_without_its_clearance_the_trough_is_not_proved() -> None:
    plan = plan_for(50, 10)
    tight = guide(plan_of(spec_text("round", 16, 60, 50, "right") + "[shop.printer]\nclearance = 0.05\n"))
    proof = prove(replace(guide(plan), pieces=tight.pieces), plan)
    assert sum("off the wedge" in words for words in proof.failures) == 2


def test_the_outlines_are_the_wedges_own_in_true_size(demo: Plan) -> None:
    (piece,) = guide(demo).pieces
    whole, head = piece.profiles
    solid = build_part("wedge", demo).solid
    (_, y0, _), (_, y1, _) = extent(solid)
    assert abs(whole.path.area) == pytest.approx(solid.Volume() / (y1 - y0), rel=1e-9)
    assert whole.path.is_closed and head.path.is_closed
    # The tapered part below the neck: a trapezoid less the slope of the tip.
    wedge = demo.wedge
    neck, tip = wedge.neck, wedge.tip_u
    body = (wedge.thickness(tip) + wedge.thickness(neck[0])) / 2 * (neck[0] - tip)
    shoulder = wedge.tip_shoulder
    corner = [(tip, wedge.nose), shoulder, (tip, wedge.thickness(tip))]
    slope = (
        abs(sum(a * d - c * b for (a, b), (c, d) in zip(corner, corner[1:] + corner[:1], strict=True))) / 2
    )
    assert abs(head.path.area) == pytest.approx(abs(whole.path.area) - body + slope, rel=1e-9)


def test_it_prints_flat_and_says_its_angle(demo: Plan) -> None:
    fixture = guide(demo, lettered=True)
    (piece,) = fixture.pieces
    assert {label.text for label in piece.labels} == {"WEDGE 10°"}
    down = Vector(*piece.bed_face.normal)
    solid = guide(demo).pieces[0].solid
    lowest = max(face.Center().dot(down) for face in solid.Faces())
    for face in solid.Faces():
        on_bed = face.Center().dot(down) > lowest - 1e-6
        assert on_bed or face.normalAt().dot(down) < cos(radians(45)) + 1e-9
    height = WedgeGuide(demo.wedge, 0.2).tall
    assert height >= tan(radians(10)) * (demo.wedge.strike_u - demo.wedge.tip_u)


def test_a_tip_too_thin_for_a_stop_is_declined_with_a_cure() -> None:
    plan = plan_for(50, 10, more="mouth = 4.3\n[wedge]\ntip_height = 3\n")
    declined = build_fixture("wedge_guide", plan)
    assert isinstance(declined, Declined), plan.wedge.tip_thickness
    assert "wedge.tip_height" in declined.reason
