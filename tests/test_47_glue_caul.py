"""The glue-up caul: how much of the plate it presses, what it keeps off, and what holds the plate."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import manifold3d
import numpy as np
import pytest
from cadquery import Location, Solid
from hypothesis import given, settings
from shapely import Polygon, box

from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.kernel.measure import extent
from cad.kernel.mesh import tessellate
from cad.outline import Path
from cad.parts.body import work_at_stage
from cad.parts.cheek_plate import plate_at_stage
from fixtures.bench.caul_pieces import layout
from fixtures.bench.model import Declined, Fixture
from fixtures.bench.proof import Proof, prove
from fixtures.bench.workshop import build_fixture
from tests.planes import plan_of, spec_text, specs


def caul(plan: Plan, lettered: bool = False) -> Fixture:
    fixture = build_fixture("glue_caul", plan, lettered)
    assert isinstance(fixture, Fixture), fixture
    return fixture


def plan_for(form: str, radius: float, arc: float, hand: str = "right", more: str = "") -> Plan:
    return plan_of(spec_text(form, radius, arc, 50, hand).replace("[throat]", f"{more}\n[throat]"))


def polygon_of(path: Path) -> Polygon:
    return Polygon(path.points(0.001))


def pressed_mm2(proof: Proof) -> float:
    return next(one.area_mm2 for one in proof.contacts if one.name.startswith("caul on the plate"))


def moved(fixture: Fixture, name: str, by: tuple[float, float, float]) -> Fixture:
    pieces = (
        replace(piece, solid=piece.solid.moved(Location(by))) if piece.name == name else piece
        for piece in fixture.pieces
    )
    return replace(fixture, pieces=tuple(pieces))


def manifold(solid: Solid) -> manifold3d.Manifold:
    made = tessellate(solid, 0.01)
    mesh = manifold3d.Mesh(made.points.astype(np.float32), made.triangles.astype(np.uint32))
    return manifold3d.Manifold(mesh)


def shared_by_meshes(ones: Iterable[Solid], others: Iterable[Solid]) -> float:
    bodies = [manifold(solid) for solid in others]
    return sum((manifold(one) ^ body).volume() for one in ones for body in bodies)


def test_the_caul_is_proved_on_the_demos(demo: Plan) -> None:
    proof = prove(caul(demo), demo)
    assert proof.passes, proof.failures
    assert proof.shared_mm3 == 0
    assert len(proof.clamps) >= 8
    pads = {(round(x, 3)) for x in layout(demo).caul.clamps}
    assert 2 * len(pads) == len(proof.clamps)


@settings(max_examples=6, deadline=None)
@given(specs())
def test_the_caul_is_proved_or_declined_with_a_cure_over_the_range_of_planes(text: str) -> None:
    plan = plan_of(text)
    fixture = build_fixture("glue_caul", plan, lettered=False)
    if isinstance(fixture, Declined):
        # Only a relief that climbs past the middle third of the plate leaves clamps nothing to bear on.
        low, high = plan.section.plate_relief_top, plan.section.shoulder - 2.5
        assert plan.section.blind_relief_top + 3.5 > low + (high - low) * 2 / 3
        assert "body.shoulder" in fixture.reason
        return
    proof = prove(fixture, plan)
    assert proof.passes, proof.failures


@pytest.mark.parametrize(
    ("form", "radius", "arc"), [("round", 3, 45), ("hollow", 40, 180), ("round", 12, 180)]
)
def test_the_caul_is_proved_at_the_ends_of_the_range(form: str, radius: float, arc: float) -> None:
    plan = plan_for(form, radius, arc, "left")
    proof = prove(caul(plan), plan)
    assert proof.passes, proof.failures


def test_it_presses_the_plates_whole_outer_face_but_for_the_squeeze_out(demo: Plan) -> None:
    section = demo.section
    toe, heel = demo.stages.span(Stage.PLATE_GLUED)
    face = box(toe, section.plate_relief_top, heel, section.shoulder)
    opening = polygon_of(demo.escapement.side_view())
    plate = face.difference(opening)
    wanted = box(toe, section.plate_relief_top, heel, section.shoulder - 2.5).difference(
        opening.buffer(3, quad_segs=64)
    )
    area = pressed_mm2(prove(caul(demo), demo))
    assert area == pytest.approx(wanted.area, rel=1e-4)
    assert area > 0.9 * plate.area


@pytest.mark.parametrize(("form", "arc"), [("round", 60), ("round", 180), ("hollow", 60)])
def test_the_notch_keeps_off_the_escapement_all_round(form: str, arc: float) -> None:
    plan = plan_for(form, 9, arc)
    opening, notch = polygon_of(plan.escapement.side_view()), polygon_of(layout(plan).caul.notch)
    above = box(-1000, layout(plan).caul.bottom, 1000, 1000)
    assert opening.intersection(above).distance(notch.boundary.intersection(above)) > 2.99


@pytest.mark.parametrize("hand", ["right", "left"])
def test_nothing_stands_in_the_wood_by_a_mesh_library(hand: str) -> None:
    plan = plan_for("round", 16, 60, hand)
    wood = (work_at_stage(plan, Stage.PLATE_GLUED), plate_at_stage(plan, Stage.PLATE_GLUED))
    pieces = [piece.solid for piece in caul(plan).pieces]
    # Faces that touch share a film of single precision.
    assert shared_by_meshes(pieces, wood) < 0.5
    inside = [pieces[0].moved(Location((0, 0.1 if hand == "right" else -0.1, 0)))]
    assert shared_by_meshes(inside, wood) > 1000


def test_a_caul_out_of_its_place_is_caught() -> None:
    plan = plan_for("round", 16, 60)
    fixture = caul(plan)
    off = prove(moved(fixture, "glue_caul", (0, -0.05, 0)), plan)
    assert any("caul on the plate" in words for words in off.failures)
    into = prove(moved(fixture, "glue_caul", (0, 0.05, 0)), plan)
    assert into.shared_mm3 > 100
    up = prove(moved(fixture, "glue_caul", (0, 0, 0.05)), plan)
    assert any("off the rail" in words for words in up.failures)
    along = prove(moved(fixture, "glue_caul", (0.05, 0, 0)), plan)
    assert any("escapement" in words for words in along.failures)


def test_a_corner_out_of_its_place_is_caught() -> None:
    plan = plan_for("round", 16, 60)
    fixture = caul(plan)
    low = prove(moved(fixture, "glue_caul_corner_toe", (0, 0, -0.1)), plan)
    assert any("toe lip under the plate" in words for words in low.failures)
    short = prove(moved(fixture, "glue_caul_corner_heel", (0.1, 0, 0)), plan)
    assert any("heel corner on the end of the plate" in words for words in short.failures)
    assert any("heel corner on the end of the body" in words for words in short.failures)


def test_the_corners_stop_the_plate_every_way_it_could_slide(demo: Plan) -> None:
    plate = plate_at_stage(demo, Stage.PLATE_GLUED)
    body = work_at_stage(demo, Stage.PLATE_GLUED)
    pieces = [piece.solid for piece in caul(demo).pieces]
    for way in ((0.2, 0, 0), (-0.2, 0, 0), (0, 0, -0.2), (0, 0, 0.2)):
        slid = plate.moved(Location(way))
        assert sum(one.intersect(slid).Volume() for one in (body, *pieces)) > 1, way


def test_the_line_of_the_clamps_lies_over_wood_on_both_sides(demo: Plan) -> None:
    made = layout(demo).caul
    low, high = made.pressed
    # Middle third: the core of a rectangle, inside which pressure reaches from edge to edge (textbook).
    assert low + (high - low) / 3 <= made.clamp_height <= high - (high - low) / 3
    assert made.backed[0] + 2.9 <= made.clamp_height <= made.backed[1]
    gaps = np.diff(made.clamps)
    assert gaps.max() <= 140  # 90 beside each other, and the escapement between two


def test_cauls_are_sheet_and_corners_print_flat(demo: Plan) -> None:
    sheet = demo.spec.shop.router.sheet[2]
    fixture = caul(demo)
    for piece in fixture.pieces[:2]:
        (_, y0, _), (_, y1, _) = extent(piece.solid)
        assert piece.made == "cut"
        assert y1 - y0 == pytest.approx(sheet, abs=1e-6)
    for piece in fixture.pieces[2:]:
        down = -1.0 if not demo.is_left else 1.0
        for face in piece.solid.Faces():
            out = face.normalAt().y * -down
            on_bed = abs(face.Center().y - extent(piece.solid)[0 if down < 0 else 1][1]) < 1e-6
            assert on_bed or out > -0.7072  # no face hangs over more than 45° from plumb
    assert {label.text for piece in fixture.pieces for label in piece.labels} == {"TOE", "HEEL"}


def test_what_cannot_be_pressed_is_declined_in_numbers() -> None:
    wide = build_fixture("glue_caul", plan_for("round", 40, 180))
    assert isinstance(wide, Declined)
    assert "body.shoulder" in wide.reason
    thin = build_fixture(
        "glue_caul",
        plan_of(spec_text("round", 16, 60, 50, "right") + "[shop.router]\nsheet = [600, 400, 6]\n"),
    )
    assert isinstance(thin, Declined)
    assert "6 mm" in thin.reason
    plate = build_fixture("glue_caul", plan_for("round", 16, 60, more="[cheek]\nthickness = 2.5"))
    assert isinstance(plate, Declined)
    assert "cheek.thickness" in plate.reason


def test_a_plate_that_takes_raised_words_is_still_proved(demo: Plan) -> None:
    lettered = caul(demo, lettered=True)
    assert prove(lettered, demo).passes
