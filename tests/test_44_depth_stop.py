"""The depth stop: its holes against the standard, its grip on the saw, and the depth it leaves."""

from __future__ import annotations

import re
from dataclasses import replace
from math import cos, radians, sin

import cadquery as cq
import manifold3d
import numpy as np
import pytest
from cadquery import Location, Solid, Vector

from cad.formulas.bolts import CLEARANCE_MM, clearance_hole_mm
from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.kernel.curved import Cylinder, surface_of
from cad.kernel.measure import extent, shared_mm3
from cad.kernel.shapes import mirrored
from cad.parts.body import work_at_stage
from fixtures.bench.model import Declined, Fixture
from fixtures.bench.proof import prove
from fixtures.bench.stop_layout import StopLayout
from fixtures.bench.workshop import build_fixture
from tests.planes import plan_of, spec_text
from tests.sleds import as_manifold


def stop(plan: Plan, lettered: bool = False) -> Fixture:
    fixture = build_fixture("depth_stop", plan, lettered)
    assert isinstance(fixture, Fixture), fixture
    return fixture


def solid_of(fixture: Fixture, name: str) -> Solid:
    return next(piece.solid for piece in fixture.pieces if piece.name == f"depth_stop_{name}")


def with_piece(fixture: Fixture, name: str, solid: Solid) -> Fixture:
    pieces = tuple(
        replace(piece, solid=solid) if piece.name == f"depth_stop_{name}" else piece
        for piece in fixture.pieces
    )
    return replace(fixture, pieces=pieces)


def plan_for(more: str = "", hand: str = "right") -> Plan:
    return plan_of(spec_text("round", 16, 60, 50, hand) + more)


# ISO 273, medium series.
@pytest.mark.parametrize(("nominal", "hole"), [(3, 3.4), (4, 4.5), (5, 5.5), (6, 6.6), (8, 9.0)])
def test_clearance_holes_are_those_of_iso_273(nominal: int, hole: float) -> None:
    assert clearance_hole_mm(nominal) == hole


def test_a_bolt_that_is_not_listed_is_refused() -> None:
    with pytest.raises(ValueError, match=r"M7.*\[3, 4, 5, 6, 8\]"):
        clearance_hole_mm(7)
    assert 7 not in CLEARANCE_MM


def test_the_bolt_holes_measured_on_the_saddle(demo: Plan) -> None:
    """Two round holes for M5, 5.5 mm (ISO 273, medium), square to the saw's plate."""
    surfaces = [surface_of(face, "saddle") for face in solid_of(stop(demo), "saddle").Faces()]
    holes = [one for one in surfaces if isinstance(one, Cylinder)]
    assert {round(2 * hole.radius, 6) for hole in holes} == {5.5}
    axes = {tuple(round(abs(c), 6) for c in hole.axis) for hole in holes}
    bed = radians(demo.spec.throat.bed)
    assert axes == {(round(sin(bed), 6), 0.0, round(cos(bed), 6))}


def test_the_largest_nut_goes_into_its_pocket_and_cannot_turn(demo: Plan) -> None:
    """M5 by ISO 4032 (from memory): at most 8 mm across flats and 4.7 mm high."""
    lay, saddle = StopLayout(demo), solid_of(stop(demo), "saddle")
    pose = lay.pose("bed")
    place = pose.at(lay.waste_side[0], lay.rest - lay.land / 2, lay.length / 4)
    pocket = cq.Workplane(cq.Plane(place, (0, 1, 0), pose.out))
    shared = []
    for turned in (0, 30):
        (nut,) = pocket.transformed((0, 0, turned)).polygon(6, 8.0, circumscribed=True).extrude(4.7).solids()
        shared.append(shared_mm3(mirrored(nut) if demo.is_left else nut, saddle))
    assert shared[0] < 1e-6 and shared[1] > 1


def test_no_bolt_passes_through_the_saw(demo: Plan) -> None:
    """The holes lie in one leg alone, beyond the loose bar: the plate is not drilled."""
    fixture, lay = stop(demo), StopLayout(demo)
    pose = lay.pose("bed")
    mirror = -1 if demo.is_left else 1
    middle, out = Vector(*pose.middle), Vector(*pose.out)
    for surface in (surface_of(face, "saddle") for face in solid_of(fixture, "saddle").Faces()):
        if isinstance(surface, Cylinder):
            x, y, z = surface.point
            assert (Vector(x, mirror * y, z) - middle).dot(out) > lay.plate
    for part in ("keeper", "packing_heel", "packing_toe", "block"):
        assert not any(isinstance(surface_of(f, part), Cylinder) for f in solid_of(fixture, part).Faces())


