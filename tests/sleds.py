"""Sleds for tests: built once a plan, stood up for a cut, and the blade that runs in them."""

from __future__ import annotations

from functools import cache

import manifold3d
import numpy as np
from cadquery import Location, Solid, Vector

from cad.geometry import Plan
from cad.geometry.cuts import Planform
from cad.kernel.mesh import tessellate
from cad.outputs.meshes import Meshes
from cad.parts.body import work_at_stage
from fixtures.bench.blade import CircularBlade
from fixtures.bench.model import Declined, Fixture, Piece, Scene, SetUp
from fixtures.bench.workshop import build_fixture
from tests.planes import plan_of


@cache
def sled(plan: Plan, lettered: bool = False) -> Fixture:
    fixture = build_fixture("sled", plan, lettered)
    assert isinstance(fixture, Fixture), fixture
    return fixture


def plate(piece: Piece) -> Planform:
    """Return what is to be cut for a piece, read off its solid."""
    found = Meshes().planform(piece)
    assert isinstance(found, Planform), found
    return found


def declined(text: str) -> str:
    fixture = build_fixture("sled", plan_of(text), lettered=False)
    assert isinstance(fixture, Declined)
    return fixture.reason


def up(plan: Plan) -> int:
    """Return the sign of y that is up on the saw."""
    return -1 if plan.is_left else 1


def standing(fixture: Fixture, set_up: SetUp) -> dict[str, Solid]:
    return {p.name: p.solid.moved(set_up.moves.get(p.name, Location())) for p in fixture.pieces}


def blade_of(set_up: SetUp) -> CircularBlade:
    (blade,) = set_up.cuts
    assert isinstance(blade, CircularBlade)
    return blade


def sweep(plan: Plan, fixture: Fixture, set_up: SetUp) -> Solid:
    """Return what the blade of a set-up passes through, as the proof has it."""
    work = work_at_stage(plan, fixture.stage)
    return blade_of(set_up).sweep(Scene(work, work, standing(fixture, set_up)))


def toward_sawyer(fixture: Fixture, set_up: SetUp) -> Vector:
    """Return the direction from the bridge's front to its back, measured off its two plates."""
    pieces = standing(fixture, set_up)
    return (pieces["sled_bridge_2"].Center() - pieces["sled_bridge_1"].Center()).normalized()


def as_manifold(solid: Solid) -> manifold3d.Manifold:
    mesh = tessellate(solid)
    return manifold3d.Manifold(
        manifold3d.Mesh64(vert_properties=mesh.points, tri_verts=mesh.triangles.astype(np.uint64))
    )
