"""The sled: what both saw cuts take from the blank, what spoils them, and where the blade comes out.

All is measured off the solids in the work's frame: up on the saw is +y for a right-hand plane, -y for a left.
"""

from __future__ import annotations

from dataclasses import replace
from math import radians, sin

import manifold3d
import numpy as np
import pytest
from cadquery import Location, Vector

from cad.formulas.sawing import half_chord_mm
from cad.geometry import Plan
from cad.geometry.sled import SledStack
from cad.kernel.measure import extent, flat_face_at, plane_of
from cad.kernel.shapes import mirrored
from cad.parts.body import throat_prism, work_at_stage
from fixtures.bench.model import Fixture
from fixtures.bench.proof import prove
from tests.planes import plan_of, spec_text
from tests.sleds import as_manifold, blade_of, declined, plate, sled, standing, sweep, toward_sawyer, up


def facets(solid: manifold3d.Manifold) -> tuple[np.ndarray, np.ndarray]:
    """Return the unit normals of a mesh's triangles and their corners (n, 3, 3)."""
    mesh = solid.to_mesh64()
    corners = np.asarray(mesh.vert_properties)[:, :3][np.asarray(mesh.tri_verts).astype(int)]
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(across, axis=1)
    kept = size > 1e-6
    return across[kept] / size[kept, None], corners[kept]


# --- the cuts -------------------------------------------------------------------------------------------


def test_the_demos_are_proved(demo: Plan) -> None:
    proof = prove(sled(demo), demo)
    assert proof.passes, proof.failures
    assert [made.face for made in proof.cuts] == ["bed", "front"]
    assert proof.cuts[0].angle_deg == pytest.approx(demo.spec.throat.bed, abs=1e-6)
    assert proof.cuts[1].angle_deg == pytest.approx(demo.spec.throat.front, abs=1e-6)
    assert {"rabbet face on the packing", "toe end on its stop"} <= {c.name for c in proof.contacts}
    assert all(c.area_mm2 > 40 for c in proof.contacts), "each contact is more than an edge"


@pytest.mark.parametrize("form", ["round", "hollow"])
@pytest.mark.parametrize(
    ("radius", "arc", "bed", "hand", "wedge"),
    [(3, 45, 60, "left", 8), (8, 180, 45, "right", 14), (25, 180, 50, "right", 10), (25, 90, 55, "left", 8)],
)
def test_sleds_over_the_range(
    form: str, radius: float, arc: float, bed: float, hand: str, wedge: float
) -> None:
    plan = plan_of(spec_text(form, radius, arc, bed, hand, wedge=wedge))
    proof = prove(sled(plan), plan)
    assert proof.passes, proof.failures


def test_a_mesh_library_finds_the_faces_where_they_belong(demo: Plan) -> None:
    """manifold3d, which shares no code with the kernel, saws the blank; the faces are read off its mesh."""
    fixture = sled(demo)
    blank = as_manifold(work_at_stage(demo, fixture.stage))
    sawn = blank
    for set_up in fixture.set_ups:
        sawn -= as_manifold(sweep(demo, fixture, set_up))
    normals, corners = facets(sawn)
    spec = demo.spec.throat
    for lean, x0, sign in ((spec.bed, spec.mouth_at + spec.mouth, 1), (spec.front, spec.mouth_at, -1)):
        a = radians(lean)
        # Out of the wood: off the bed to the toe and up, off the front face to the heel and down.
        facing = np.array([-sin(a), 0, np.cos(a)]) * sign
        on_face = normals @ facing > np.cos(radians(0.01))
        heights = (corners[on_face] - [x0, 0, 0]) @ facing
        face = np.abs(heights).max(axis=1) < 0.02
        ys = corners[on_face][face][:, :, 1] * up(demo)
        area = np.linalg.norm(
            np.cross(*(corners[on_face][face][:, i] - corners[on_face][face][:, 0] for i in (1, 2))), axis=1
        ).sum()
        assert ys.max() == pytest.approx(demo.sole.width, abs=1e-3), "to the depth of the throat"
        assert ys.min() == pytest.approx(-demo.section.plate, abs=1e-3), "through the rail"
        assert area / 2 > 0.9 * demo.sole.width * demo.section.height / sin(a)


