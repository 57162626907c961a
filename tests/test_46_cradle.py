"""The cradle: its saddles as read back from STEP, how the sole lies in them, and what vise and saw find."""

from __future__ import annotations

from dataclasses import replace
from math import asin, degrees, radians, sin
from pathlib import Path

import cadquery as cq
import numpy as np
import pytest
import trimesh
from cadquery import Location
from hypothesis import given, settings
from shapely import MultiLineString, Point

from cad.geometry import Plan
from cad.geometry.cradle import CradleSection
from cad.geometry.stages import Stage
from cad.kernel.curved import Cylinder, surface_of
from cad.kernel.measure import extent, shared_mm3
from cad.kernel.mesh import tessellate
from cad.parts.body import work_at_stage
from fixtures.bench.model import Declined, Fixture
from fixtures.bench.proof import Proof, prove
from fixtures.bench.workshop import build_fixture
from tests.planes import plan_of, spec_text, specs


def cradle(plan: Plan, lettered: bool = False) -> Fixture:
    fixture = build_fixture("cradle", plan, lettered)
    assert isinstance(fixture, Fixture), fixture
    return fixture


def plan_for(form: str, radius: float, arc: float, hand: str = "right", more: str = "") -> Plan:
    return plan_of(spec_text(form, radius, arc, 50, hand).replace("[throat]", f"{more}\n[throat]"))


def gaps(proof: Proof) -> list[float]:
    return [one.reading.value for one in proof.readings if "greatest gap" in one.reading.name]


def test_the_cradle_is_proved_on_the_demos(demo: Plan) -> None:
    proof = prove(cradle(demo), demo)
    assert proof.passes, proof.failures
    assert proof.shared_mm3 == 0
    assert len(gaps(proof)) == 2
    assert len(proof.clamps) == 10


@settings(max_examples=6, deadline=None)
@given(specs())
def test_the_cradle_is_proved_over_the_range_of_planes(text: str) -> None:
    plan = plan_of(text)
    proof = prove(cradle(plan), plan)
    assert proof.passes, proof.failures


@pytest.mark.parametrize(
    ("form", "radius", "arc"), [("round", 3, 45), ("hollow", 3, 180), ("round", 40, 180)]
)
def test_the_cradle_is_proved_at_the_ends_of_the_range(form: str, radius: float, arc: float) -> None:
    plan = plan_for(form, radius, arc, "left")
    proof = prove(cradle(plan), plan)
    assert proof.passes, proof.failures


# The arc is the sole's own: r over the chord w = 2 r sin(arc / 2) less a sixteenth of w at each side.
# Segment formulas of Machinery's Handbook, 31st ed.
@pytest.mark.parametrize("form", ["round", "hollow"])
@pytest.mark.parametrize(("radius", "arc"), [(16.0, 60.0), (9.525, 180.0)])
def test_the_bearing_reads_back_as_the_soles_own_circle(
    form: str, radius: float, arc: float, tmp_path: Path
) -> None:
    plan = plan_for(form, radius, arc)
    width = 2 * radius * sin(radians(arc / 2))
    for piece in cradle(plan).pieces:
        cq.exporters.export(cq.Workplane(obj=piece.solid), str(tmp_path / "saddle.step"))
        (read,) = cq.importers.importStep(str(tmp_path / "saddle.step")).solids().vals()
        found = [(face, surface_of(face, "saddle")) for face in read.Faces()]
        (bearing,) = [(f, s) for f, s in found if isinstance(s, Cylinder) and abs(s.axis[0]) > 0.999]
        assert bearing[1].radius == pytest.approx(radius, abs=1e-9)
        assert bearing[1].hollow == (form == "round")
        half = degrees(asin(width * 7 / 16 / radius))
        assert bearing[0].Area() == pytest.approx(40 * radius * radians(2 * half), rel=1e-9)


@pytest.mark.parametrize(("form", "arc"), [("round", 60), ("round", 180), ("hollow", 60), ("hollow", 180)])
def test_a_mesh_of_the_saddle_touches_the_sole_where_it_bears_and_nowhere_else(form: str, arc: float) -> None:
    plan = plan_for(form, 16, arc)
    made = tessellate(cradle(plan).pieces[0].solid, 0.001)
    mesh = trimesh.Trimesh(made.points, made.triangles)
    assert mesh.is_watertight
    width, edge = plan.sole.width, CradleSection(plan.section, 0.2).edge
    pairs = trimesh.intersections.mesh_plane(mesh, (1, 0, 0), (mesh.bounds[0][0] + 20, 0, 0))
    outline = MultiLineString([pair[:, 1:] for pair in pairs])
    across = np.linspace(edge, width - edge, 25)
    off = [outline.distance(Point(y, plan.sole.height(float(y)))) for y in across]
    assert max(off) < 0.005
    for corner in ((0.0, plan.sole.plate_edge), (width, plan.sole.blind_edge)):
        assert outline.distance(Point(corner)) > 0.7 * edge


