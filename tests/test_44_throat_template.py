"""The throat template: its walls against the throat's own lines, its seats, and how it must not go on."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin, sqrt

import numpy as np
import pytest
import trimesh
from cadquery import Location, Solid

from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.kernel.measure import extent, flat_face_at, shared_mm3
from cad.kernel.mesh import Mesh, tessellate
from cad.kernel.placing import laid_down, matrix_of
from cad.parts.body import work_at_stage
from fixtures.bench.model import Declined, Fixture
from fixtures.bench.print_report import print_figures
from fixtures.bench.proof import prove
from fixtures.bench.scribing import Scribing
from fixtures.bench.workshop import build_fixture
from tests.planes import plan_of, spec_text


def template(plan: Plan, lettered: bool = False) -> Fixture:
    fixture = build_fixture("throat_template", plan, lettered)
    assert isinstance(fixture, Fixture), fixture
    return fixture


def with_solid(fixture: Fixture, solid: Solid) -> Fixture:
    (piece,) = fixture.pieces
    return replace(fixture, pieces=(replace(piece, solid=solid),))


def outline_at(solid: Solid, y: float) -> np.ndarray:
    """Return the segments in which a plane at y cuts the solid's mesh: (n, 2, 2) of (x, z), mm."""
    made = tessellate(solid, 0.001)
    mesh = trimesh.Trimesh(made.points, made.triangles)
    assert mesh.is_watertight
    return trimesh.intersections.mesh_plane(mesh, (0, 1, 0), (0, y, 0))[:, :, [0, 2]]


def length_on_line(segments: np.ndarray, mouth: float, lean_deg: float) -> float:
    """Return how much of an outline lies within 1 µm of a line leaning through (mouth, 0)."""
    off = (segments[:, :, 0] - mouth) * sin(radians(lean_deg)) - segments[:, :, 1] * cos(radians(lean_deg))
    on = np.all(np.abs(off) < 1e-3, axis=1)
    return float(np.linalg.norm(segments[on, 1] - segments[on, 0], axis=1).sum())


def turned(solid: Solid, axis: tuple[float, float, float]) -> Solid:
    """Return the solid after half a turn about an axis through the origin."""
    return solid.moved(Location((0, 0, 0), axis, 180))


def test_the_walls_are_the_lines_of_the_spec(demo: Plan) -> None:
    """Two lines through the mouth at the spec's angles: plane trigonometry on a mesh, no kernel."""
    throat, side = demo.spec.throat, -1 if demo.is_left else 1
    solid = template(demo).pieces[0].solid
    over_the_leaf = outline_at(solid, -1 * side)
    rise = demo.section.shoulder  # the leaf's height at least, less its lower edge
    for mouth, lean in ((throat.mouth_at, throat.front), (throat.mouth_at + throat.mouth, throat.bed)):
        assert length_on_line(over_the_leaf, mouth, lean) > rise / sin(radians(lean)) - 1
    over_the_top = outline_at(solid, (demo.sole.width - 0.01) * side)
    past_the_depth = outline_at(solid, (demo.sole.width + 0.01) * side)
    for mouth, lean in ((throat.mouth_at, throat.front), (throat.mouth_at + throat.mouth, throat.bed)):
        assert length_on_line(over_the_top, mouth, lean) > 5
        assert length_on_line(past_the_depth, mouth, lean) == 0, "the walls end at the depth"


@pytest.mark.parametrize("form", ["round", "hollow"])
@pytest.mark.parametrize(
    ("radius", "arc", "bed", "hand"), [(3, 60, 45, "left"), (8, 180, 60, "right"), (40, 180, 50, "left")]
)
def test_templates_over_the_range(form: str, radius: float, arc: float, bed: float, hand: str) -> None:
    plan = plan_of(spec_text(form, radius, arc, bed, hand))
    proof = prove(template(plan), plan)
    assert proof.passes, proof.failures
    assert [cut.face for cut in proof.cuts] == ["bed", "front"]
    assert [cut.angle_deg for cut in proof.cuts] == pytest.approx([bed, bed + 10], abs=1e-6)
    assert len(proof.readings) == 2
    assert proof.shared_mm3 < 1e-3


