"""The iron card: its curve against the exact ellipse and the iron's own edge, and its two angles."""

from __future__ import annotations

from dataclasses import replace
from math import degrees, radians, sin, sqrt
from pathlib import Path as FilePath

import cadquery as cq
import numpy as np
import pytest
import trimesh
from cadquery import Location, Solid
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import MultiLineString, Point, Polygon

from cad.geometry import Plan
from cad.geometry.iron_card import IronCard
from cad.geometry.stages import Stage
from cad.geometry.station import lowest_over
from cad.kernel.mesh import tessellate
from cad.parts import build_part
from cad.parts.cheek_plate import plate_at_stage
from fixtures.bench.model import Contact, Declined, FaceRef, Fixture, SetUp
from fixtures.bench.proof import prove
from fixtures.bench.workshop import build_fixture
from tests.planes import plan_of, spec_text


def plan_for(
    form: str, radius: float, arc: float, bed: float = 50, hand: str = "right", more: str = ""
) -> Plan:
    return plan_of(spec_text(form, radius, arc, bed, hand) + more)


def card_of(plan: Plan, lettered: bool = False) -> Fixture:
    fixture = build_fixture("iron_card", plan, lettered)
    assert isinstance(fixture, Fixture), fixture
    return fixture


def in_its_plane(plan: Plan, solid: Solid) -> MultiLineString:
    """Return the outline of the mesh's slice just below the iron's flat face, in (v, u)."""
    made = tessellate(solid, 0.0005)
    mesh = trimesh.Trimesh(made.points, made.triangles)
    assert mesh.is_watertight
    bed = radians(plan.throat.bed_deg)
    off, up = np.array([-sin(bed), 0, np.cos(bed)]), np.array([np.cos(bed), 0, sin(bed)])
    origin = np.array(plan.iron.origin)
    pairs = trimesh.intersections.mesh_plane(mesh, off, origin - 0.3 * off)
    flat = [[(p[1], float((p - origin) @ up)) for p in pair] for pair in pairs]
    return MultiLineString(flat)


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize(
    ("form", "radius", "arc"), [("round", 16, 60), ("hollow", 16, 60), ("round", 9.525, 180)]
)
def test_the_curve_is_the_ellipse(
    form: str, radius: float, arc: float, hand: str, tmp_path: FilePath
) -> None:
    """Semi-axes r and r / sin β: 9.525 at 50° gives 12.43400, 16 a depth of 2.798263 (computed)."""
    plan = plan_for(form, radius, arc, 50, hand)
    cq.exporters.export(cq.Workplane(obj=card_of(plan).pieces[0].solid), str(tmp_path / "card.step"))
    (read,) = cq.importers.importStep(str(tmp_path / "card.step")).solids().vals()
    outline = in_its_plane(plan, read)
    along = radius / sin(radians(50))
    a = np.radians(np.linspace(-arc / 2, arc / 2, 121))
    rise = along * (1 - np.cos(a))
    u = rise if form == "round" else rise.max() - rise
    v = (radius * (np.sin(a) + sin(radians(arc / 2)))) * (-1 if hand == "left" else 1)
    assert max(outline.distance(Point(p)) for p in zip(v, u, strict=True)) < 0.005
    if radius == 9.525:
        assert along == pytest.approx(12.43400, abs=1e-5)
    elif form == "round":
        assert rise.max() == pytest.approx(2.798263, abs=1e-6)


def test_the_profile_is_true_size_and_near_the_ellipse(demo: Plan) -> None:
    piece = card_of(demo).pieces[0]
    (profile,) = piece.profiles
    assert profile.path.is_closed and profile.path.area > 0
    # Relief of edges on the bed aside, the solid is the outline swept by its thickness.
    assert profile.path.area * 2.4 == pytest.approx(piece.solid.Volume(), rel=0.01)
    shape = Polygon(profile.path.points(1e-3))
    assert shape.is_valid
    assert shape.buffer(-0.79).geom_type == "Polygon", "no wall under 1.6 mm"


@settings(max_examples=8, deadline=None)
@given(
    form=st.sampled_from(["round", "hollow"]),
    radius=st.integers(6, 80).map(lambda n: n / 2),
    arc=st.integers(45, 180),
    bed=st.integers(45, 60),
    hand=st.sampled_from(["right", "left"]),
)
def test_cards_are_proved_over_the_range(form: str, radius: float, arc: float, bed: float, hand: str) -> None:
    plan = plan_for(form, radius, arc, bed, hand)
    proof = prove(card_of(plan), plan)
    assert proof.passes, proof.failures
    assert {one.reading.name for one in proof.readings} >= {"card's curve from the iron's edge"}


@pytest.mark.parametrize("form", ["round", "hollow"])
@pytest.mark.parametrize(("radius", "arc"), [(3, 45), (3, 180), (40, 60), (40, 180)])
def test_cards_are_proved_at_the_ends_of_the_range(form: str, radius: float, arc: float) -> None:
    plan = plan_for(form, radius, arc, 55, "left")
    proof = prove(card_of(plan), plan)
    assert proof.passes, proof.failures


def test_the_angles_are_read_off_the_solid() -> None:
    plan = plan_for("round", 16, 60, 47, more="[iron]\nbevel = 27\n")
    found = {one.reading.name: one.reading for one in prove(card_of(plan), plan).readings}
    assert found["bevel angle of the notch"].value == pytest.approx(27, abs=1e-6)
    assert found["bed angle of the notch"].value == pytest.approx(47, abs=1e-6)