def test_the_depth_is_that_of_the_throat(demo: Plan) -> None:
    proof = prove(stop(demo), demo)
    assert proof.passes, proof.failures
    assert [cut.face for cut in proof.cuts] == ["bed", "front"]
    assert all(abs(cut.depth_error_mm) < 1e-6 for cut in proof.cuts)
    assert proof.tool_hits_mm3 < 1e-3
    rests = [contact for contact in proof.contacts if contact.name == "saddle on the rail"]
    assert len(rests) == 2 and all(contact.area_mm2 > 200 for contact in rests)


def test_the_block_is_as_high_as_throat_and_rail(demo: Plan) -> None:
    points = solid_of(stop(demo), "block").Vertices()
    heights = [vertex.toTuple()[1] for vertex in points]
    wanted = demo.spec.sole.width + demo.spec.cheek.thickness
    assert max(heights) - min(heights) == pytest.approx(wanted, abs=1e-6)


def test_sawn_with_the_stop_by_another_library(demo: Plan) -> None:
    """The blank less both kerfs down to the saddle's sole and the block's height, by manifold3d."""
    fixture, throat = stop(demo), demo.spec.throat
    side = -1 if demo.is_left else 1
    saddle = [side * vertex.toTuple()[1] for vertex in solid_of(fixture, "saddle").Vertices()]
    block = [vertex.toTuple()[1] for vertex in solid_of(fixture, "block").Vertices()]
    depth = max(saddle) + max(block) - min(block)
    wood = as_manifold(work_at_stage(demo, Stage.SOLE_SHAPED))
    high = demo.spec.body.height
    kerf = demo.spec.shop.hand_saw.kerf
    lines = ((throat.mouth_at, throat.front, +1), (throat.mouth_at + throat.mouth, throat.bed, -1))
    for mouth, lean, way in lines:
        slope, wide = 1 / np.tan(radians(lean)), way * kerf / sin(radians(lean))
        feet = sorted((mouth, mouth + wide))
        ring = np.array([(x + z * slope, z) for z in (-5, high + 5) for x in feet])[[0, 1, 3, 2]]
        slab = manifold3d.CrossSection([ring]).extrude(200)
        # Drawn in (x, z) and raised along the third axis: turn that to y, from above the wood to the depth.
        turned = slab.transform(np.array([(1, 0, 0, 0), (0, 0, side, 0), (0, 1, 0, 0)], dtype=float))
        wood -= (
            turned.translate((0, side * (depth - 200), 0))
            if side > 0
            else turned.translate((0, 200 - depth, 0))
        )
    assert len(wood.decompose()) == 1, "the waste still stands on its root"
    assert depth == pytest.approx(demo.spec.sole.width, abs=1e-6)
    blank = as_manifold(work_at_stage(demo, Stage.SOLE_SHAPED))
    width = demo.spec.sole.width

    def left_below(body: manifold3d.Manifold, y: float) -> float:
        return float(body.trim_by_plane((0, side, 0), y).volume())

    assert left_below(wood, width + 0.01) == pytest.approx(left_below(blank, width + 0.01), rel=1e-9)
    # Just above the bottom there are two kerfs, each k / sin(angle) along the sole and as high as the wood.
    lost = left_below(blank, width - 0.1) - left_below(wood, width - 0.1)
    each = [kerf / sin(radians(lean)) * high * 0.1 for lean in (throat.front, throat.bed)]
    assert 0.7 * sum(each) < lost <= sum(each) * (1 + 1e-6)


@pytest.mark.parametrize("form", ["round", "hollow"])
@pytest.mark.parametrize(
    ("radius", "arc", "bed", "hand"), [(3, 60, 45, "left"), (8, 180, 60, "right"), (40, 180, 50, "left")]
)
def test_stops_over_the_range(form: str, radius: float, arc: float, bed: float, hand: str) -> None:
    plan = plan_of(spec_text(form, radius, arc, bed, hand))
    proof = prove(stop(plan), plan)
    assert proof.passes, proof.failures


def test_a_block_of_another_height_is_caught(demo: Plan) -> None:
    side = -1 if demo.is_left else 1
    fixture = stop(demo)
    block = solid_of(fixture, "block")
    lower = block.moved(Location((0, -0.1 * side, 0)))
    shorter = lower.intersect(block).Solids()[0]
    proof = prove(with_piece(fixture, "block", shorter), demo)
    assert all(cut.depth_error_mm == pytest.approx(0.1, abs=1e-6) for cut in proof.cuts)
    assert not proof.passes


def test_a_packing_that_is_too_thick_is_caught(demo: Plan) -> None:
    """The sole would ride on the packing and leave the rail."""
    side = -1 if demo.is_left else 1
    fixture = stop(demo)
    packing = solid_of(fixture, "packing_heel")
    thicker = packing.fuse(packing.moved(Location((0, -0.2 * side, 0)))).Solids()[0]
    proof = prove(with_piece(fixture, "packing_heel", thicker), demo)
    assert proof.shared_mm3 > 10 and not proof.passes