def test_a_template_off_its_place_is_caught(demo: Plan) -> None:
    fixture = template(demo)
    moved = fixture.pieces[0].solid.moved(Location((0.05, 0, 0)))
    proof = prove(with_solid(fixture, moved), demo)
    assert any("arm" in failure for failure in proof.failures)
    bed = next(cut for cut in proof.cuts if cut.face == "bed")
    assert bed.offset_mm == pytest.approx(0.05 * sin(radians(demo.spec.throat.bed)), abs=1e-6)
    assert bed.wood_mm3 > 0.01, "the knife scratches the bed's wood"


def test_a_template_of_another_angle_is_caught() -> None:
    plan = plan_of(spec_text("round", 16, 60, 50, "right"))
    other = plan_of(spec_text("round", 16, 60, 50.5, "right"))
    fixture = with_solid(template(plan), template(other).pieces[0].solid)
    proof = prove(fixture, plan)
    assert [cut.angle_error_deg for cut in proof.cuts] == pytest.approx([0.5, 0.5], abs=1e-6)
    assert not proof.passes


def test_a_wall_that_ends_elsewhere_is_caught() -> None:
    plan = plan_of(spec_text("round", 16, 60, 50, "right"))
    wider = plan_of(spec_text("round", 16.2, 60, 50, "right") + f"mouth_at = {plan.throat.mouth_at}\n")
    fixture = with_solid(template(plan), template(wider).pieces[0].solid)
    proof = prove(fixture, plan)
    assert any("end of the bed wall" in failure for failure in proof.failures)


def test_a_knife_that_does_not_reach_the_sole_is_caught(demo: Plan) -> None:
    fixture = template(demo)
    (set_up,) = fixture.set_ups
    short = tuple(
        replace(one, reaches=tuple(replace(reach, past=0.9) for reach in one.reaches))
        for one in set_up.cuts
        if isinstance(one, Scribing)
    )
    proof = prove(replace(fixture, set_ups=(replace(set_up, cuts=short),)), demo)
    # The bridge stands 1 mm off the sole; the point, 0.1 mm thick, is nearer by its lean on the bed's side.
    lean = radians(demo.spec.throat.bed)
    expected = [0.1 - 0.1 * cos(lean), 0.1]
    assert [cut.offset_mm for cut in proof.cuts] == pytest.approx(expected, abs=1e-6)
    assert not proof.passes


def test_turned_over_it_strikes_the_rail(demo: Plan) -> None:
    """Half a turn about the way across, the leaf still on the rabbet face: the rail is in the way."""
    work = work_at_stage(demo, Stage.SOLE_SHAPED)
    over = turned(template(demo).pieces[0].solid, (0, 1, 0))
    low, high = extent(over)
    middle = (low[0] + high[0]) / 2
    # With the tab below the sole or the bridge on the top, and wherever along the blank.
    for lift in (demo.section.height - 1, demo.section.height + 1):
        for x in (40.0, demo.spec.body.length / 2, demo.spec.body.length - 40):
            placed = over.moved(Location((x - middle, 0, lift)))
            assert shared_mm3(placed, work) > 500


def test_turned_end_for_end_it_shows_toe_at_the_heel(demo: Plan) -> None:
    fixture = template(demo)
    labels = {label.text.split()[0]: label.at[0] for label in fixture.pieces[0].labels}
    assert labels["TOE"] < labels["HEEL"]
    arrows = [label for label in fixture.pieces[0].labels if label.text == "⬆"]
    assert arrows and all(label.up == (-1.0, 0.0, 0.0) for label in arrows), "in either hand"
    # Half a turn about plumb: what pointed to the toe points to the heel.
    assert -labels["TOE"] > -labels["HEEL"]


