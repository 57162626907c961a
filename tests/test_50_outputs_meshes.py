"""STL and GLB against a general mesh library (trimesh), the kernel's volumes and the formats' own laws."""

from __future__ import annotations

import io
import json
import struct
from collections.abc import Mapping

import numpy as np
import pytest
import trimesh
from cadquery import Location, Solid, Vector, Workplane

from cad.errors import KernelError
from cad.kernel.mesh import CHORD_MM, Mesh, tessellate
from cad.kernel.placing import laid_down, matrix_of
from cad.outputs.files import OutFile
from cad.outputs.formats.glb import linear
from cad.outputs.formats.stl import stl_bytes
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.outputs.write import product_files
from tests.conftest import DEMOS
from tests.products import product

SHARE = 5e-4  # mesh and solid agree in volume to 0.05 %


@pytest.fixture(params=DEMOS, scope="module")
def made(request: pytest.FixtureRequest) -> Product:
    return product(request.param)


@pytest.fixture(scope="module")
def files(made: Product) -> Mapping[str, OutFile]:
    return {file.path: file for file in product_files(made, {"stl", "glb"})}


def solids(made: Product) -> dict[str, Solid]:
    """Return every solid by the path of its STL file."""
    parts = {f"parts/{part.name}.stl": part.solid for part in made.parts}
    return parts | {f"fixtures/{piece.name}.stl": piece.solid for piece in made.pieces()}


def load(data: bytes) -> trimesh.Trimesh:
    return trimesh.load(io.BytesIO(data), file_type="stl", process=True)


def test_stl_is_as_long_as_its_triangles_ask(made: Product, files: Mapping[str, OutFile]) -> None:
    """Binary STL: 80 bytes of header, a count, 50 bytes a triangle, little endian; not begun by 'solid'."""
    stls = {path for path in files if path.endswith(".stl")}
    assert stls == set(solids(made))
    for path in stls:
        data = files[path].data
        (count,) = struct.unpack_from("<I", data, 80)
        assert count > 0 and len(data) == 80 + 4 + 50 * count
        assert not data.lower().startswith(b"solid")


def test_stl_is_watertight_and_as_large_as_its_solid(made: Product, files: Mapping[str, OutFile]) -> None:
    for path, solid in solids(made).items():
        mesh = load(files[path].data)
        assert mesh.is_watertight and mesh.is_winding_consistent, path
        assert mesh.volume == pytest.approx(solid.Volume(), rel=SHARE), path
        assert mesh.body_count == 1, path


def test_stl_normals_point_out(files: Mapping[str, OutFile]) -> None:
    for path, file in files.items():
        if path.endswith(".stl"):
            mesh = trimesh.load(io.BytesIO(file.data), file_type="stl", process=False)
            written = np.frombuffer(file.data, dtype=np.dtype([("n", "<f4", 3), ("rest", "V38")]), offset=84)[
                "n"
            ]
            fat = mesh.area_faces > 1e-3
            assert fat.any()
            assert np.einsum("ij,ij->i", written, mesh.face_normals)[fat] == pytest.approx(1, abs=1e-3), path


def test_parts_stand_in_the_plane_and_pieces_lie_on_the_bed(
    made: Product, files: Mapping[str, OutFile]
) -> None:
    for part in made.parts:
        low, high = load(files[f"parts/{part.name}.stl"].data).bounds
        box = part.solid.BoundingBox()
        assert low == pytest.approx((box.xmin, box.ymin, box.zmin), abs=2 * CHORD_MM)
        assert high == pytest.approx((box.xmax, box.ymax, box.zmax), abs=2 * CHORD_MM)
    for piece in made.pieces():
        file = files[f"fixtures/{piece.name}.stl"]
        mesh = load(file.data)
        low, high = mesh.bounds
        assert low == pytest.approx((0, 0, 0), abs=1e-5), piece.name
        assert high[0] >= high[1] - 1e-5, piece.name
        # Something flat lies on the bed, and it is the face named: the placement takes its point to z = 0.
        resting = np.all(np.abs(mesh.triangles[:, :, 2]) < 1e-5, axis=1)
        assert mesh.area_faces[resting].sum() > 1, piece.name
        assert file.placement is not None
        x, y, z = piece.bed_face.point
        matrix = np.array(file.placement)
        assert (matrix @ (*piece.bed_face.normal, 0.0))[:3] == pytest.approx((0, 0, -1), abs=1e-9)
        assert abs((matrix @ (x, y, z, 1.0))[2]) < 0.5, piece.name
        back = trimesh.transform_points(mesh.vertices, np.linalg.inv(matrix))
        box = piece.solid.BoundingBox()
        assert back.min(axis=0) == pytest.approx((box.xmin, box.ymin, box.zmin), abs=2 * CHORD_MM)
        assert back.max(axis=0) == pytest.approx((box.xmax, box.ymax, box.zmax), abs=2 * CHORD_MM)


def test_measures_in_the_files_own_frame(files: Mapping[str, OutFile]) -> None:
    for path, file in files.items():
        assert file.measure is not None, path
        if path.endswith(".stl"):
            mesh = load(file.data)
            assert mesh.volume == pytest.approx(file.measure.volume_mm3, rel=SHARE)
            assert mesh.bounds == pytest.approx(
                np.array([file.measure.low, file.measure.high]), abs=2 * CHORD_MM
            )


