"""DXF and SVG of plates and sheets read back: audit, units, layers, and measures against the solids."""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as ET
from functools import cache
from math import dist, pi

import ezdxf
import numpy as np
import pytest
from ezdxf.document import Drawing
from ezdxf.entities import Arc as DxfArc
from ezdxf.entities import DXFEntity, LWPolyline
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.GeomAbs import GeomAbs_SurfaceType
from shapely import Point as Spot
from shapely import Polygon, union_all

from cad.kernel.measure import flat_face_at
from cad.outputs.drawings import NAMES, SHEET
from cad.outputs.formats.svg import MARGIN_MM
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.outputs.write import product_files
from fixtures.bench.model import Piece
from tests.conftest import DEMOS
from tests.products import product

LAYER = re.compile(
    r"(OUTSIDE|INSIDE)_THROUGH_[\d.]+MM|POCKET_[\d.]+MM|ENGRAVE_[\d.]+MM"
    r"|DRILL_[\d.]+MM_(THROUGH|[\d.]+MM_DEEP)|SAWN_LATER|SHEET|NAMES|0|Defpoints"
)


@cache
def files(name: str) -> dict[str, bytes]:
    return {file.path: file.data for file in product_files(product(name), {"dxf", "svg"})}


def sheet_names(name: str) -> list[str]:
    return sorted(path[:-4] for path in files(name) if re.fullmatch(r"fixtures/sheet_\d+\.dxf", path))


def document(name: str, path: str) -> Drawing:
    found = ezdxf.read(io.StringIO(files(name)[path].decode()))
    audit = found.audit()
    assert not audit.has_errors and not audit.has_fixes
    assert found.header["$INSUNITS"] == 4, "millimetres, DXF reference"
    assert all(LAYER.fullmatch(layer.dxf.name) for layer in found.layers)
    return found


def region(entity: DXFEntity) -> Polygon:
    """Return what a closed polyline or a circle encloses, its arcs as ezdxf understands them."""
    if entity.dxftype() == "CIRCLE":
        return Spot(entity.dxf.center.x, entity.dxf.center.y).buffer(entity.dxf.radius, quad_segs=256)
    assert isinstance(entity, LWPolyline) and entity.closed
    points: list[tuple[float, float]] = [entity.get_points("xy")[0]]
    for part in entity.virtual_entities():
        ends = part.flattening(1e-4) if isinstance(part, DxfArc) else (part.dxf.start, part.dxf.end)
        run = [(p.x, p.y) for p in ends]
        onward = run if dist(run[0], points[-1]) < dist(run[-1], points[-1]) else run[::-1]
        assert dist(onward[0], points[-1]) < 1e-6, "the polyline is broken"
        points += onward[1:]
    assert dist(points[0], points[-1]) < 1e-6, "the polyline is open"
    return Polygon(points[:-1])


def cut_pieces(made: Product) -> list[Piece]:
    return [piece for piece in made.pieces() if piece.made == "cut"]


def goes_through(layer: str) -> bool:
    """Return whether what a layer shows is missing from the plate's lower face."""
    return layer == "SAWN_LATER" or ("THROUGH" in layer and not layer.startswith("OUTSIDE"))


def outside_of(found: Drawing) -> Polygon:
    (outline,) = (e for e in found.modelspace() if e.dxf.layer.startswith("OUTSIDE"))
    return region(outline)


@pytest.mark.parametrize("name", DEMOS)
def test_every_cut_piece_reads_back_with_the_area_of_its_face(name: str) -> None:
    for piece in cut_pieces(product(name)):
        found = document(name, f"fixtures/{piece.name}.dxf")
        bed = flat_face_at(piece.solid, piece.bed_face.point, piece.bed_face.normal, piece.name)
        gone = [region(e) for e in found.modelspace() if goes_through(e.dxf.layer)]
        left = outside_of(found).difference(union_all(gone)).area
        assert left == pytest.approx(bed.Area(), rel=1e-5), piece.name


@pytest.mark.parametrize("name", DEMOS)
def test_what_is_read_back_measures_true(name: str) -> None:
    """Against the solid as it lies on the sheet: its box, its thickness, and every round hole's diameter."""
    meshes = Meshes()
    for piece in cut_pieces(product(name)):
        found, laid = document(name, f"fixtures/{piece.name}.dxf"), meshes.laid(piece)
        (x0, y0, _), (x1, y1, z1) = laid.measure.low, laid.measure.high
        assert outside_of(found).bounds == pytest.approx((x0, y0, x1, y1), abs=1e-3), piece.name
        assert found.layers.has_entry(f"OUTSIDE_THROUGH_{round(z1, 3):g}MM")
        circles = [e for e in found.modelspace() if e.dxftype() == "CIRCLE"]
        for circle in circles:
            told = float(circle.dxf.layer.split("_")[1].removesuffix("MM"))
            assert told == pytest.approx(2 * circle.dxf.radius, abs=1e-3)
        bores = sorted(whole_bores(piece))
        assert sorted(c.dxf.radius for c in circles) == pytest.approx(bores, abs=1e-6), piece.name


