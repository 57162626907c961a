"""STL and GLB by their own laws, and every format of a solid against every other.

STL: 80 + 4 + 50 n bytes, little endian, not begun by 'solid' (format descriptions). GLB: glTF 2.0, Khronos
Group, its JSON by the standard's own schema as trimesh ships it (jsonschema), its geometry by trimesh. 3MF by
lib3mf: test_3mf.py.
"""

from __future__ import annotations

import json
import struct
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import jsonschema
import numpy as np
import pytest
import trimesh
from trimesh.exchange.gltf import get_schema

from tests.outside.brep import read
from tests.outside.reading import Output

SHARE = 5e-4  # of a volume: facets stand inside a curve
AREA_SHARE = 1e-3
NEAR = 0.02  # mm, of a centroid


def stl_mesh(path: Path) -> trimesh.Trimesh:
    """Return the mesh of a binary STL, its records read here."""
    data = path.read_bytes()
    (count,) = struct.unpack_from("<I", data, 80)
    record = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
    corners = np.frombuffer(data, record, count, 84)["corners"].astype(float)
    return trimesh.Trimesh(corners.reshape(-1, 3), np.arange(3 * count).reshape(-1, 3), process=True)


def test_stl_s_size_law(output: Output) -> None:
    for path in output.files("parts/*.stl", "fixtures/*.stl"):
        data = path.read_bytes()
        (count,) = struct.unpack_from("<I", data, 80)
        assert len(data) == 80 + 4 + 50 * count > 84, path.name
        assert not data[:80].lower().startswith(b"solid"), path.name


def threemf_mesh(path: Path) -> trimesh.Trimesh:
    """Return the mesh of a 3MF, its XML read here (3MF core specification)."""
    with zipfile.ZipFile(path) as package:
        root = ElementTree.fromstring(package.read("3D/3dmodel.model"))
    space = {"m": "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"}
    assert root.get("unit", "millimeter") == "millimeter"
    corners = [[float(v.get(c, "")) for c in "xyz"] for v in root.iterfind(".//m:vertex", space)]
    triangles = [[int(t.get(f"v{i}", "")) for i in (1, 2, 3)] for t in root.iterfind(".//m:triangle", space)]
    (item,) = root.iterfind("./m:build/m:item", space)
    move = np.array([float(f) for f in item.get("transform", "1 0 0 0 1 0 0 0 1 0 0 0").split()]).reshape(
        4, 3
    )
    points = np.array(corners) @ move[:3] + move[3]
    return trimesh.Trimesh(points, triangles, process=True)


def test_volume_area_and_centroid_agree_in_step_stl_and_3mf(output: Output) -> None:
    """Parts stand alike in STEP and STL; a 3MF is moved to the printer's bed, so there only sizes count."""
    for path in output.files("parts/*.step"):
        (solid,) = read(path)
        stl, threemf = stl_mesh(path.with_suffix(".stl")), threemf_mesh(path.with_suffix(".3mf"))
        for mesh in (stl, threemf):
            assert mesh.is_watertight and mesh.is_winding_consistent, path.name
            assert mesh.volume == pytest.approx(solid.volume, rel=SHARE), path.name
            if all(face.axis is not None for face in solid.faces):
                assert mesh.area == pytest.approx(solid.area, rel=AREA_SHARE), path.name
        assert stl.center_mass == pytest.approx(solid.centroid, abs=NEAR), path.name
        placed = np.array(output.entry(path.with_suffix(".3mf"))["placement"])
        assert threemf.center_mass == pytest.approx(
            trimesh.transform_points([solid.centroid], placed)[0], abs=NEAR
        )


def test_glb_by_the_standard_s_schema(output: Output) -> None:
    """glTF 2.0: container of JSON and BIN chunks; the document by Khronos' own JSON schema."""
    data = (output.folder / "plane.glb").read_bytes()
    magic, version, length = struct.unpack_from("<4sII", data)
    assert (magic, version, length) == (b"glTF", 2, len(data))
    size, kind = struct.unpack_from("<I4s", data, 12)
    assert kind == b"JSON" and size % 4 == 0
    document = json.loads(data[20 : 20 + size])
    jsonschema.validate(document, get_schema())
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({**document, "asset": {}}, get_schema())


def test_volume_area_and_centroid_agree_in_step_and_glb(output: Output) -> None:
    """Metres and +Y up in GLB (glTF 2.0): x, z, -y of the plane's frame, in metres. Names as in STEP."""
    scene = trimesh.load(output.folder / "plane.glb")
    solids = {solid.name: solid for solid in read(output.folder / "plane.step")}
    assert set(scene.geometry) == set(solids)
    for name, solid in solids.items():
        mesh = scene.geometry[name]
        assert mesh.is_watertight, name
        assert mesh.volume * 1e9 == pytest.approx(solid.volume, rel=SHARE), name
        x, y, z = solid.centroid
        assert mesh.center_mass * 1e3 == pytest.approx((x, z, -y), abs=NEAR), name
        if all(face.axis is not None for face in solid.faces):
            assert mesh.area * 1e6 == pytest.approx(solid.area, rel=AREA_SHARE), name


def test_colours_agree_in_step_and_glb(output: Output) -> None:
    """STEP holds colours as shown on a screen, glTF linear ones (IEC 61966-2-1, sRGB, from memory)."""
    scene = trimesh.load(output.folder / "plane.glb")
    for solid in read(output.folder / "plane.step"):
        shown = np.array(solid.colour)
        linear = np.where(shown <= 0.04045, shown / 12.92, ((shown + 0.055) / 1.055) ** 2.4)
        factor = scene.geometry[solid.name].visual.material.baseColorFactor
        assert factor[:3] == pytest.approx(255 * linear, abs=1), solid.name
