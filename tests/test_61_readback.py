"""What `make` wrote, read back from its files: a dimension counts when it is measured there."""

from __future__ import annotations

import json
from math import radians, sin
from pathlib import Path

import numpy as np
import pytest
import trimesh
from cadquery import Solid, importers

from cad.geometry import Plan
from cad.kernel.measure import is_plane, plane_of
from tests.test_30_parts import PARTS, assert_sound


def read_step(path: Path) -> Solid:
    (solid,) = importers.importStep(str(path)).vals()[0].Solids()
    return solid


def folder(made: Path, plan: Plan) -> Path:
    return made / plan.spec.name


def test_step_parts_hold_every_invariant(made: Path, demo: Plan) -> None:
    assert_sound(demo, {name: read_step(folder(made, demo) / "parts" / f"{name}.step") for name in PARTS})


def test_step_and_stl_agree(made: Path, demo: Plan) -> None:
    """Volumes by the kernel from STEP and by trimesh from STL, for every part and every piece."""
    files = sorted(folder(made, demo).glob("*/*.stl"))
    assert len(files) > 10
    for stl in files:
        mesh = trimesh.load_mesh(stl)
        assert mesh.is_watertight and mesh.is_winding_consistent, stl.name
        solid = read_step(stl.with_suffix(".step"))
        assert solid.isValid(), stl.name
        assert mesh.volume == pytest.approx(solid.Volume(), rel=5e-4), stl.name


def test_prints_lie_on_the_bed(made: Path, demo: Plan) -> None:
    for stl in (folder(made, demo) / "fixtures").glob("*.stl"):
        mesh = trimesh.load_mesh(stl)
        assert mesh.bounds[0][2] == pytest.approx(0, abs=1e-6), stl.name
        # Something flat lies there, not an edge: the triangles at z = 0 have an area.
        low = np.all(np.abs(mesh.triangles[:, :, 2]) < 1e-6, axis=1)
        assert mesh.area_faces[low].sum() > 10, stl.name


def test_manifest_places_each_print_back_on_its_work(made: Path, demo: Plan) -> None:
    entries = json.loads((folder(made, demo) / "manifest.json").read_text())["files"]
    stls = [entry for entry in entries if entry["path"].startswith("fixtures/") and entry["format"] == "stl"]
    assert stls
    for entry in stls:
        mesh = trimesh.load_mesh(folder(made, demo) / entry["path"])
        mesh.apply_transform(np.linalg.inv(np.array(entry["placement"])))
        low, high = (
            np.array(c) for c in step_box(folder(made, demo) / entry["path"].replace(".stl", ".step"))
        )
        assert np.allclose(mesh.bounds, (low, high), atol=0.02), entry["path"]


def step_box(path: Path) -> tuple[tuple[float, ...], tuple[float, ...]]:
    box = read_step(path).BoundingBox()
    return (box.xmin, box.ymin, box.zmin), (box.xmax, box.ymax, box.zmax)


def test_guide_bears_where_the_kerf_leaves_the_throat(made: Path, demo: Plan) -> None:
    """The bearing faces read from the guide's STEP, moved out by the set of the teeth, are bed and front."""
    guide = read_step(folder(made, demo) / "fixtures" / "saw_guide.step")
    saw, throat = demo.spec.shop.hand_saw, demo.throat
    for angle, mark, side in (
        (radians(throat.bed_deg), throat.mouth_at + throat.mouth, 1),
        (radians(throat.front_deg), throat.mouth_at, -1),
    ):
        normal = np.array((-sin(angle), 0, np.cos(angle))) * side
        wanted = float(np.dot((mark, 0, 0), normal))
        heights = []
        for face in guide.Faces():
            if is_plane(face) and np.allclose(plane_of(face).normal, normal, atol=1e-5) and face.Area() > 100:
                heights.append(float(np.dot(plane_of(face).point, normal)) - wanted)
        # The bearing stands the set of the teeth in front of the finished face, the lip on it.
        assert max(heights) == pytest.approx((saw.kerf - saw.plate) / 2, abs=0.02)
        assert min(heights, key=abs) == pytest.approx(0, abs=0.02)


def test_block_less_its_stack_lies_on_the_sole(made: Path, demo: Plan) -> None:
    """The block's round face read from STEP: radius r ± q about the axis of the sole."""
    from cad.formulas.grit import grain_mm

    spec, abrasive = demo.spec.sole, demo.spec.shop.abrasive
    side = -1 if demo.is_left else 1
    for grit in abrasive.grits:
        block = read_step(folder(made, demo) / "fixtures" / f"sanding_block_{grit}.step")
        stack = abrasive.pad + abrasive.backing + grain_mm(grit)
        radius = spec.radius + (stack if spec.form == "round" else -stack)
        centre = spec.radius if spec.form == "round" else demo.sole.highest - spec.radius
        faces = [
            face
            for face in block.Faces()
            if face.geomType() == "CYLINDER" and abs(face._geomAdaptor().Cylinder().Radius() - radius) < 0.02
        ]
        assert faces, grit
        axis = faces[0]._geomAdaptor().Cylinder().Axis().Location()
        assert (axis.Y(), axis.Z()) == pytest.approx((spec.width / 2 * side, centre), abs=0.02)