def test_glb_holds_the_parts_by_name_in_metres_with_y_up(made: Product, files: Mapping[str, OutFile]) -> None:
    """glTF 2.0: metres, +Y up; colours linear."""
    file = files["plane.glb"]
    scene = trimesh.load(io.BytesIO(file.data), file_type="glb")
    parts = {part.name: part for part in made.assembly}
    assert set(scene.geometry) == set(parts) == set(scene.graph.nodes_geometry)
    for name, mesh in scene.geometry.items():
        solid = parts[name].solid
        assert mesh.is_watertight and mesh.volume * 1e9 == pytest.approx(solid.Volume(), rel=SHARE)
        box = solid.BoundingBox()
        low, high = mesh.bounds * 1000
        assert low == pytest.approx((box.xmin, box.zmin, -box.ymax), abs=2 * CHORD_MM)
        assert high == pytest.approx((box.xmax, box.zmax, -box.ymin), abs=2 * CHORD_MM)
        wanted = [255 * linear(c) for c in parts[name].colour]
        assert mesh.visual.material.baseColorFactor[:3] == pytest.approx(wanted, abs=1)
    assert file.measure is not None and file.measure.unit == "m"
    assert scene.bounds == pytest.approx(np.array([file.measure.low, file.measure.high]), abs=2e-5)


def test_glb_is_laid_out_as_the_standard_asks(files: Mapping[str, OutFile]) -> None:
    """glTF 2.0, chapter on the GLB container: magic, version, length; JSON then BIN; 4-byte alignment."""
    data = files["plane.glb"].data
    magic, version, length = struct.unpack_from("<III", data, 0)
    assert (magic, version, length) == (0x46546C67, 2, len(data)) and data[:4] == b"glTF"
    json_length, json_kind = struct.unpack_from("<I4s", data, 12)
    assert json_kind == b"JSON" and json_length % 4 == 0
    document = json.loads(data[20 : 20 + json_length])
    bin_length, bin_kind = struct.unpack_from("<I4s", data, 20 + json_length)
    binary = data[28 + json_length :]
    assert bin_kind == b"BIN\0" and bin_length % 4 == 0 and len(binary) == bin_length
    assert document["asset"]["version"] == "2.0"
    assert 0 <= bin_length - document["buffers"][0]["byteLength"] < 4
    for mesh in document["meshes"]:
        (primitive,) = mesh["primitives"]
        points = accessor(document, binary, primitive["attributes"]["POSITION"], "<f4", 3)
        corners = accessor(document, binary, primitive["indices"], "<u4", 1)
        described = document["accessors"][primitive["attributes"]["POSITION"]]
        assert described["min"] == points.min(axis=0).tolist()
        assert described["max"] == points.max(axis=0).tolist()
        assert corners.max() == len(points) - 1 and len(corners) % 3 == 0


def accessor(document: dict, binary: bytes, index: int, kind: str, width: int) -> np.ndarray:
    """Return the numbers of an accessor, its alignment checked."""
    described = document["accessors"][index]
    view = document["bufferViews"][described["bufferView"]]
    assert view["byteOffset"] % 4 == 0
    assert view["byteLength"] == described["count"] * width * 4
    flat = np.frombuffer(binary, kind, described["count"] * width, view["byteOffset"])
    return flat.reshape(-1, width) if width > 1 else flat


def test_srgb_to_linear() -> None:
    """IEC 61966-2-1: 0 and 1 stay; the two branches meet at 0.04045; a half is 0.2140 (from memory)."""
    assert linear(0.0) == 0.0 and linear(1.0) == pytest.approx(1.0)
    assert linear(0.04045) == pytest.approx(0.0031308, abs=1e-6)
    assert linear(0.0404501) == pytest.approx(linear(0.04045), abs=1e-6)
    assert linear(0.5) == pytest.approx(0.21404, abs=1e-5)


def test_triangles_that_vanish_in_single_precision_are_left_out() -> None:
    points = np.array([[0, 0, 0], [250, 0, 0], [250, 250, 0], [250, 250.000001, 0]], dtype=float)
    mesh = Mesh(points, np.array([[0, 1, 2], [0, 2, 3]]))
    assert struct.unpack_from("<I", stl_bytes(mesh), 80) == (1,)


@pytest.mark.parametrize("turn", [0, 17, 90, 143, 211.3])
@pytest.mark.parametrize("side", ["<Z", ">X", "<Y"])
def test_a_block_is_laid_down_the_same_from_any_pose(turn: float, side: str) -> None:
    block = Workplane("XY").box(30, 20, 10)
    face = block.faces(side).val()
    move = Location(Vector(5, -7, 11), Vector(1, 2, 3), turn)
    solid, bed = block.val().moved(move), face.moved(move)
    location = laid_down(tessellate(solid), bed, "block")
    box = solid.moved(location).BoundingBox()
    assert (box.xmin, box.ymin, box.zmin) == pytest.approx((0, 0, 0), abs=1e-6)
    sides = {"<Z": (30, 20, 10), ">X": (20, 10, 30), "<Y": (30, 10, 20)}[side]
    assert (box.xmax, box.ymax, box.zmax) == pytest.approx(sides, abs=1e-6)
    matrix = matrix_of(location)
    assert np.linalg.det(matrix[:3, :3]) == pytest.approx(1), "a piece is turned, never mirrored"


def test_a_piece_cannot_lie_on_a_face_it_reaches_below() -> None:
    step = Workplane("XY").box(30, 20, 10).faces("<Z").workplane().rect(10, 10).extrude(5)
    ledge = step.faces("<Z[1]").val()
    with pytest.raises(KernelError, match="below the face"):
        laid_down(tessellate(step.val()), ledge, "step")


def test_one_mesh_for_all_formats(made: Product) -> None:
    meshes = Meshes()
    solid = made.parts[0].solid
    assert meshes.of(solid) is meshes.of(solid)
