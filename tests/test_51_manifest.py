"""The manifest tells the truth about a real plane's files, and the same spec gives the same bytes."""

from __future__ import annotations

import json
import os
import re
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh
from cadquery import importers

from cad.errors import OutputError
from cad.outputs.files import OutFile
from cad.outputs.formats import format_names
from cad.outputs.inputs import Inputs
from cad.outputs.manifest import decoded, encoded, manifest_of, merged, unaltered
from cad.outputs.product import Product
from cad.outputs.write import product_files, write_product
from fixtures.bench.model import Declined
from tests.changes import tree
from tests.conftest import DEMOS, demo_path, planewright
from tests.products import bare_product, product

FORMATS = {"step", "stl", "glb", "dxf", "svg"}
PARTS = ["body", "cheek_plate", "iron", "throat", "wedge"]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_product(product("cornice-round"), tmp_path_factory.mktemp("out"), FORMATS)


@pytest.fixture(scope="module")
def entries(folder: Path) -> list[dict[str, Any]]:
    listed: list[dict[str, Any]] = json.loads((folder / "manifest.json").read_bytes())["files"]
    return listed


def test_formats_are_found_by_their_files() -> None:
    assert set(format_names()) >= FORMATS
    with pytest.raises(ValueError, match="no such format: stp"):
        product_files(bare_product("cornice-round"), {"stp"})


def test_every_file_is_listed_with_its_size_and_hash(folder: Path, entries: list[dict[str, Any]]) -> None:
    found = {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}
    assert found == {entry["path"] for entry in entries} | {"manifest.json"}
    for entry in entries:
        data = (folder / entry["path"]).read_bytes()
        assert entry["size"] == len(data)
        assert entry["sha256"] == sha256(data).hexdigest()
        assert entry["format"] == entry["path"].rpartition(".")[2]
    assert {f"parts/{part}.{kind}" for part in PARTS for kind in ("step", "stl")} <= found
    assert {"plane.step", "plane.glb"} <= found


def test_volumes_and_boxes_are_those_of_the_files(folder: Path, entries: list[dict[str, Any]]) -> None:
    """Measured back from each file, by the kernel from STEP and by trimesh from the meshes."""
    for entry in entries:
        path = folder / entry["path"]
        if entry["format"] == "step":
            shape = importers.importStep(str(path))
            solids = shape.solids().vals()
            assert sum(s.Volume() for s in solids) == pytest.approx(entry["volume_mm3"], rel=1e-6)
            boxes = [s.BoundingBox() for s in solids]
            low = np.min([(b.xmin, b.ymin, b.zmin) for b in boxes], axis=0)
            high = np.max([(b.xmax, b.ymax, b.zmax) for b in boxes], axis=0)
            assert np.array([low, high]) == pytest.approx(np.array(entry["bounding_box"]), abs=1e-4)
        elif entry["format"] in ("stl", "glb"):
            loaded = trimesh.load(path)
            scale = {"mm": 1.0, "m": 1000.0}[entry["unit"]]
            assert loaded.volume * scale**3 == pytest.approx(entry["volume_mm3"], rel=5e-4)
            assert loaded.bounds * scale == pytest.approx(np.array(entry["bounding_box"]) * scale, abs=0.02)


def test_step_and_stl_of_one_solid_agree(entries: list[dict[str, Any]]) -> None:
    volumes: dict[str, set[float]] = {}
    for entry in entries:
        if entry["format"] in ("step", "stl") and entry["part"]:
            volumes.setdefault(entry["part"], set()).add(round(entry["volume_mm3"], 3))
    assert set(PARTS) <= set(volumes)
    for part, found in volumes.items():
        assert max(found) - min(found) <= 1e-6 * max(found), part


def test_a_placement_takes_the_step_to_the_stl(folder: Path, entries: list[dict[str, Any]]) -> None:
    by_path = {entry["path"]: entry for entry in entries}
    pieces = [entry for entry in entries if "placement" in entry]
    assert {e["part"] for e in pieces} == {piece.name for piece in product("cornice-round").pieces()}
    for entry in pieces:
        matrix = np.array(entry["placement"])
        laid = trimesh.load(folder / entry["path"])
        back = trimesh.transform_points(laid.vertices, np.linalg.inv(matrix))
        box = by_path[entry["path"].replace(".stl", ".step")]["bounding_box"]
        assert np.array([back.min(axis=0), back.max(axis=0)]) == pytest.approx(np.array(box), abs=0.02)