def test_a_saddle_that_hangs_above_the_rail_is_caught(demo: Plan) -> None:
    side = -1 if demo.is_left else 1
    fixture = stop(demo)
    lifted = solid_of(fixture, "saddle").moved(Location((0, -0.1 * side, 0)))
    proof = prove(with_piece(fixture, "saddle", lifted), demo)
    assert any("saddle on the rail" in failure for failure in proof.failures)
    assert any("depth" in failure for failure in proof.failures)


def test_a_back_wider_than_the_saddle_is_caught(demo: Plan, monkeypatch: pytest.MonkeyPatch) -> None:
    fixture = stop(demo)
    monkeypatch.setattr("fixtures.bench.stopped_saw.BACK_SIDE_MM", 6.0)
    proof = prove(fixture, demo)
    assert all(cut.fixture_mm3 > 100 for cut in proof.cuts)


def test_the_back_passes_beside_the_land(demo: Plan) -> None:
    """Without the loose bar the saddle slips over a back 8 mm wide: between land and leg there is more."""
    lay = StopLayout(demo)
    assert lay.waste_side[0] - 0 >= 8 + demo.spec.shop.hand_saw.plate
    assert lay.waste_side[0] - lay.kept_side[1] >= 8 + demo.spec.shop.hand_saw.plate + 3


def test_it_prints_without_supports(demo: Plan) -> None:
    """No face but the one on the bed looks down by more than 45° from plumb: common practice, no source."""
    for piece in stop(demo).pieces:
        down = np.array(piece.bed_face.normal)
        level = np.array(piece.bed_face.point) @ down
        assert max(np.array(v.toTuple()) @ down for v in piece.solid.Vertices()) < level + 1e-6
        for face in piece.solid.Faces():
            if isinstance(surface_of(face, piece.name), Cylinder):
                points = [edge.positionAt(s) for edge in face.Edges() for s in np.linspace(0, 1, 9)]
                normals = [np.array(face.normalAt(point).toTuple()) for point in points]
            else:
                normals = [np.array(face.normalAt().toTuple())]
            lies_on_bed = abs(np.array(face.Center().toTuple()) @ down - level) < 1e-6
            steepest = max(normal @ down for normal in normals)
            assert lies_on_bed or steepest <= sin(radians(45)) + 1e-6, piece.name


def test_words_say_depth_and_side(demo: Plan) -> None:
    fixture = stop(demo, lettered=True)
    words = {piece.name: [label.text for label in piece.labels] for piece in fixture.pieces}
    assert words["depth_stop_packing_heel"] == ["HEEL"] and words["depth_stop_packing_toe"] == ["TOE"]
    assert words["depth_stop_saddle"][0].startswith("DEPTH ")
    assert all(piece.solid.isValid() for piece in fixture.pieces)
    said = " ".join(fixture.notes)
    assert "M5" in said and "not drilled" in said and f"{demo.spec.sole.width:.2f}" in said


def test_a_shallow_saw_is_declined_with_the_one_that_would_do() -> None:
    made = build_fixture("depth_stop", plan_for("[shop.hand_saw]\ndepth_under_back = 30\n"))
    assert isinstance(made, Declined)
    # Throat 16, rail 6, grip 12 and 2 under the back.
    assert "at least 36 mm" in made.reason
    deep = plan_for("[shop.hand_saw]\ndepth_under_back = 36\n")
    assert prove(stop(deep), deep).passes


def test_a_deep_saw_gets_stiffer_legs() -> None:
    deep, usual = (plan_for(f"[shop.hand_saw]\ndepth_under_back = {d}\n") for d in (120, 50))
    assert StopLayout(deep).leg > StopLayout(usual).leg
    assert prove(stop(deep), deep).passes
    largest = stop(plan_for("[shop.hand_saw]\ndepth_under_back = 250\n"), lettered=True)
    assert any("depth_stop_saddle" in note and "printer" in note for note in largest.notes)


def test_a_low_printer_prints_a_shorter_saddle_that_still_reaches_the_rail_or_is_told_too_low() -> None:
    for high in (82, 90, 100):
        plan = plan_for(f"[shop.printer]\nvolume = [200, 200, {high}]\n", "left")
        fixture = stop(plan)
        assert prove(fixture, plan).passes
        low, top = extent(solid_of(fixture, "saddle"))
        assert low[2] < StopLayout(plan).below_words and top[2] > plan.section.shoulder + 5
    made = build_fixture("depth_stop", plan_for("[shop.printer]\nvolume = [200, 200, 60]\n"))
    assert isinstance(made, Declined)
    (words,) = re.findall(r"(\d+) mm high is the least", made.reason)
    least = int(words)
    enough = plan_for(f"[shop.printer]\nvolume = [200, 200, {least}]\n")
    assert prove(stop(enough), enough).passes
    too_low = plan_for(f"[shop.printer]\nvolume = [200, 200, {least - 1}]\n")
    assert isinstance(build_fixture("depth_stop", too_low), Declined)
