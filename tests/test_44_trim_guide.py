"""The trim guides: both ends square and at length, sawn by a second mesh library as well as by the kernel."""

from __future__ import annotations

from dataclasses import replace
from math import radians, sin

import numpy as np
import pytest
from cadquery import Location, Solid
from manifold3d import Manifold

from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.kernel.measure import extent, shared_mm3
from cad.parts.body import work_at_stage
from cad.parts.cheek_plate import glued_at_stage, plate_at_stage
from fixtures.bench.model import Declined, Fixture
from fixtures.bench.proof import prove
from fixtures.bench.workshop import build_fixture
from tests.planes import plan_of, spec_text
from tests.sleds import as_manifold


def guides(plan: Plan, lettered: bool = False) -> Fixture:
    fixture = build_fixture("trim_guide", plan, lettered)
    assert isinstance(fixture, Fixture), fixture
    return fixture


def shifted(fixture: Fixture, end: str, by: Location) -> Fixture:
    """Return the fixture with the guide of one end moved."""
    pieces = tuple(
        replace(piece, solid=piece.solid.moved(by)) if piece.name.endswith(end) else piece
        for piece in fixture.pieces
    )
    return replace(fixture, pieces=pieces)


def plan_for(more: str = "", form: str = "round", radius: float = 16, hand: str = "right") -> Plan:
    return plan_of(spec_text(form, radius, 60, 50, hand) + more)


def test_the_glued_work_is_body_and_plate(demo: Plan) -> None:
    for stage in (Stage.PLATE_GLUED, Stage.TRIMMED):
        parts = (work_at_stage(demo, stage), plate_at_stage(demo, stage))
        glued = glued_at_stage(demo, stage)
        assert glued.isValid()
        assert glued.Volume() == pytest.approx(sum(part.Volume() for part in parts), rel=1e-9)
        assert all(shared_mm3(glued, part) == pytest.approx(part.Volume(), rel=1e-6) for part in parts)


def test_both_ends_come_square_and_at_length(demo: Plan) -> None:
    proof = prove(guides(demo), demo)
    assert proof.passes, proof.failures
    assert proof.stage is Stage.PLATE_GLUED
    assert [cut.face for cut in proof.cuts] == ["toe", "heel"]
    for cut in proof.cuts:
        assert cut.angle_deg == pytest.approx(90, abs=0.01)
        assert cut.angle_error_deg < 0.01
        assert cut.offset_mm < 0.02
        assert cut.wood_mm3 < 1e-3, "the kerf lies in the spare length alone"
    tongues = [contact for contact in proof.contacts if "tongue" in contact.name]
    assert len(tongues) == 2


def test_sawn_against_both_guides_the_plane_is_what_the_spec_says(demo: Plan) -> None:
    """A saw laid on each guide's outermost face, by manifold3d: what is left is the plane of the spec."""
    saw, length = demo.spec.shop.hand_saw, demo.spec.body.length
    wood = as_manifold(glued_at_stage(demo, Stage.PLATE_GLUED))
    outside = (saw.kerf - saw.plate) / 2
    for piece, way in zip(guides(demo).pieces, (-1, 1), strict=True):
        low, high = extent(piece.solid)
        bearing = low[0] if way < 0 else high[0]
        a, b = sorted((bearing - way * outside, bearing + way * (saw.plate + outside)))
        kerf = Manifold.cube((b - a, 400, 400)).translate((a, -200, -200))
        parts = (wood - kerf).decompose()
        assert len(parts) == 2, "the saw goes right through"
        wood = max(parts, key=lambda part: part.volume())
    x0, _, _, x1, _, _ = wood.bounding_box()
    assert (x0, x1) == pytest.approx((0, length), abs=0.02)
    wanted = as_manifold(glued_at_stage(demo, Stage.TRIMMED))
    assert wood.volume() == pytest.approx(wanted.volume(), rel=1e-5)


@pytest.mark.parametrize("form", ["round", "hollow"])
@pytest.mark.parametrize(
    ("radius", "arc", "bed", "hand"), [(3, 60, 45, "left"), (8, 180, 60, "right"), (40, 180, 50, "left")]
)
def test_guides_over_the_range(form: str, radius: float, arc: float, bed: float, hand: str) -> None:
    plan = plan_of(spec_text(form, radius, arc, bed, hand))
    proof = prove(guides(plan), plan)
    assert proof.passes, proof.failures


@pytest.mark.parametrize("end", ["toe", "heel"])
def test_a_guide_off_its_place_is_caught(demo: Plan, end: str) -> None:
    inward = 0.05 if end == "toe" else -0.05
    proof = prove(shifted(guides(demo), end, Location((inward, 0, 0))), demo)
    cut = next(cut for cut in proof.cuts if cut.face == end)
    assert cut.offset_mm == pytest.approx(0.05, abs=1e-6)
    assert cut.wood_mm3 > 50, "the kerf runs into the finished plane"
    assert any("tongue" in failure for failure in proof.failures)


