"""Plates read off their solids, and nested on the spec's sheets.

Areas and volumes are checked against the kernel's own of the faces, overlaps by shapely.
"""

from __future__ import annotations

import json
import re
from functools import cache
from itertools import pairwise
from math import cos, pi, radians, sin, sqrt, tan
from pathlib import Path as File

import pytest
from cadquery import Edge, Face, Solid, Vector, Wire, Workplane
from shapely import LineString, Polygon

from cad.errors import KernelError
from cad.geometry import Plan, derive
from cad.geometry.cuts import NotFlat, Operation, Planform
from cad.kernel.measure import flat_face_at
from cad.kernel.planform import planform
from cad.kernel.shapes import prism, side_at
from cad.outline import Arc, polygon
from cad.outputs.cutting import Cutting, cutting, layer_of
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.spec import parse_spec
from fixtures.bench.model import FaceRef, Fixture, Piece
from fixtures.bench.workshop import build_fixtures
from tests.conftest import DEMOS
from tests.planes import plan_of, spec_text
from tests.products import product
from tests.sleds import plate, sled

RUNNER_OFF = "it is 9 mm thick and the sheet 12 mm: cut it from other stock"


def polygons(cut: Operation, chord_mm: float = 1e-4) -> Polygon:
    return Polygon(cut.path.points(chord_mm), [one.points(chord_mm) for one in cut.holes])


def as_plate(solid: Solid) -> Planform:
    found = planform(solid, "trial")
    assert isinstance(found, Planform), found
    return found


@cache
def cut_of(name: str) -> tuple[Cutting, dict[str, Piece], Meshes]:
    made, meshes = product(name), Meshes()
    return cutting(made, meshes), {piece.name: piece for piece in made.pieces()}, meshes


# --- a plate of every kind of cut ------------------------------------------------------------------------


def trial_plate() -> Solid:
    """Return a 200 × 100 × 12 plate with one cut of each kind, built by the kernel's own features."""
    made = Workplane("XY").box(200, 100, 12, centered=False).faces(">Z").workplane(origin=(0, 0, 0))
    made = made.center(30, 30).cboreHole(6.6, 14, 5).center(40, 0).hole(8)
    made = made.center(30, 0).circle(6).cutBlind(-7)  # a blind hole
    made = made.center(40, 20).circle(25).cutThruAll()  # wider than a drill
    made = made.center(-40, 30).rect(40, 20).extrude(-4, combine="cut")  # a pocket
    made = made.union(Workplane("XY").box(10, 6, 12).translate((100, 80, 6)))  # an island in it
    made = made.cut(Workplane("XY").box(15, 100, 6, centered=False).translate((185, 0, 6)))  # a rebate
    solid = made.clean().val()
    assert isinstance(solid, Solid) or len(solid.Solids()) == 1
    return solid.Solids()[0]


def test_every_kind_of_cut_is_read_with_its_depth() -> None:
    found = as_plate(trial_plate())
    assert found.thickness_mm == 12 and found.size == pytest.approx((200, 100))
    told = [(cut.kind, cut.depth_mm, cut.through, round(cut.path.area, 6)) for cut in found.operations]
    assert sorted(told) == sorted(
        [
            ("outside", 12, True, 20000),
            ("drill", 12, True, round(pi * 3.3**2, 6)),
            ("drill", 12, True, round(pi * 4**2, 6)),
            ("inside", 12, True, round(pi * 25**2, 6)),
            ("drill", 7, False, round(pi * 6**2, 6)),
            ("pocket", 5, False, round(pi * 7**2, 6)),
            ("pocket", 4, False, 800),
            ("pocket", 6, False, 1500),
        ]
    )
    (walled,) = (cut for cut in found.operations if cut.depth_mm == 4)
    assert [round(one.area, 6) for one in walled.holes] == [60], "the island stays"
    (counterbore,) = (cut for cut in found.operations if cut.depth_mm == 5)
    assert counterbore.holes == (), "the hole in it is cut over"
    assert {layer_of(cut) for cut in found.operations} == {
        "OUTSIDE_THROUGH_12MM",
        "INSIDE_THROUGH_12MM",
        "DRILL_6.6MM_THROUGH",
        "DRILL_8MM_THROUGH",
        "DRILL_12MM_7MM_DEEP",
        "POCKET_4MM",
        "POCKET_5MM",
        "POCKET_6MM",
    }


def test_cuts_come_from_the_inside_out_and_the_same_every_time() -> None:
    found = as_plate(trial_plate())
    kinds = [cut.kind for cut in found.operations]
    assert kinds == sorted(kinds, key=("engrave", "drill", "pocket", "inside", "outside").index)
    assert as_plate(trial_plate()) == found