def test_each_cut_is_at_full_depth_right_across(demo: Plan) -> None:
    """The round blade takes from the blank what an endless kerf of the throat's depth would take."""
    fixture = sled(demo)
    work = work_at_stage(demo, fixture.stage)
    throat, kerf = demo.throat, demo.spec.shop.table_saw.kerf
    for set_up, lean, side in zip(
        fixture.set_ups, (throat.bed_deg, throat.front_deg), (throat.bed_x, throat.front_x), strict=True
    ):
        taken = as_manifold(work) ^ as_manifold(sweep(demo, fixture, set_up))
        along = kerf / sin(radians(lean)) * (-1 if side == throat.bed_x else 1)
        low, high = -20.0, demo.section.height + 20
        outline = [(side(low), low), (side(low) + along, low), (side(high) + along, high), (side(high), high)]
        outline = outline if along > 0 else outline[::-1]
        slab = manifold3d.CrossSection([outline]).extrude(demo.throat.depth + 50)
        # x, z, y of the section's frame to x, y, z; from 50 below the rabbet face to the throat's depth.
        turned = slab.transform(np.array([[1.0, 0, 0, 0], [0, 0, -1, 0], [0, 1, 0, 0]]))
        turned = turned.translate([0, demo.throat.depth, 0])
        turned = turned.mirror([0, 1, 0]) if demo.is_left else turned
        endless = as_manifold(work) ^ turned
        assert endless.volume() > 1000
        assert taken.volume() == pytest.approx(endless.volume(), rel=1e-5)


def test_the_kerfs_lie_in_the_waste(demo: Plan) -> None:
    fixture = sled(demo)
    void = throat_prism(demo)
    waste = as_manifold(mirrored(void) if demo.is_left else void)
    blank = as_manifold(work_at_stage(demo, fixture.stage))
    for set_up in fixture.set_ups:
        taken = blank ^ as_manifold(sweep(demo, fixture, set_up))
        assert (taken - waste).volume() < 0.05


# --- what a maker may do wrong is caught ----------------------------------------------------------------


def with_blade(fixture: Fixture, **changes: float) -> Fixture:
    return replace(
        fixture,
        set_ups=tuple(
            replace(set_up, cuts=(replace(blade_of(set_up), **changes),)) for set_up in fixture.set_ups
        ),
    )


def test_a_blade_half_a_millimetre_high_is_caught(demo: Plan) -> None:
    height = demo.throat.depth + 24 + 0.5
    proof = prove(with_blade(sled(demo), height=height), demo)
    assert any("depth" in failure for failure in proof.failures)
    assert all(made.depth_error_mm == pytest.approx(-0.5, abs=1e-6) for made in proof.cuts)


def test_a_thicker_blade_is_caught(demo: Plan) -> None:
    kerf = demo.spec.shop.table_saw.kerf + 0.2
    assert prove(with_blade(sled(demo), kerf=kerf), demo).tool_hits_mm3 > 1, "it widens the base's kerf"


def test_holes_a_twentieth_of_a_degree_out_are_caught(demo: Plan) -> None:
    fixture = sled(demo)
    bed, front = fixture.set_ups
    turn = Location((0, 0, 0), (0, 1, 0), 0.05)
    out = replace(front, moves={name: turn * move for name, move in front.moves.items()})
    proof = prove(replace(fixture, set_ups=(bed, out)), demo)
    assert not proof.passes
    assert proof.cuts[0].angle_error_deg == pytest.approx(0, abs=1e-6)
    assert proof.cuts[1].angle_error_deg == pytest.approx(0.05, abs=1e-6)


def test_a_blank_off_its_stop_is_caught(demo: Plan) -> None:
    fixture = sled(demo)
    pieces = tuple(
        replace(p, solid=p.solid.moved(Location((-0.05, 0, 0)))) if p.name == "sled_fence_1" else p
        for p in fixture.pieces
    )
    proof = prove(replace(fixture, pieces=pieces), demo)
    assert any("toe end" in failure for failure in proof.failures)