@pytest.mark.parametrize("axis", [(0, 0, 1), (0, 1, 0)])
def test_a_guide_out_of_square_is_caught(demo: Plan, axis: tuple[float, float, float]) -> None:
    proof = prove(shifted(guides(demo), "toe", Location((0, 0, 0), axis, 0.05)), demo)
    cut = next(cut for cut in proof.cuts if cut.face == "toe")
    assert cut.angle_error_deg == pytest.approx(0.05, abs=1e-6)
    assert not proof.passes


def test_a_thicker_kerf_is_caught(demo: Plan) -> None:
    fixture = guides(demo)
    coarse = tuple(
        replace(one, cuts=tuple(replace(saw, kerf=saw.kerf + 0.2) for saw in one.cuts))
        for one in fixture.set_ups
    )
    proof = prove(replace(fixture, set_ups=coarse), demo)
    assert proof.tool_hits_mm3 > 50


def test_a_saw_that_stops_short_is_caught(demo: Plan) -> None:
    fixture = guides(demo)
    shallow = tuple(
        replace(
            one, cuts=tuple(replace(saw, depth_under_back=saw.depth_under_back - 1.5) for saw in one.cuts)
        )
        for one in fixture.set_ups
    )
    proof = prove(replace(fixture, set_ups=shallow), demo)
    assert any("depth" in failure for failure in proof.failures)


def test_the_saw_goes_into_the_board_and_no_further(demo: Plan) -> None:
    """The back stops it where the plane's thickness and 1 mm are gone: common practice, no source."""
    piece = guides(demo).pieces[0]
    low, high = extent(piece.solid)
    top = -high[1] if demo.is_left else low[1]
    reach = top + demo.spec.shop.hand_saw.depth_under_back
    assert reach == pytest.approx(demo.spec.body.thickness - demo.spec.cheek.thickness + 1, abs=1e-6)


def test_a_small_printer_gets_a_line_to_slide_to() -> None:
    plan = plan_for("[shop.printer]\nvolume = [110, 110, 110]\n")
    fixture = guides(plan)
    proof = prove(fixture, plan)
    assert proof.passes, proof.failures
    assert not any("tongue" in contact.name for contact in proof.contacts)
    said = " ".join(fixture.notes)
    mouth = plan.spec.throat.mouth_at
    assert f"{mouth:.2f} mm before the mouth's front edge" in said and "must be split" not in said


def test_each_guide_says_which_end_it_is_for(demo: Plan) -> None:
    for piece in guides(demo, lettered=True).pieces:
        assert [label.text.lower() for label in piece.labels] == [piece.name.rsplit("_", 1)[1]]
        assert piece.solid.isValid()
        assert piece.labels[0].height >= 4


def test_they_print_without_supports(demo: Plan) -> None:
    """No face but the one on the bed looks down by more than 45° from plumb: common practice, no source."""
    for piece in guides(demo).pieces:
        down = np.array(piece.bed_face.normal)
        level = np.array(piece.bed_face.point) @ down
        assert max(np.array(v.toTuple()) @ down for v in piece.solid.Vertices()) < level + 1e-6
        for face in piece.solid.Faces():
            normal, spot = np.array(face.normalAt().toTuple()), np.array(face.Center().toTuple())
            assert abs(spot @ down - level) < 1e-6 or normal @ down <= sin(radians(45)) + 1e-9


def test_a_shallow_saw_is_declined_with_the_one_that_would_do() -> None:
    plan = plan_for("[shop.hand_saw]\ndepth_under_back = 38\n")
    made = build_fixture("trim_guide", plan)
    assert isinstance(made, Declined)
    # Thickness, 1 mm into the board, 2 mm for the teeth, 4 mm of bearing.
    assert f"at least {plan.spec.body.thickness + 7:.0f} mm" in made.reason
    deeper = plan_for(f"[shop.hand_saw]\ndepth_under_back = {plan.spec.body.thickness + 7}\n")
    assert prove(guides(deeper), deeper).passes


def test_a_blank_without_spare_is_declined() -> None:
    text = spec_text("round", 16, 60, 50, "right").replace("[body]", "[body]\nspare = 1")
    made = build_fixture("trim_guide", plan_of(text))
    assert isinstance(made, Declined)
    assert "1 mm" in made.reason and "1.7" in made.reason


def test_left_is_right_mirrored() -> None:
    def volumes(hand: str) -> list[float]:
        return [piece.solid.Volume() for piece in guides(plan_for(hand=hand)).pieces]

    assert volumes("left") == pytest.approx(volumes("right"), rel=1e-9)
    solid: Solid = guides(plan_for(hand="left")).pieces[0].solid
    assert extent(solid)[1][1] > 0
