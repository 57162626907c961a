"""3MF read back with lib3mf itself, and with zip, XML and trimesh, against the core specification.

3MF Core Specification (3MF Consortium): unit attribute, namespace .../3dmanufacturing/core/2015/02, the parts
[Content_Types].xml, _rels/.rels and 3D/3dmodel.model; objects manifold, outward, of at least 4 triangles.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import lib3mf
import numpy as np
import pytest
import trimesh
from cadquery import Solid

from cad.kernel.mesh import tessellate
from cad.kernel.placing import turned_to_fit
from cad.outputs.files import OutFile
from cad.outputs.formats import format_names
from cad.outputs.formats._3mf import threemf_bytes
from cad.outputs.formats.step import PIECE_COLOURS
from cad.outputs.product import Product
from cad.outputs.write import product_files
from tests.conftest import DEMOS
from tests.products import product

CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"


@pytest.fixture(params=DEMOS, scope="module")
def whole(request: pytest.FixtureRequest) -> Product:
    return product(request.param)


@cache
def written(name: str) -> Mapping[str, OutFile]:
    return {file.path: file for file in product_files(product(name), {"3mf"})}


@pytest.fixture
def files(whole: Product) -> Mapping[str, OutFile]:
    return written(whole.plan.spec.name)


def read(data: bytes) -> tuple[Any, Any]:
    """Return the model and its reader, strict: whatever the specification forbids is an error."""
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromBuffer(data)
    return model, reader


def only_mesh(model: Any) -> Any:
    found = model.GetMeshObjects()
    assert found.Count() == 1 and found.MoveNext()
    return found.GetCurrentMeshObject()


def build_item(model: Any) -> Any:
    items = model.GetBuildItems()
    assert items.Count() == 1 and items.MoveNext()
    return items.GetCurrent()


def corners(model: Any) -> np.ndarray:
    """Return the corners as the printer gets them, mm."""
    points = np.array([list(p.Coordinates) for p in only_mesh(model).GetVertices()])
    fields = np.array([list(row) for row in build_item(model).GetObjectTransform().Fields])
    return points @ fields[:3] + fields[3]


def test_the_format_goes_by_its_own_name() -> None:
    assert "3mf" in format_names() and "_3mf" not in format_names()


def test_one_for_every_part_and_every_print(whole: Product, files: Mapping[str, OutFile]) -> None:
    parts = {f"parts/{part.name}.3mf" for part in whole.parts}
    prints = {f"fixtures/{piece.name}.3mf" for piece in whole.pieces() if piece.made == "printed"}
    assert parts and prints and set(files) == parts | prints


def test_opens_without_warnings_in_millimetres_named_and_coloured(
    whole: Product, files: Mapping[str, OutFile]
) -> None:
    colours = {part.name: part.colour for part in whole.parts}
    for path, file in files.items():
        model, reader = read(file.data)
        assert reader.GetWarningCount() == 0, path
        assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
        mesh = only_mesh(model)
        assert mesh.GetName() == file.part
        assert mesh.IsValid() and mesh.IsManifoldAndOriented(), path
        group, material, has = mesh.GetObjectLevelProperty()
        assert has
        materials = model.GetBaseMaterialGroupByID(group)
        colour = materials.GetDisplayColor(material)
        wanted = colours.get(file.part, PIECE_COLOURS["printed"])
        assert (colour.Red, colour.Green, colour.Blue) == pytest.approx([255 * c for c in wanted], abs=0.51)


def test_stands_on_the_middle_of_the_bed(whole: Product, files: Mapping[str, OutFile]) -> None:
    width, depth, _ = whole.plan.spec.shop.printer.volume
    for path, file in files.items():
        model, _ = read(file.data)
        points = corners(model)
        low, high = points.min(axis=0), points.max(axis=0)
        assert low[2] == pytest.approx(0, abs=1e-3), path
        assert ((low + high) / 2)[:2] == pytest.approx((width / 2, depth / 2), abs=0.02), path
        assert file.measure is not None
        assert low == pytest.approx(file.measure.low, abs=0.02), path
        assert high == pytest.approx(file.measure.high, abs=0.02), path


def test_the_placement_carries_the_solid_there(whole: Product, files: Mapping[str, OutFile]) -> None:
    solids = {part.name: part.solid for part in whole.parts}
    solids |= {piece.name: piece.solid for piece in whole.pieces()}
    for path, file in files.items():
        assert file.placement is not None
        place = np.array(file.placement)
        ends = np.array([vertex.toTuple() for vertex in solids[file.part].Vertices()])
        at = ends @ place[:3, :3].T + place[:3, 3]
        points = corners(read(file.data)[0])
        for end in at[:: max(len(at) // 40, 1)]:
            assert np.linalg.norm(points - end, axis=1).min() < 1e-3, path


def test_a_general_library_reads_the_solids_volume(whole: Product, files: Mapping[str, OutFile]) -> None:
    for path, file in files.items():
        model, _ = read(file.data)
        mesh = only_mesh(model)
        points = [list(p.Coordinates) for p in mesh.GetVertices()]
        triangles = [list(t.Indices) for t in mesh.GetTriangleIndices()]
        found = trimesh.Trimesh(points, triangles, process=False)
        assert file.measure is not None
        assert found.is_watertight, path
        assert found.volume == pytest.approx(file.measure.volume_mm3, rel=5e-4), path


def test_the_package_is_laid_out_as_the_specification_asks(files: Mapping[str, OutFile]) -> None:
    for file in files.values():
        with zipfile.ZipFile(io.BytesIO(file.data)) as package:
            assert package.testzip() is None
            assert {"[Content_Types].xml", "_rels/.rels", "3D/3dmodel.model"} <= set(package.namelist())
            model = ElementTree.fromstring(package.read("3D/3dmodel.model"))
        assert model.tag == f"{CORE}model"
        assert model.get("unit", "millimeter") == "millimeter"
        triangles = model.findall(f".//{CORE}triangle")
        assert len(triangles) >= 4
        assert all(len({t.get("v1"), t.get("v2"), t.get("v3")}) == 3 for t in triangles)


def test_another_process_writes_the_same_bytes(
    files: Mapping[str, OutFile], whole: Product, made: Path
) -> None:
    folder = made / whole.plan.spec.name
    theirs = {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*.3mf")}
    assert set(theirs) == set(files)
    assert [path for path, file in files.items() if file.data != theirs[path]] == []


def test_a_long_piece_is_turned_on_a_small_bed() -> None:
    """A 150 × 10 strip fits 120 × 120 only from corner to corner; 100 × 60 fits 70 × 110 after a quarter."""
    strip = np.array([(0, 0, 0), (150, 0, 0), (150, 10, 0), (0, 10, 5)], dtype=float)
    turn = turned_to_fit(strip, (120, 120))
    assert turn is not None
    turned = strip @ turn[:3, :3].T
    assert (np.ptp(turned[:, :2], axis=0) <= 120 + 1e-6).all()
    card = np.array([(0, 0, 0), (100, 0, 0), (100, 60, 0), (0, 60, 5)], dtype=float)
    quarter = turned_to_fit(card, (70, 110))
    assert quarter is not None and quarter[:2, :2] == pytest.approx(np.array([[0, -1], [1, 0]]))
    assert turned_to_fit(card, (110, 70)) == pytest.approx(np.eye(4))
    assert turned_to_fit(strip, (100, 100)) is None, "too long for any turn"


def test_a_turned_piece_is_turned_the_right_way() -> None:
    """A quarter turn about z takes (x, y) to (-y, x); lib3mf keeps points as rows, the program as columns."""
    mesh = tessellate(Solid.makeBox(30, 20, 10))
    place = np.array([[0, -1, 0, 50], [1, 0, 0, 7], [0, 0, 1, 3], [0, 0, 0, 1]], dtype=float)
    points = corners(read(threemf_bytes("block", mesh, (0.5, 0.5, 0.5), place))[0])
    assert points.min(axis=0) == pytest.approx((30, 7, 3), abs=1e-5)
    assert points.max(axis=0) == pytest.approx((50, 37, 13), abs=1e-5)