# --- the saw --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("radius", "height", "chord"),
    [(60, 8, 59.8665), (25 / 3, 6, 16)],
)
def test_half_chord_against_the_handbook(radius: float, height: float, chord: float) -> None:
    """Worked examples of Machinery's Handbook, 31st ed., p. 79-83: segments of circles."""
    assert 2 * half_chord_mm(2 * radius, height) == pytest.approx(chord, abs=1e-4)


def test_the_blade_comes_out_under_cover(demo: Plan) -> None:
    """At the end of the travel wood stands 10 mm and more behind the teeth, and the roof above them."""
    fixture = sled(demo)
    names = [piece.name for piece in fixture.pieces]
    stack = [name for name in names if name.startswith(("sled_carrier", "sled_fence", "sled_roof"))]
    for set_up in fixture.set_ups:
        blade = sweep(demo, fixture, set_up)
        solids = standing(fixture, set_up)
        for name in stack:
            rear = max(solids[name].Faces(), key=lambda face: face.Center().z)
            assert rear.distance(blade) >= 10
        low, high = extent(solids["sled_roof"])
        under = min(low[1] * up(demo), high[1] * up(demo))
        assert under >= demo.throat.depth
        # The blade ends in the base with wood behind it, and does not reach the end of its kerf.
        way = toward_sawyer(fixture, set_up)
        behind = max(solids["sled_base"].Faces(), key=lambda face, way=way: face.Center().dot(way))
        assert behind.distance(blade) >= 50


def test_the_runner_is_left_of_the_kerf_at_the_saws_distance(demo: Plan) -> None:
    fixture, saw = sled(demo), demo.spec.shop.table_saw
    for set_up in fixture.set_ups:
        pieces = standing(fixture, set_up)
        forward = -toward_sawyer(fixture, set_up)
        right = forward.cross(Vector(0, up(demo), 0))
        side = blade_of(set_up).side
        wall = flat_face_at(pieces["sled_base"], side.point, side.normal, "kerf")
        plane = plane_of(wall)
        middle = Vector(*plane.point) + Vector(*plane.normal) * (saw.kerf / 2)
        out = (pieces["sled_runner"].Center() - middle).dot(right)
        assert out == pytest.approx(-saw.slot_to_blade, abs=1e-6)


def test_the_runner_fits_the_slot() -> None:
    """A slot 3/4 in wide and 3/8 in deep: common practice, no source."""
    plan = plan_of(spec_text("round", 16, 60, 50, "right"))
    (runner,) = (p for p in sled(plan).pieces if p.name == "sled_runner")
    assert 19.05 - 0.3 < plate(runner).size[1] < 19.05
    assert 9.525 - 1 < plate(runner).thickness_mm < 9.525


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ("[shop.router]\nsheet = [600, 400, 6]\n", "too thin"),
        ("[shop.table_saw]\nkerf = 6\n", "7.83 mm along the sole"),
        ("[shop.table_saw]\nblade_diameter = 110\n", "reaches about 33"),
        ("[shop.table_saw]\nslot_to_blade = 20\n", "no room beside the kerf"),
        ("[shop.table_saw]\nslot_depth = 3\n", "runner of 2.5 mm"),
        ("[shop.router]\ncutter = 30\n", "too wide"),
        ("[throat]\nbed = 50\nfront = 52\nmouth = 6\n", "run together"),
    ],
)
def test_what_cannot_be_is_declined_with_its_numbers(more: str, said: str) -> None:
    base = 'name = "odd"\n[sole]\nform = "round"\nradius = 16\narc = 60\n'
    assert said in declined(base + more)


def test_a_throat_beyond_the_blade_is_declined() -> None:
    """A 10 in blade stands some 79 mm above the table at most: common practice, no source."""
    reason = declined(spec_text("round", 40, 180, 50, "right"))
    assert "104.0 mm above the table" in reason and "reaches about 76" in reason


@pytest.mark.parametrize(("sheet", "rail", "boards"), [(12, 10.9, 1), (12, 11.5, 2), (6, 12, 3)])
def test_the_rail_hangs_a_millimetre_clear_of_the_base(sheet: float, rail: float, boards: int) -> None:
    stack = SledStack(sheet, rail, 16.0)
    assert stack.boards == boards and stack.packing - rail >= 1
    assert stack.blade_height == sheet * (boards + 1) + 16