def test_what_is_no_plate_is_said_with_its_angle() -> None:
    square = Workplane("XY").box(60, 40, 10, centered=False)
    cases = {
        square.faces(">Z").edges(">X").chamfer(3, 3 / sqrt(3)).val(): r"leans \d+\.\d° from plumb",
        square.faces(">Z").edges(">X").fillet(3).val(): "round face of it does not stand plumb",
        square.faces("<Z").workplane().circle(5).cutBlind(-4).val(): "hollowed 4.00 mm deep",
        square.union(Workplane("XY").sphere(8).translate((30, 20, 6))).val(): "neither flat nor",
        square.cut(Workplane("XY").box(20, 80, 4).translate((30, 20, 0))).val(): "hollowed 2.00 mm",
    }
    for shape, said in cases.items():
        found = planform(shape.Solids()[0], "odd")
        assert isinstance(found, NotFlat), said
        assert found.name == "odd"
        assert re.search(said, found.reason), found.reason


def test_a_bevel_is_named_by_its_lean() -> None:
    out = 10 * tan(radians(30))
    outline = polygon([(0, 0), (50, 0), (50 - out, 10), (0, 10)])
    found = planform(prism(outline, side_at(0), (0, 30, 0)), "bevelled")
    assert isinstance(found, NotFlat) and "leans 30.0° from plumb" in found.reason


@pytest.mark.parametrize("turn_deg", [0, 25, 90])
def test_an_ellipse_is_cut_in_tangent_arcs(turn_deg: float) -> None:
    """An ellipse of semi-axes 1 and 1/sin 50°, ten times as large: perimeter 72.7446174 (complete elliptic
    integral), area π·a·b."""
    long = 10 / sin(radians(50))
    made = Workplane("XY").box(60, 40, 6, centered=False).faces(">Z").workplane(origin=(30, 20))
    found = as_plate(made.ellipse(long, 10, turn_deg).cutThruAll().val().Solids()[0])
    (cut,) = (one for one in found.operations if one.kind == "inside")
    assert all(isinstance(segment, Arc) for segment in cut.path)
    assert cut.path.length == pytest.approx(72.7446174, abs=2e-3)
    assert cut.path.area == pytest.approx(pi * long * 10, abs=72.7 * 0.005)
    for one, two in pairwise((*cut.path, cut.path.segments[0])):
        assert abs((two.heading_deg(0) - one.heading_deg(1) + 180) % 360 - 180) < 1e-4, "tangent"
    a, b = cos(radians(turn_deg)), sin(radians(turn_deg))
    for x, y in cut.path.points(1e-4):
        along, across = (x - 30) * a + (y - 20) * b, (y - 20) * a - (x - 30) * b
        assert abs(sqrt((along / long) ** 2 + (across / 10) ** 2) - 1) * 10 < 0.006


def test_an_edge_that_no_arc_follows_is_named() -> None:
    """A curve that turns back on itself in a cusp has no tangent there."""
    cusp = [Vector(10, 10, 0), Vector(50, 40, 0), Vector(10, 40, 0), Vector(50, 10, 0)]
    ring = Wire.assembleEdges([Edge.makeBezier(cusp), Edge.makeLine(cusp[-1], cusp[0])])
    solid = Solid.extrudeLinear(Face.makeFromWires(ring), Vector(0, 0, 6))
    with pytest.raises(KernelError, match=r"trial: edge: the one from \(10.*\) cannot be drawn with arcs"):
        planform(solid, "trial")


# --- the plates of the fixtures --------------------------------------------------------------------------


@pytest.mark.parametrize("name", DEMOS)
def test_closed_outlines_have_the_area_of_the_solids_faces(name: str) -> None:
    """The bed face as the kernel measures it; what is sawn off later is missing from it."""
    cut, pieces, _ = cut_of(name)
    assert {plate.name for plate in cut.plates} >= {"sled_base", "sled_roof", "sled_runner"}
    for one in cut.plates:
        piece = pieces[one.name]
        bed = flat_face_at(piece.solid, piece.bed_face.point, piece.bed_face.normal, piece.name)
        missing = [o for o in one.operations if o.kind == "sawn" or (o.through and o.kind != "outside")]
        left = one.outline.area - sum(o.path.area for o in missing)
        assert left == pytest.approx(bed.Area(), rel=1e-7), one.name


@pytest.mark.parametrize("name", DEMOS)
def test_cuts_take_off_what_the_solid_lacks(name: str) -> None:
    """The volume by the kernel, lettering and all, is that of the outline less every cut by its depth."""
    cut, pieces, _ = cut_of(name)
    for one in cut.plates:
        cuts = [o for o in one.operations if o.kind != "outside"]
        taken = sum((o.path.area - sum(h.area for h in o.holes)) * o.depth_mm for o in cuts)
        left = one.outline.area * one.thickness_mm - taken
        assert left == pytest.approx(pieces[one.name].solid.Volume(), rel=1e-6), one.name


@pytest.mark.parametrize("name", DEMOS)
def test_plates_lie_as_their_stl_does(name: str) -> None:
    cut, pieces, meshes = cut_of(name)
    for one in cut.plates:
        low, high = meshes.laid(pieces[one.name]).measure.low, meshes.laid(pieces[one.name]).measure.high
        assert one.outline.bounds() == pytest.approx((low[0], low[1], high[0], high[1]), abs=1e-5)
        assert one.thickness_mm == pytest.approx(high[2], abs=1e-5)