def whole_bores(piece: Piece) -> list[float]:
    """Return the radii of the round faces that go all the way round."""
    found: list[float] = []
    for face in piece.solid.Faces():
        surface = BRepAdaptor_Surface(face.wrapped)
        if surface.GetType() == GeomAbs_SurfaceType.GeomAbs_Cylinder:
            turn = surface.LastUParameter() - surface.FirstUParameter()
            if abs(turn - 2 * pi) < 1e-6:
                found.append(surface.Cylinder().Radius())
    return found


@pytest.mark.parametrize("name", DEMOS)
def test_sheets_hold_every_plate_once_apart_and_within(name: str) -> None:
    spacing = product(name).plan.spec.shop.router.spacing
    names: list[str] = []
    for path in sheet_names(name):
        found = document(name, f"{path}.dxf")
        (edge,) = (region(e) for e in found.modelspace() if e.dxf.layer == SHEET)
        assert edge.bounds == (0, 0, 600, 400)
        outlines = [region(e) for e in found.modelspace() if e.dxf.layer.startswith("OUTSIDE")]
        assert all(edge.contains(outline) for outline in outlines)
        for i, outline in enumerate(outlines):
            assert all(outline.distance(other) >= spacing - 1e-3 for other in outlines[:i])
        inside = [
            e for e in found.modelspace() if e.dxf.layer.split("_")[0] in ("INSIDE", "DRILL", "ENGRAVE")
        ]
        assert all(any(o.buffer(1e-3).contains(region(e)) for o in outlines) for e in inside)
        words = [e for e in found.modelspace() if e.dxf.layer == NAMES]
        assert len(words) == len(outlines)
        for word in words:
            spot = Spot(word.dxf.align_point.x, word.dxf.align_point.y)
            (own,) = (outline for outline in outlines if outline.contains(spot))
            alone = outside_of(document(name, f"fixtures/{word.dxf.text}.dxf"))
            assert own.area == pytest.approx(alone.area, rel=1e-6)
        names += [word.dxf.text for word in words]
    wanted = [piece.name for piece in cut_pieces(product(name)) if piece.name != "sled_runner"]
    assert sorted(names) == sorted(wanted)


def test_letters_are_a_layer_of_their_own() -> None:
    found = document(DEMOS[0], "fixtures/sled_base.dxf")
    letters = [e for e in found.modelspace() if e.dxf.layer.startswith("ENGRAVE")]
    assert {e.dxf.layer for e in letters} == {"ENGRAVE_0.6MM"}
    assert len(letters) > 30
    drilled = {e.dxf.layer for e in found.modelspace() if e.dxftype() == "CIRCLE"}
    assert drilled == {"DRILL_4.5MM_THROUGH", "DRILL_8MM_THROUGH"}


SVG = "{http://www.w3.org/2000/svg}"


@pytest.mark.parametrize("name", DEMOS)
def test_svg_has_the_layers_and_the_places_of_the_dxf(name: str) -> None:
    """Widths by the SVG's own coordinates, a unit a millimetre, y down; circles stand for bored holes."""
    for path in [*sheet_names(name), "fixtures/sled_base", "fixtures/sled_carrier"]:
        found, root = document(name, f"{path}.dxf"), ET.fromstring(files(name)[f"{path}.svg"])
        drawn = {e.dxf.layer for e in found.modelspace()}
        assert {group.attrib["id"] for group in root.iter(f"{SVG}g")} == drawn
        width, height = (float(root.attrib[side].removesuffix("mm")) for side in ("width", "height"))
        assert [float(n) for n in root.attrib["viewBox"].split()] == [0, 0, width, height]
        boxes = np.array([region(e).bounds for e in found.modelspace() if e.dxf.layer != NAMES])
        low, high = boxes.min(axis=0), boxes.max(axis=0)
        assert (width, height) == pytest.approx(
            (high[2] - low[0] + 2 * MARGIN_MM, high[3] - low[1] + 2 * MARGIN_MM), abs=2e-3
        )
        circles = [(float(c.attrib["cx"]), float(c.attrib["cy"])) for c in root.iter(f"{SVG}circle")]
        bored = [e.dxf.center for e in found.modelspace() if e.dxftype() == "CIRCLE"]
        expected = [(c.x - low[0] + MARGIN_MM, high[3] + MARGIN_MM - c.y) for c in bored]
        assert np.array(sorted(circles)) == pytest.approx(np.array(sorted(expected)), abs=2e-3)


def test_the_same_product_gives_the_same_bytes() -> None:
    again = {file.path: file.data for file in product_files(product(DEMOS[1]), {"dxf", "svg"})}
    assert again == files(DEMOS[1])
