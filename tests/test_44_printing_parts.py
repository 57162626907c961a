"""Prints in parts: they fit, line up and go together again, judged by the kernel and by manifold3d."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import pi

import manifold3d
import numpy as np
import pytest
import trimesh
from cadquery import Location, Solid

from cad.geometry import Plan
from cad.kernel.measure import Plane, extent, shared_mm3
from cad.kernel.mesh import tessellate
from cad.kernel.parting import parted, section
from cad.kernel.shapes import box, cylinder, fuse, section_at
from cad.outputs.meshes import Meshes
from fixtures.bench.joining import joined
from fixtures.bench.model import FaceRef, Fixture, Label, Piece
from fixtures.bench.pins import hole_for, pins_for
from fixtures.bench.print_proof import prove_prints
from fixtures.bench.proof import prove
from fixtures.bench.splitting import Parted, fits, split_to_fit
from fixtures.bench.workshop import build_fixture
from tests.planes import plan_of, spec_text

UP = (0.0, 0.0, 1.0)


def plan_with(volume: str, form: str = "round", radius: float = 40, hand: str = "right") -> Plan:
    return plan_of(spec_text(form, radius, 60, 50, hand) + f"[shop.printer]\nvolume = {volume}\n")


CASES = [("[120, 120, 120]", "round", 40, "right"), ("[120, 120, 120]", "hollow", 40, "left")]


@cache
def guide(volume: str, form: str, radius: float, hand: str) -> tuple[Plan, Fixture, Parted]:
    plan = plan_with(volume, form, radius, hand)
    fixture = build_fixture("saw_guide", plan, lettered=False)
    assert isinstance(fixture, Fixture)
    return plan, fixture, split_to_fit(fixture.pieces[0], plan)


def manifold(solid: Solid) -> manifold3d.Manifold:
    mesh = tessellate(solid)
    made = manifold3d.Manifold(manifold3d.Mesh64(mesh.points, mesh.triangles.astype(np.uint64)))
    assert made.status() == manifold3d.Error.NoError
    return made


def bar(length: float, wide: float = 30, tall: float = 20, *labels: Label) -> Piece:
    solid = box((0, 0, 0), (length, wide, tall))
    return Piece("bar", solid, "printed", FaceRef("bar", (length / 2, wide / 2, 0), (0, 0, -1)), labels)


@pytest.mark.parametrize("case", CASES)
def test_a_large_guide_comes_in_parts_that_fit_and_print(case: tuple[str, str, float, str]) -> None:
    plan, fixture, made = guide(*case)
    assert not fits(fixture.pieces[0], plan)
    assert [piece.name for piece in made.pieces] == ["saw_guide_a", "saw_guide_b"]
    assert all(len(joint.pins) >= 2 for joint in made.joints)
    proof = prove_prints(fixture, plan)
    assert proof.passes, proof.failures
    for found in proof.prints:
        assert found.fits and sorted(found.size)[-1] <= 120 + 1e-6
        assert found.overhang_mm2 < 1 and found.wall is not None and found.wall.mm >= 0.8 - 0.01


@pytest.mark.parametrize("case", CASES)
def test_the_parts_go_together_to_the_guide(case: tuple[str, str, float, str]) -> None:
    plan, fixture, made = guide(*case)
    found = joined(made, plan)
    assert found.passes, found.failures
    whole = fixture.pieces[0].solid
    again = fuse(
        *(piece.solid for piece in made.pieces),
        *(hole for joint in made.joints for hole in joint.holes),
        part="guide",
        feature="parts",
    )
    assert again.Volume() == pytest.approx(whole.Volume(), rel=1e-6)
    assert shared_mm3(again, whole) == pytest.approx(whole.Volume(), rel=1e-6)


@pytest.mark.parametrize("case", CASES)
def test_a_second_library_agrees_that_they_do(case: tuple[str, str, float, str]) -> None:
    _, fixture, made = guide(*case)
    whole, parts = manifold(fixture.pieces[0].solid), [manifold(piece.solid) for piece in made.pieces]
    holes = [manifold(hole) for joint in made.joints for hole in joint.holes]
    together = manifold3d.Manifold.batch_boolean([*parts, *holes], manifold3d.OpType.Add)
    assert (together - whole).volume() < 0.5 and (whole - together).volume() < 0.5
    assert (parts[0] ^ parts[1]).volume() < 0.5


@pytest.mark.parametrize("case", CASES)
def test_the_whole_guide_is_proved_and_the_parts_are_written(case: tuple[str, str, float, str]) -> None:
    plan, fixture, made = guide(*case)
    assert prove(fixture, plan).passes
    lettered = build_fixture("saw_guide", plan)
    assert isinstance(lettered, Fixture)
    assert [piece.name for piece in lettered.pieces] == [piece.name for piece in made.pieces]
    assert any("2 parts: saw_guide_a, saw_guide_b" in note for note in lettered.notes)
    words = sorted(label.text for piece in lettered.pieces for label in piece.labels)
    assert words == sorted(label.text for label in fixture.pieces[0].labels), "no word is lost at the joint"
    meshes = Meshes()
    for piece, plain in zip(lettered.pieces, made.pieces, strict=True):
        laid = meshes.laid(piece)
        mesh = trimesh.Trimesh(laid.mesh.points, laid.mesh.triangles)
        assert mesh.is_watertight and mesh.body_count == 1
        assert mesh.volume < plain.solid.Volume(), "its words are cut in"
        assert laid.mesh.points[:, 2].min() == 0


def test_a_part_out_of_place_is_caught() -> None:
    plan, _, made = guide(*CASES[0])
    first, *others = made.pieces
    shoved = replace(first, solid=first.solid.moved(Location((0.2, 0, 0))))
    found = joined(replace(made, pieces=(shoved, *others)), plan)
    assert any("too little" in failure or "share" in failure for failure in found.failures)


def test_a_forgotten_part_and_a_tight_hole_are_caught() -> None:
    plan, _, made = guide(*CASES[0])
    assert any(
        "too little" in failure for failure in joined(replace(made, pieces=made.pieces[:1]), plan).failures
    )
    joints = tuple(
        replace(joint, pins=tuple(replace(pin, diameter=pin.diameter + 0.2) for pin in joint.pins))
        for joint in made.joints
    )
    assert any("room" in failure for failure in joined(replace(made, joints=joints), plan).failures)


def test_what_fits_is_left_whole_also_when_only_a_turn_makes_it_fit() -> None:
    plan = plan_with("[220, 220, 250]")
    assert len(split_to_fit(bar(200), plan).pieces) == 1
    assert len(split_to_fit(bar(280, wide=12), plan).pieces) == 1, "from corner to corner"
    assert len(split_to_fit(bar(280, wide=60), plan).pieces) == 2
    assert len(split_to_fit(bar(150), plan_with("[100, 160, 100]")).pieces) == 1, "a quarter turn"


@pytest.mark.parametrize(
    ("length", "wide", "tall", "parts"),
    [(180, 30, 20, 2), (330, 30, 20, 3), (40, 40, 180, 2), (200, 200, 30, 4)],
)
def test_plain_bars(length: float, wide: float, tall: float, parts: int) -> None:
    plan = plan_with("[110, 110, 110]")
    made = split_to_fit(bar(length, wide, tall), plan)
    assert len(made.pieces) == parts
    assert joined(made, plan).passes
    for piece in made.pieces:
        low, high = extent(piece.solid)
        assert fits(piece, plan), [b - a for a, b in zip(low, high, strict=True)]


def test_a_joint_lets_the_words_be() -> None:
    plan = plan_with("[110, 110, 110]")
    label = Label("TOE", (90, 15, 20), UP, (0, 1, 0), 6.0)
    made = split_to_fit(bar(180, 30, 20, label), plan)
    assert made.lost == () and sum(len(piece.labels) for piece in made.pieces) == 1
    across = Label("A VERY LONG INSCRIPTION", (90, 15, 20), UP, (0, 1, 0), 6.0)
    assert split_to_fit(bar(180, 30, 20, across), plan).lost == (across.text,)


def test_what_would_take_too_many_parts_is_not_parted_and_said_to_be_too_large() -> None:
    plan = plan_with("[60, 60, 60]", radius=16)
    fixture = build_fixture("saw_guide", plan, lettered=False)
    assert isinstance(fixture, Fixture)
    assert any("does not fit the printer" in failure for failure in prove_prints(fixture, plan).failures)
    made = build_fixture("saw_guide", plan)
    assert isinstance(made, Fixture)
    assert any("larger one" in note for note in made.notes)


def test_a_section_is_as_large_as_it_is() -> None:
    tube = cylinder((0, 0, 0), (1, 0, 0), 10, 50).cut(cylinder((-1, 0, 0), (1, 0, 0), 6, 52)).Solids()[0]
    found = section(tube, Plane((20, 0, 0), (1, 0, 0)), section_at(20))
    assert found.area == pytest.approx(pi * (100 - 36), rel=2e-3)
    assert section(tube, Plane((60, 0, 0), (1, 0, 0)), section_at(60)).is_empty
    behind, front = parted(tube, Plane((20, 0, 0), (1, 0, 0)))
    assert behind[0].Volume() == pytest.approx(0.4 * tube.Volume()) and len(front) == 1
    assert parted(tube, Plane((60, 0, 0), (1, 0, 0)))[1] == []


def test_pins_keep_their_walls_and_have_two_or_none() -> None:
    plan = plan_with("[110, 110, 110]")
    joint = Plane((90, 0, 0), (1, 0, 0))
    for wide, tall, expected in (
        (30, 20, [4.0, 4.0]),
        (30, 6, [1.75, 1.75]),
        (30, 3, []),
        (8, 30, [4.0, 4.0]),
    ):
        block = box((0, 0, 0), (180, wide, tall))
        pins = pins_for(block, joint, (1, 0, 0), UP, plan)
        assert [pin.diameter for pin in pins] == expected, (wide, tall)
        for pin in pins:
            hole = hole_for(pin, UP, plan)
            assert shared_mm3(hole, block) == pytest.approx(hole.Volume(), rel=1e-6)
            left = min(face.distance(hole) for face in block.Faces())
            assert left >= 1.2 - 1e-3