def test_the_base_is_cut_whole_and_sawn_later(demo: Plan) -> None:
    (base,) = (piece for piece in sled(demo, lettered=True).pieces if piece.name == "sled_base")
    found = plate(base)
    assert len(found.outline.segments) == 4, "the router cuts no kerf"
    (kerf,) = (cut for cut in found.operations if cut.kind == "sawn")
    wide = min(kerf.path.bounds()[2] - kerf.path.bounds()[0], kerf.path.bounds()[3] - kerf.path.bounds()[1])
    assert wide == pytest.approx(demo.spec.shop.table_saw.kerf, abs=1e-6)
    assert layer_of(kerf) == "SAWN_LATER"
    assert base.sawn is not None
    assert sum(cut.kind == "engrave" for cut in found.operations) > 20


def test_the_other_hand_is_the_mirror_image() -> None:
    right, left = (
        {p.name: plate(p) for p in sled(plan_of(spec_text("round", 16, 60, 50, hand))).pieces}
        for hand in ("right", "left")
    )
    for name in ("sled_fence_1", "sled_carrier"):
        one, two = polygons(right[name].operations[-1]), polygons(left[name].operations[-1])
        assert one.area == pytest.approx(two.area, rel=1e-9)
        length, width = right[name].size
        images = [
            Polygon([(length - x, y) for x, y in one.exterior.coords]),
            Polygon([(x, width - y) for x, y in one.exterior.coords]),
        ]
        assert min(two.symmetric_difference(image).area for image in images) < 1e-3


# --- sheets ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", DEMOS)
def test_no_outlines_meet_on_the_sheets(name: str) -> None:
    cut, pieces, _ = cut_of(name)
    spacing = product(name).plan.spec.shop.router.spacing
    placed = [plate for sheet in cut.sheets for plate in sheet.plates]
    assert sorted([p.name for p in placed] + list(cut.off_sheet)) == sorted(
        piece.name for piece in pieces.values() if piece.made == "cut"
    )
    own = {plate.name: plate for plate in cut.plates}
    for sheet in cut.sheets:
        edge = Polygon(sheet.outline.points())
        outlines = [Polygon(plate.outline.points(1e-3)) for plate in sheet.plates]
        for i, (plate_on, outline) in enumerate(zip(sheet.plates, outlines, strict=True)):
            assert edge.contains(outline)
            assert all(outline.distance(other) >= spacing - 1e-3 for other in outlines[:i])
            assert plate_on.outline.area == pytest.approx(own[plate_on.name].outline.area, rel=1e-9)
            grown = outline.buffer(2e-3)
            assert all(grown.covers(LineString(one.path.points(1e-3))) for one in plate_on.operations)


def product_of(text: str) -> Product:
    plan = derive(parse_spec(text, "trial.toml"))
    fixtures, declined = build_fixtures(plan, ["sled"], lettered=False)
    return Product(plan, (), tuple(fixtures), tuple(declined))


def test_what_fits_no_sheet_is_said_with_numbers_and_drawn_all_the_same() -> None:
    text = spec_text("round", 16, 60, 50, "right") + "[shop.router]\nsheet = [400, 180, 12]\n"
    made = product_of(text)
    found = cutting(made, Meshes())
    assert "takes 385 × 165 mm" in found.off_sheet["sled_base"]
    assert "shop.router.sheet" in found.off_sheet["sled_base"]
    assert found.off_sheet["sled_runner"] == RUNNER_OFF
    assert "sled_roof" not in found.off_sheet
    assert "sled_base" in {plate.name for plate in found.plates}


def test_no_sheets_when_only_some_pieces_were_asked_for() -> None:
    made = product_of(spec_text("round", 16, 60, 50, "right"))
    some = Product(made.plan, (), made.fixtures, (), whole=False)
    assert cutting(some, Meshes()).sheets == () and cutting(made, Meshes()).sheets != ()


def test_a_cut_piece_that_is_no_plate_is_left_to_the_hand() -> None:
    made = product_of(spec_text("round", 16, 60, 50, "right"))
    (fixture,) = made.fixtures
    block = Workplane("XY").box(60, 40, 12, centered=False).faces(">Z").edges(">X")
    solid = block.fillet(3).val().Solids()[0]
    wedge = Piece("rounded", solid, "cut", FaceRef("rounded", (30, 20, 0), (0, 0, -1)))
    odd = Fixture("odd", fixture.stage, (wedge,), ())
    found = cutting(Product(made.plan, (), (odd,)), Meshes())
    assert found.plates == () and "make it by hand" in found.off_sheet["rounded"]


def test_make_tells_what_is_on_no_sheet(made: File) -> None:
    for name in DEMOS:
        told = json.loads((made / name / "manifest.json").read_bytes())
        reasons = {entry["piece"]: entry["reason"] for entry in told["off_sheet"]}
        assert reasons["sled_runner"] == RUNNER_OFF
        words = (made / name / "fixtures" / "sheets.txt").read_text()
        assert "sheet_1: " in words and "sled_runner: it is 9 mm thick" in " ".join(words.split())
        assert words.index("CAUTION") < words.index("SHEETS")
        assert "eye and ear" in words and "dust" in words and "manual of your" in words