def test_bed_and_front_are_named_beside_their_walls(demo: Plan) -> None:
    throat = demo.spec.throat
    fixture = template(demo, lettered=True)
    words = {label.text: label for label in fixture.pieces[0].labels}
    bed = next(label for text, label in words.items() if text.endswith(f"BED {throat.bed:g}°"))
    front = next(label for text, label in words.items() if text.endswith(f"FRONT {throat.front:g}°"))
    assert bed.at[0] > demo.throat.bed_x(bed.at[2]), "on the heel's side of the window"
    assert front.at[0] < demo.throat.front_x(front.at[2]), "on the toe's side"
    assert min(label.height for label in words.values()) >= 4
    assert fixture.pieces[0].solid.isValid()


def test_the_arm_stops_at_the_toe_end_where_the_printer_has_room(demo: Plan) -> None:
    fixture = template(demo)
    low, high = extent(fixture.pieces[0].solid)
    assert low[0] == pytest.approx(-demo.spec.body.spare - 4, abs=1e-6)
    assert high[0] - low[0] <= 220
    assert any(contact.name == "arm on the toe end" for contact in fixture.set_ups[0].contacts)


def test_a_small_printer_gets_a_mark_to_slide_to() -> None:
    plan = plan_of(spec_text("round", 16, 60, 50, "right") + "[shop.printer]\nvolume = [160, 160, 160]\n")
    fixture = template(plan)
    # On the arris of a 60° arc of 16 mm: 16(1 − cos 30°) up, so cot 60° of it further to the heel.
    rise = 16 * (1 - sqrt(3) / 2)
    expected = plan.spec.throat.mouth_at + plan.spec.body.spare + rise / sqrt(3)
    assert any(f"{expected:.2f} mm from the blank's toe end" in note for note in fixture.notes)
    assert not any("must be split" in note for note in fixture.notes)
    proof = prove(fixture, plan)
    assert proof.passes, proof.failures


def test_it_prints_without_supports(demo: Plan) -> None:
    """No face but the one on the bed looks down by more than 45° from plumb: common practice, no source."""
    piece = template(demo).pieces[0]
    down = np.array(piece.bed_face.normal)
    level = np.array(piece.bed_face.point) @ down
    for face in piece.solid.Faces():
        normal, spot = np.array(face.normalAt().toTuple()), np.array(face.Center().toTuple())
        lies_on_bed = abs(spot @ down - level) < 1e-6
        assert lies_on_bed or normal @ down <= sin(radians(45)) + 1e-9
    assert {round(np.array(v.toTuple()) @ down - level, 6) <= 0 for v in piece.solid.Vertices()} == {True}


def test_a_mouth_too_short_for_a_knife_is_declined_in_figures() -> None:
    text = spec_text("round", 16, 60, 50, "right")
    made = build_fixture("throat_template", plan_of(text + "mouth = 2.5\n[iron]\nthickness = 1\n"))
    assert isinstance(made, Declined)
    # 1.5 + 5 (cot 50° − cot 60°) = 2.81
    assert "2.50 mm" in made.reason and "2.81" in made.reason


def test_its_letters_leave_no_thin_walls(demo: Plan) -> None:
    """Words on two faces at right angles. Walls of 0.8 mm at least: common practice, no source."""
    piece = template(demo, lettered=True).pieces[0]
    mesh, bed = tessellate(piece.solid), piece.bed_face
    lie = matrix_of(laid_down(mesh, flat_face_at(piece.solid, bed.point, bed.normal, piece.name), piece.name))
    points = mesh.points @ lie[:3, :3].T + lie[:3, 3]
    found = print_figures(piece, Mesh(points, mesh.triangles), lie, demo)
    assert found.passes, found.failures
    assert found.stroke is not None and found.stroke.mm >= 0.4, "letters survive the nozzle"
