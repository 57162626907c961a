"""The end templates: where they sit, that toe and heel are mirror images, and the line a knife follows."""

from __future__ import annotations

from dataclasses import replace
from math import radians, sin, tan
from pathlib import Path as FilePath

import cadquery as cq
import numpy as np
import pytest
import trimesh
from cadquery import Location, Solid, Vector
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import MultiLineString, Point

from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.kernel.curved import Cylinder, surface_of
from cad.kernel.mesh import tessellate
from fixtures.bench.model import Declined, Fixture
from fixtures.bench.proof import prove
from fixtures.bench.workshop import build_fixture
from tests.planes import plan_of, spec_text

TOE, HEEL = "end_template_toe", "end_template_heel"


def plan_for(form: str, radius: float, arc: float, hand: str = "right") -> Plan:
    return plan_of(spec_text(form, radius, arc, 50, hand))


def caps(plan: Plan, lettered: bool = False) -> Fixture:
    fixture = build_fixture("end_templates", plan, lettered)
    assert isinstance(fixture, Fixture), fixture
    return fixture


def read_back(solid: Solid, to: FilePath) -> Solid:
    cq.exporters.export(cq.Workplane(obj=solid), str(to))
    (read,) = cq.importers.importStep(str(to)).solids().vals()
    assert read.isValid()
    return read


def slice_at(solid: Solid, x: float) -> MultiLineString:
    made = tessellate(solid, 0.001)
    mesh = trimesh.Trimesh(made.points, made.triangles)
    assert mesh.is_watertight
    return MultiLineString(
        [pair[:, 1:] for pair in trimesh.intersections.mesh_plane(mesh, (1, 0, 0), (x, 0, 0))]
    )


def wanted_points(plan: Plan, radius: float, arc: float) -> np.ndarray:
    """Return points of sole and relief from the circle and the slope themselves, (y, z), right hand."""
    a = np.radians(np.linspace(-arc / 2, arc / 2, 91))
    rise = radius * (1 - np.cos(a))
    z = rise if plan.sole.form == "round" else rise.max() - rise
    y = radius * (np.sin(a) + sin(radians(arc / 2)))
    wall = plan.spec.body.thickness - plan.spec.cheek.thickness - y[-1]
    out = np.linspace(0, wall, 21)
    relief = np.column_stack([y[-1] + out, z[-1] + out / tan(radians(plan.spec.sole.relief))])
    return np.vstack([np.column_stack([y, z]), relief])


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize(
    ("form", "radius", "arc"), [("round", 16, 60), ("hollow", 9.525, 90), ("round", 5, 180)]
)
def test_the_knife_follows_sole_and_relief_at_both_ends(
    form: str, radius: float, arc: float, hand: str, tmp_path: FilePath
) -> None:
    plan = plan_for(form, radius, arc, hand)
    wanted = wanted_points(plan, radius, arc) * ((-1 if hand == "left" else 1), 1)
    spare, length = plan.spec.body.spare, plan.spec.body.length
    for piece, x in zip(caps(plan).pieces, (-spare - 1.5, length + spare + 1.5), strict=True):
        outline = slice_at(read_back(piece.solid, tmp_path / "cap.step"), x)
        assert max(outline.distance(Point(p)) for p in wanted) < 0.005


def test_toe_and_heel_are_mirror_images_and_not_alike(demo: Plan) -> None:
    toe, heel = (piece.solid for piece in caps(demo).pieces)
    middle = demo.spec.body.length / 2
    mirrored = toe.mirror("YZ", Vector(middle, 0, 0))
    assert heel.intersect(mirrored).Volume() == pytest.approx(heel.Volume(), rel=1e-9)
    turned = toe.rotate(Vector(middle, 0, 0), Vector(middle, 0, 1), 180)
    y = heel.Center().y - turned.Center().y
    assert heel.intersect(turned.moved(Location((0, y, 0)))).Volume() < 0.9 * heel.Volume()


def test_a_cap_on_the_wrong_end_is_caught(demo: Plan) -> None:
    fixture = caps(demo)
    middle, shift = demo.spec.body.length / 2, demo.section.blind_face * (-1 if demo.is_left else 1)
    swapped = tuple(
        replace(
            piece,
            solid=other.solid.rotate(Vector(middle, 0, 0), Vector(middle, 0, 1), 180).moved(
                Location((0, shift, 0))
            ),
        )
        for piece, other in zip(fixture.pieces, reversed(fixture.pieces), strict=True)
    )
    with pytest.raises(Exception, match="no flat face"):
        prove(replace(fixture, pieces=swapped), demo)