@pytest.mark.parametrize("form", ["round", "hollow"])
def test_under_a_narrow_sole_the_printers_clearance_stays_free_beside_each_edge(form: str) -> None:
    """Where a sixteenth of the chord is less than the clearance: 2 r sin(arc / 2) / 16 = 0.25 mm of 4 mm."""
    clearance = 0.35
    plan = plan_for(form, 4, 60, more=f"[shop.printer]\nclearance = {clearance}\n")
    width = 2 * 4 * sin(radians(30))
    for piece in cradle(plan).pieces:
        found = [(face, surface_of(face, "saddle")) for face in piece.solid.Faces()]
        (bearing,) = [f for f, s in found if isinstance(s, Cylinder) and abs(s.axis[0]) > 0.999]
        ends = [vertex.toTuple()[1] for vertex in bearing.Vertices()]
        assert min(ends) == pytest.approx(clearance, abs=1e-6)
        assert max(ends) == pytest.approx(width - clearance, abs=1e-6)


@pytest.mark.parametrize("form", ["round", "hollow"])
def test_a_saddle_too_high_or_too_low_or_rolled_is_caught(form: str) -> None:
    plan = plan_for(form, 16, 60)
    fixture = cradle(plan)

    def proof(move: Location) -> Proof:
        moved = replace(fixture.pieces[0], solid=fixture.pieces[0].solid.moved(move))
        return prove(replace(fixture, pieces=(moved, fixture.pieces[1])), plan)

    high = proof(Location((0, 0, 0.05)))
    assert high.shared_mm3 > 10
    assert any("mm³" in words for words in high.failures)
    low = proof(Location((0, 0, -0.05)))
    assert max(gaps(low)) == pytest.approx(0.05, abs=1e-6)
    assert any("greatest gap" in words for words in low.failures)
    rolled = proof(Location((0, 0, 0), (1, 0, 0), 0.2))
    assert any("out of parallel" in words or "out of line" in words for words in rolled.failures)


def test_a_saddle_of_another_radius_is_caught() -> None:
    plan, other = plan_for("round", 16, 60), plan_for("round", 17, 56.144)
    proof = prove(replace(cradle(plan), pieces=cradle(other).pieces), plan)
    assert any("greatest gap" in words for words in proof.failures)
    assert max(gaps(proof)) > 0.05


def test_a_cheek_out_of_square_is_caught() -> None:
    plan = plan_for("round", 16, 60)
    fixture = cradle(plan)
    proof = prove(fixture, plan)
    assert all(one.reading.value < 1e-9 for one in proof.readings if "parallel" in one.reading.name)
    sticking_out = cq.Solid.makeBox(5, 5, 5, cq.Vector(-30, -11.5, -10))
    (solid,) = fixture.pieces[0].solid.fuse(sticking_out).Solids()
    proof = prove(replace(fixture, pieces=(replace(fixture.pieces[0], solid=solid), fixture.pieces[1])), plan)
    assert any("proud" in words for words in proof.failures)


def test_the_saw_guide_and_its_saw_find_their_place_between_the_saddles(demo: Plan) -> None:
    guide = build_fixture("saw_guide", demo, lettered=False)
    assert isinstance(guide, Fixture)
    saddles = [piece.solid for piece in cradle(demo).pieces]
    assert all(shared_mm3(guide.pieces[0].solid, saddle) == 0 for saddle in saddles)
    assert min(guide.pieces[0].solid.distance(saddle) for saddle in saddles) > 3


@pytest.mark.parametrize("spare", [0, 4, 20])
def test_with_little_or_no_spare_length_the_saddles_stand_under_the_ends(spare: float) -> None:
    plan = plan_for("round", 16, 60, more=f"spare = {spare}")
    fixture = cradle(plan)
    assert prove(fixture, plan).passes
    throat = cq.Vertex.makeVertex(plan.throat.mouth_at, 8, 0)
    assert fixture.pieces[0].solid.distance(throat) >= 36


def test_a_body_without_room_beside_the_throat_is_declined_with_a_cure() -> None:
    plan = plan_of(
        spec_text("round", 16, 60, 50, "right").replace("[throat]", "spare = 0\n[throat]\nmouth_at = 45")
    )
    declined = build_fixture("cradle", plan)
    assert isinstance(declined, Declined)
    assert "body.spare" in declined.reason


def test_one_print_serves_both_ends_and_says_its_radius() -> None:
    fixture = cradle(plan_for("round", 16, 60), lettered=True)
    assert {label.text for piece in fixture.pieces for label in piece.labels} == {"R16"}
    toe, heel = (piece.solid for piece in cradle(plan_for("round", 16, 60)).pieces)
    turned = toe.moved(Location((0, 0, 0), (0, 0, 1), 180))
    (a, _), (b, _) = extent(turned), extent(heel)
    there = turned.moved(Location(tuple(q - p for p, q in zip(a, b, strict=True))))
    assert shared_mm3(there, heel) == pytest.approx(heel.Volume(), rel=1e-9)


def test_the_bearing_leaves_plate_and_relief_free_when_the_plate_is_glued(demo: Plan) -> None:
    from cad.parts.cheek_plate import plate_at_stage

    plate = plate_at_stage(demo, Stage.PLATE_GLUED)
    for piece in cradle(demo).pieces:
        assert shared_mm3(piece.solid, plate) == 0
        assert shared_mm3(piece.solid, work_at_stage(demo, Stage.PLATE_GLUED)) == 0