@pytest.mark.parametrize(
    ("radius", "more", "words"),
    [(16.05, "", "card's curve"), (16, "[iron]\nbevel = 29.5\n", "bevel angle of the notch")],
)
def test_a_card_for_another_iron_is_caught(radius: float, more: str, words: str) -> None:
    plan, other = plan_for("round", 16, 60), plan_for("round", radius, 60, more=more)
    failures = prove(replace(card_of(plan), pieces=card_of(other).pieces), plan).failures
    assert any(words in failure for failure in failures)


def test_the_sole_s_own_arc_would_not_do() -> None:
    """Over 16 mm an arc of 16 is 2.143594 deep and the ellipse 2.798263: 0.65 mm apart."""
    plan = plan_for("round", 16, 60)
    depth = plan.iron.profile_depth()
    assert depth - (16 - sqrt(16**2 - 8**2)) == pytest.approx(2.798263 - 2.143594, abs=1e-6)
    assert any("not the sole's own arc" in note for note in card_of(plan).notes)


@pytest.mark.parametrize("shove", [(0, 0, 0.1), (0.1, 0, 0), (0, 0.06, 0)])
def test_a_card_off_its_place_is_caught(demo: Plan, shove: tuple[float, float, float]) -> None:
    fixture = card_of(demo)
    moved = tuple(replace(p, solid=p.solid.moved(Location(shove))) for p in fixture.pieces)
    assert not prove(replace(fixture, pieces=moved), demo).passes


def test_an_iron_ground_to_another_bevel_is_caught(demo: Plan) -> None:
    """The iron itself is measured: one ground half a degree finer does not lie along the notch's flank."""
    ground = replace(demo, iron=replace(demo.iron, bevel_deg=demo.iron.bevel_deg - 0.5))
    failures = prove(card_of(demo), ground).failures
    assert any("bevel of the work from its flank" in failure for failure in failures)


def test_the_lowest_of_the_sole_under_a_card() -> None:
    hollow, convex = plan_for("hollow", 16, 60).sole, plan_for("round", 16, 60).sole
    assert lowest_over(convex, 7, 9)[1] == pytest.approx(0)
    assert lowest_over(hollow, 7, 9)[1] == pytest.approx(2.143594 - (16 - sqrt(255)), abs=1e-6)
    assert lowest_over(convex, -3, 2)[1] == pytest.approx(16 - sqrt(256 - 36), abs=1e-9)


def test_it_is_laid_on_iron_and_body(demo: Plan) -> None:
    fixture = card_of(demo)
    assert fixture.work == "iron"
    assert [set_up.on for set_up in fixture.set_ups] == [None, None, ("body", Stage.THROAT_SAWN)]
    assert len({tuple(sorted(set_up.moves)) for set_up in fixture.set_ups[1:]}) == 1


@pytest.mark.parametrize("work", ["iron", "wedge", "cheek_plate"])
def test_any_part_can_be_the_work(demo: Plan, work: str) -> None:
    """A block laid against the highest face of a part: found there, and not found on another part."""
    part = plate_at_stage(demo, Stage.SOLE_SHAPED) if work == "cheek_plate" else build_part(work, demo).solid
    flats = [face for face in part.Faces() if face.geomType() == "PLANE"]
    face = max(flats, key=lambda f: f.Area())
    out, at = face.normalAt(), face.Center()
    side = cq.Plane(at, normal=out)
    block = cq.Workplane(side).box(1, 1, 2, centered=(True, True, False)).val()
    spot, normal = at.toTuple(), out.toTuple()
    back = tuple(-c for c in normal)
    rest = Contact("block", FaceRef("block", spot, back), FaceRef("work", spot, normal))
    fixture = replace(
        card_of(demo),
        pieces=(replace(card_of(demo).pieces[0], name="block", solid=block),),
        set_ups=(SetUp("rests", (rest,)),),
        stage=Stage.SOLE_SHAPED,
        work=work,
    )
    if face.distance(cq.Vertex.makeVertex(*spot)) < 1e-6:
        proof = prove(fixture, demo)
        assert proof.work == work and proof.passes, proof.failures
        sunk = block.moved(Location(tuple(-0.1 * c for c in normal)))
        worse = replace(fixture, pieces=(replace(fixture.pieces[0], solid=sunk),))
        assert prove(worse, demo).shared_mm3 == pytest.approx(0.1, rel=1e-6)


def test_labels_say_radius_bevel_and_bed(demo: Plan) -> None:
    words = [label.text for label in card_of(demo, lettered=True).pieces[0].labels]
    assert words[0].startswith("R")
    assert f"BEVEL {demo.iron.bevel_deg:g}°" in words and f"BED {demo.throat.bed_deg:g}°" in words


def test_a_narrow_mouth_is_declined_in_figures() -> None:
    plan = plan_for("round", 16, 60)
    tight = replace(plan, throat=replace(plan.throat, mouth=2.5))
    made = build_fixture("iron_card", replace(tight, iron=replace(plan.iron, throat=tight.throat)))
    assert isinstance(made, Declined)
    assert "2.5 mm" in made.reason and "1.15 mm" in made.reason


def test_the_tongue_fits_the_mouth() -> None:
    card = IronCard(plan_for("round", 16, 60).iron)
    assert card.tongue == pytest.approx(5 * sin(radians(50)))
    dv, du = card.tongue_way
    assert degrees(np.arctan2(-du, dv)) == pytest.approx(50)