@pytest.mark.parametrize("shove", [(0.1, 0, 0), (0, 0.1, 0), (0, 0, 0.1), (0, -0.1, 0), (0, 0, -0.1)])
def test_a_cap_off_its_seat_is_caught(demo: Plan, shove: tuple[float, float, float]) -> None:
    fixture = caps(demo)
    moved = tuple(replace(p, solid=p.solid.moved(Location(shove))) for p in fixture.pieces)
    assert not prove(replace(fixture, pieces=moved), demo).passes


def test_a_cap_for_another_sole_is_caught() -> None:
    plan, other = plan_for("round", 16, 60), plan_for("round", 16.2, 60)
    proof = prove(replace(caps(plan), pieces=caps(other).pieces), plan)
    assert any("finished outline" in failure for failure in proof.failures)


def test_it_registers_on_three_faces_and_clears_the_shoulder(demo: Plan) -> None:
    proof = prove(caps(demo), demo)
    assert proof.passes, proof.failures
    assert proof.stage is Stage.RABBETED
    assert len(proof.contacts) == 6 and all(contact.area_mm2 > 200 for contact in proof.contacts)
    assert {round(c.mm, 6) for c in proof.clearances} == {demo.spec.shop.printer.clearance}
    for one in proof.readings:
        assert abs(one.reading.value) < 1e-6


def test_an_oversize_blank_still_takes_the_caps() -> None:
    """Blind side and underside are no seats: 2 mm more wood on both meets no cap."""
    plan = plan_for("round", 16, 60)
    spare, length = plan.spec.body.spare, plan.spec.body.length
    blind, height = plan.section.blind_face, plan.section.height
    below = Solid.makeBox(length + 2 * spare, blind + 2, 2, Vector(-spare, 0, -2))
    beside = Solid.makeBox(length + 2 * spare, 2, height, Vector(-spare, blind, 0))
    for piece in caps(plan).pieces:
        assert piece.solid.intersect(below).Volume() < 1e-6
        assert piece.solid.intersect(beside).Volume() < 1e-6


@settings(max_examples=8, deadline=None)
@given(
    form=st.sampled_from(["round", "hollow"]),
    radius=st.integers(6, 80).map(lambda n: n / 2),
    arc=st.integers(45, 180),
    hand=st.sampled_from(["right", "left"]),
)
def test_caps_are_proved_over_the_range(form: str, radius: float, arc: float, hand: str) -> None:
    plan = plan_for(form, radius, arc, hand)
    proof = prove(caps(plan), plan)
    assert proof.passes, proof.failures


def test_the_hole_is_the_centre_of_the_arc_and_the_slot_its_line() -> None:
    plan = plan_for("round", 16, 60)
    for piece in caps(plan).pieces:
        holes = [surface_of(f, "cap") for f in piece.solid.Faces() if f.geomType() == "CYLINDER"]
        (prick,) = (one for one in holes if isinstance(one, Cylinder) and one.radius < 2)
        assert prick.hollow
        assert prick.point[1:] == pytest.approx((8, 16), abs=1e-6)  # (w/2, r)
        edges = [face.Center().y for face in piece.solid.Faces() if abs(face.normalAt().y - 1) < 1e-9]
        assert any(abs(y - 8) < 1e-9 for y in edges)
    assert len(caps(plan_for("hollow", 16, 60)).pieces[0].profiles[0].holes) == 1, "its centre lies outside"


def test_they_print_on_the_outer_face_without_overhang(demo: Plan) -> None:
    for piece in caps(demo).pieces:
        up = -piece.bed_face.normal[0]
        for face in piece.solid.Faces():
            lean = face.normalAt().x * up
            away = abs(face.Center().x - piece.bed_face.point[0])
            # On the bed, or plumb; but for the relief of its first layer, which leans 45 degrees.
            assert away < 1e-6 or lean > -1e-9 or (away < 0.4 and lean > -sin(radians(45)) - 1e-6)
        low = piece.solid.BoundingBox()
        assert low.xmax - low.xmin == pytest.approx(33, abs=0.01)


def test_labels_name_their_end(demo: Plan) -> None:
    plain, lettered = caps(demo), caps(demo, lettered=True)
    for before, after, word in zip(plain.pieces, lettered.pieces, ("TOE", "HEEL"), strict=True):
        assert [label.text for label in after.labels].count(word) == 2
        assert any(label.text.startswith("R") for label in after.labels)
        assert before.solid.Volume() - after.solid.Volume() > 30
        assert after.solid.isValid()


def test_a_low_shoulder_is_declined_in_figures() -> None:
    plan = plan_for("round", 16, 60)
    low = replace(plan, section=replace(plan.section, shoulder=12.0))
    made = build_fixture("end_templates", low)
    assert isinstance(made, Declined) and "5.7 mm high" in made.reason
