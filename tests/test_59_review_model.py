"""What the review page is made of: the library, the triangles, the places, the views, the same bytes."""

from __future__ import annotations

import base64
import gzip
import json
from typing import Any

import numpy as np
import pytest
from cadquery import Solid, Vertex

from cad.checks import LEVELS, run_checks
from cad.errors import OutputError
from cad.geometry import Plan, derive
from cad.geometry.stages import Stage
from cad.kernel.measure import extent
from cad.kernel.mesh import Mesh
from cad.outputs.formats.review import review_model
from cad.outputs.meshes import Meshes
from cad.parts import build_parts
from cad.parts.body import work_at_stage
from cad.report.collect import dimensions
from cad.review import library
from cad.review.packing import Packer
from cad.review.page import review_html
from cad.review.places import places
from cad.review.words import check_rows
from cad.spec import parse_spec, read_spec
from fixtures.bench.proof import scenes
from tests.conftest import DEMOS, demo_path
from tests.products import bare_product, product

FAR_MM = 0.02


def unpacked(model: dict[str, Any]) -> list[Mesh]:
    """Read the blob the way its description says."""
    blob, at, found = gzip.decompress(base64.b64decode(model["geometry"])), 0, []

    def take(kind: str, count: int) -> np.ndarray[Any, Any]:
        nonlocal at
        array = np.frombuffer(blob, kind, count, at)
        at += -(-array.nbytes // 4) * 4
        return array.reshape(-1, 3)

    for head in model["meshes"]:
        grid = take("<u2", 3 * head["corners"])
        triangles = take("<u4" if head["wide"] else "<u2", 3 * head["triangles"])
        points = np.array(head["low"]) + grid * np.array(head["step"])
        found.append(Mesh(points, triangles.astype(np.int64)))
    assert at == len(blob)
    return found


def test_the_library_is_the_one_tried_and_keeps_its_licence() -> None:
    source = library.three_js()
    assert source.startswith("/**\n * @license") and "SPDX-License-Identifier: MIT" in source[:200]
    assert library.revision(source) == "140"
    assert "GLTFLoader" not in source and "</script" not in source


@pytest.mark.parametrize(
    ("page", "says"),
    [
        ("<html></html>", "no longer holds three.js as one piece"),
        (library.STARTS + " */ " + library.ENDS, "lacks WebGLRenderer"),
    ],
)
def test_a_changed_package_is_said_to_have_changed(
    monkeypatch: pytest.MonkeyPatch, page: str, says: str
) -> None:
    monkeypatch.setattr(library, "_page", lambda: page)
    library.three_js.cache_clear()
    with pytest.raises(OutputError, match=says):
        library.three_js()
    library.three_js.cache_clear()


def test_another_revision_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    other = library.three_js().replace('="140"', '="141"')
    monkeypatch.setattr(library, "_page", lambda: other)
    library.three_js.cache_clear()
    with pytest.raises(OutputError, match="r141, not the r140"):
        library.three_js()
    library.three_js.cache_clear()


def test_a_package_without_the_archive_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(library, "ARCHIVE", "resources/nowhere.zip")
    library.three_js.cache_clear()
    with pytest.raises(OutputError, match="trimesh no longer carries"):
        library.three_js()
    library.three_js.cache_clear()


@pytest.mark.parametrize("name", DEMOS)
def test_what_is_packed_is_the_solids(name: str) -> None:
    """Volumes read back out of the page's blob agree with the kernel's."""
    made = bare_product(name)
    model = review_model(made)
    meshes = unpacked(model)
    items = {item["name"]: item for item in model["views"][0]["items"]}
    assert items.keys() == {part.name for part in made.parts}
    for part in made.parts:
        mesh = meshes[items[part.name]["mesh"]]
        assert mesh.volume == pytest.approx(part.solid.Volume(), rel=2e-3), part.name
        low, high = extent(part.solid)
        assert mesh.points.min(axis=0) == pytest.approx(low, abs=FAR_MM)
        assert mesh.points.max(axis=0) == pytest.approx(high, abs=FAR_MM)


def test_many_corners_are_numbered_in_four_bytes() -> None:
    points = np.random.default_rng(1).random((70_000, 3)) * 100
    triangles = np.array([[0, 1, 69_999], [65_535, 65_536, 2]])
    packer = Packer()
    assert packer.add(Solid.makeBox(1, 1, 1), Mesh(points, triangles)) == 0
    (mesh,) = unpacked(packer.packed())
    assert (mesh.triangles == triangles).all()
    assert np.abs(mesh.points - points).max() < 100 / 65535


def test_every_dimension_and_check_is_told(demo: Plan) -> None:
    model = review_model(bare_product(demo.spec.name))
    told = {row["key"]: row for group in model["dimensions"] for row in group["rows"]}
    found = dimensions(demo)
    assert told.keys() == found.keys() - {"name", "unit"}
    assert all(row["shown"] == {u: found[key].shown(u) for u in ("mm", "in")} for key, row in told.items())
    assert sorted(row["id"] for row in model["checks"]) == sorted(check.id for check in run_checks(demo))


NOWHERE = ("shop.printer", "shop.router", "shop.accuracy", "paper")


def test_each_is_linked_to_a_place_and_only_the_tools_and_papers_have_none(demo: Plan) -> None:
    model = review_model(bare_product(demo.spec.name))
    rows = [row for group in model["dimensions"] for row in group["rows"]]
    unplaced = {row["key"] for row in rows if not row["place"]}
    assert unplaced and all(key.startswith(NOWHERE) for key in unplaced)
    named = {row["place"] for row in [*rows, *model["checks"]]} - {""}
    assert named == set(model["places"])
    views = {view["id"]: {item["name"] for item in view["items"]} for view in model["views"]}
    for place in model["places"].values():
        assert set(place["solids"]) <= views[place["view"]]


def test_places_lie_on_the_solids_they_name(demo: Plan) -> None:
    """Measured by the kernel: the point of each place from the solid that it is on."""
    solids = {part.name: part.solid for part in build_parts(demo)}
    for name, place in review_model(bare_product(demo.spec.name))["places"].items():
        if name in ("mouth", "escapement", "throat_top"):  # openings: the point is in the middle of nothing
            continue
        stage = next((s for s in Stage if place["view"] == f"stage-{s.value.replace(' ', '-')}"), None)
        solid = work_at_stage(demo, stage) if stage else solids[place["solids"][0]]
        assert Vertex.makeVertex(*place["at"]).distance(solid) < FAR_MM, name


def test_the_mouth_is_between_edge_and_front(demo: Plan) -> None:
    """The point in the mouth is in no wood or steel, yet within its width of both."""
    at = Vertex.makeVertex(*review_model(bare_product(demo.spec.name))["places"]["mouth"]["at"])
    parts = {part.name: part.solid for part in build_parts(demo)}
    for name in ("body", "iron"):
        assert 0 < at.distance(parts[name]) <= demo.throat.gap


def test_what_fails_comes_first() -> None:
    text = demo_path("cornice-round").read_text().replace("mouth = 6", "mouth = 3").replace(
        "thickness = 3.2", "thickness = 3.0"
    )  # fmt: skip
    rows = check_rows(derive(parse_spec(text, "tight.toml")))
    rank = [(row["holds"], LEVELS.index(row["level"])) for row in rows]
    assert rank == sorted(rank)
    assert not rows[0]["holds"] and rows[0]["level"] == "fail"


def test_fixtures_stand_where_they_are_proved() -> None:
    """Each piece of each set-up has, out of the page, the box it has on the work where it is proved."""
    made = product("cornice-round")
    meshes = Meshes()
    model = review_model(made, meshes)
    solids, views = unpacked(model), {view["id"]: view for view in model["views"]}
    told = {one["name"]: one for one in model["fixtures"]}
    assert told.keys() == {fixture.name for fixture in made.fixtures}
    moved = 0
    for fixture in made.fixtures:
        for (set_up, scene), name in zip(
            scenes(fixture, made.plan), told[fixture.name]["views"], strict=True
        ):
            items = {item["name"]: item for item in views[name]["items"]}
            assert scene.pieces.keys() <= items.keys(), set_up.name
            for piece, solid in scene.pieces.items():
                move = np.array(items[piece].get("move", np.eye(4))).reshape(4, 4)
                moved += "move" in items[piece]
                points = solids[items[piece]["mesh"]].moved(move).points
                low, high = extent(solid)
                assert points.min(axis=0) == pytest.approx(low, abs=FAR_MM), (name, piece)
                assert points.max(axis=0) == pytest.approx(high, abs=FAR_MM), (name, piece)
    assert moved > 0


def test_stages_come_in_the_order_of_the_work(demo: Plan) -> None:
    views = review_model(bare_product(demo.spec.name))["views"]
    assert [view["title"].lower() for view in views if view["kind"] == "stage"] == list(Stage)


def test_same_product_same_bytes_and_words_cannot_break_out() -> None:
    made = bare_product("skirting-round")
    one, two = (review_html(review_model(made)) for _ in range(2))
    assert one == two
    model = json.loads(json.dumps(review_model(made)))
    model["name"] = "</script><script>alert(1)</script>{{MODEL}}"
    assert b"<script>alert" not in review_html(model)


def test_a_live_page_loads_the_servers_own_script_and_a_file_loads_nothing() -> None:
    model = review_model(bare_product("skirting-round"))
    alone, live = review_html(model).decode(), review_html(model, live=True).decode()
    assert 'id="live"' in live and "/live.js" in live and "connect-src 'self'" in live
    assert "/live.js" not in alone and "connect-src" not in alone


def test_a_plan_of_the_other_hand_is_the_mirror_image() -> None:
    text = demo_path("cornice-round").read_text()
    right = derive(read_spec(demo_path("cornice-round")))
    left = derive(parse_spec(text.replace("[body]", '[body]\nhand = "left"'), "left.toml"))
    for name, place in places(right).items():
        x, y, z = place["at"]
        assert places(left)[name]["at"] == pytest.approx([x, -y, z])