def test_what_made_it_is_named_without_clock_or_place(folder: Path) -> None:
    text = (folder / "manifest.json").read_text()
    told = json.loads(text)
    assert told["name"] == "cornice-round"
    assert told["spec_sha256"] == sha256(demo_path("cornice-round").read_bytes()).hexdigest()
    assert set(told["versions"]) >= {"planewright", "python", "cadquery", "ocp", "trimesh", "numpy"}
    assert told["versions"]["trimesh"] == version("trimesh")
    assert told["chord_mm"] == 0.01
    assert text == json.dumps(told, indent=1, sort_keys=True, ensure_ascii=False) + "\n"
    assert str(folder.parent) not in text
    assert not re.search(r"\b20[2-9]\d-\d\d-\d\d", text)


def test_fixtures_that_cannot_be_made_are_named_with_the_reason(tmp_path: Path) -> None:
    whole = bare_product("cornice-round")
    made = Product(whole.plan, whole.parts, (), (Declined("sled", "the slot is too far away"),))
    folder = write_product(made, tmp_path, {"stl"})
    told = json.loads((folder / "manifest.json").read_bytes())
    assert told["declined"] == [{"fixture": "sled", "reason": "the slot is too far away"}]


def test_one_part_alone_leaves_the_rest_and_the_assembly(tmp_path: Path) -> None:
    whole = bare_product("cornice-round")
    folder = write_product(whole, tmp_path, FORMATS)
    before = {p: p.read_bytes() for p in folder.rglob("*") if p.is_file()}
    alone = Product(whole.plan, tuple(part for part in whole.parts if part.name == "iron"), ())
    assert {file.path for file in product_files(alone, {"step", "stl", "glb"})} == {
        "parts/iron.step",
        "parts/iron.stl",
    }
    write_product(alone, tmp_path, FORMATS, merge=True)
    assert {p: p.read_bytes() for p in folder.rglob("*") if p.is_file()} == before
    fresh = write_product(alone, tmp_path / "fresh", {"step"}, merge=True)
    assert sorted(p.name for p in fresh.rglob("*.*")) == ["iron.step", "manifest.json"]


def test_two_pieces_of_one_name_are_refused() -> None:
    whole = bare_product("cornice-round")
    twice = Product(whole.plan, whole.parts + whole.parts[:1], ())
    with pytest.raises(OutputError, match=r"two pieces would be written to one file: parts/body\.step"):
        product_files(twice, {"step"})


def test_a_manifest_reads_back_and_nothing_else_does() -> None:
    manifest = manifest_of(
        "a", "s", {"python": "3"}, 0.01, [OutFile("a.stl", b"x", "a")], {"sled": "no slot"}
    )
    assert decoded(encoded(manifest)) == manifest
    for other in (
        b"",
        b"{}",
        b"[1]",
        b"\xff\xfe",
        b'{"made_by": "planewright", "files": [1], "declined": []}',
    ):
        assert decoded(other) is None


def test_a_manifest_that_somebody_has_spoiled_is_none_or_refused() -> None:
    """Nested without end, with half a character, or with tables of another make: no traceback, in any run."""
    assert decoded(b"[" * 200_000) is None and unaltered(b'{"a": ' * 200_000) is None
    sound = manifest_of("p", "0", {}, 0.01, [], {}, made_from=Inputs())
    half = json.dumps({**sound, "name": "\ud800"}).encode()
    assert unaltered(half) is None
    for key, value in (("off_sheet", [{}]), ("inputs", {"values": 3}), ("inputs", {}), ("inputs", [])):
        with pytest.raises(OutputError, match="has been changed since"):
            merged({**sound, key: value}, sound)


def test_the_same_spec_gives_the_same_bytes(made: Path, tmp_path: Path) -> None:
    """In every format, from processes of other time zone, language, folder, hash seed, order and number."""
    tokyo = {"TZ": "Asia/Tokyo", "LANG": "de_DE.UTF-8", "LC_ALL": "C.UTF-8", "PYTHONHASHSEED": "77"}
    to = tmp_path / "two" / "deeper"
    for name, hands in ((DEMOS[-1], 1), (DEMOS[0], 2)):
        order = ("--to", to, "--workers", hands)
        done = planewright("make", demo_path(name), *order, env=os.environ | tokyo)
        assert done.returncode == 0, done.stderr
        one, two = tree(made / name), tree(to / name)
        assert set(one) == set(two) and len(one) > 14
        assert [path for path in sorted(one) if one[path] != two[path]] == []
