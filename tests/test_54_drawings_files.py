"""The files of the drawings: true to scale on paper, editable, the same each time."""

from __future__ import annotations

import base64
import re
import zlib
from io import StringIO
from math import atan2, degrees
from xml.etree import ElementTree

import ezdxf
import pytest
from cadquery import Solid
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface

from cad.kernel.measure import extent
from cad.outputs.files import OutFile
from cad.outputs.formats.drawings import files
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.papers.drawings.dimension import read_back, rounding
from cad.papers.drawings.subject import LaidPiece
from tests.conftest import DEMOS, demo_path
from tests.products import bare_product
from tests.sheets import drawn, subject

TEXTS = {name: demo_path(name).read_text() for name in DEMOS}
POINT_MM = 25.4 / 72  # a point of PDF is 1/72 in (ISO 32000)
SVG = "{http://www.w3.org/2000/svg}"


def made(name: str = "cornice-round") -> dict[str, OutFile]:
    return {file.path: file for file in files(bare_product(name), Meshes())}


def test_there_is_one_document_and_two_files_a_sheet() -> None:
    sheets = ["assembly", "body", "cheek-plate", "iron", "sole", "wedge"]
    paths = [f"papers/drawings/{sheet}.{kind}" for sheet in sheets for kind in ("dxf", "svg")]
    assert sorted(made()) == sorted(["papers/drawings.pdf", *paths])


def test_half_a_plane_has_no_drawings() -> None:
    whole = bare_product("cornice-round")
    assert list(files(Product(whole.plan, whole.parts[:1], ()), Meshes())) == []
    assert list(files(Product(whole.plan, whole.parts, (), whole=False), Meshes())) == []


def test_the_same_plane_gives_the_same_bytes() -> None:
    assert {path: file.data for path, file in made().items()} == {
        path: file.data for path, file in made().items()
    }


def test_the_pdf_is_true_to_scale() -> None:
    """The body of 250 mm, drawn 1:2, is 125 mm long on the page, within 0.1 mm; pages are A4 to 0.01 mm."""
    data = made()["papers/drawings.pdf"].data
    boxes = [list(map(float, box.split())) for box in re.findall(rb"/MediaBox \[ ([\d. ]+) \]", data)]
    assert len(boxes) == 6
    for _, _, width, height in boxes:
        assert sorted((width * POINT_MM, height * POINT_MM)) == pytest.approx([210, 297], abs=0.01)
    # 1 unit of the page's content is 1 mm: the first thing it does is to scale the page so.
    contents = [_unpacked(stream) for stream in re.findall(rb"stream\r?\n(.+?)endstream", data, re.DOTALL)]
    drawings = [text for text in contents if re.search(r"2\.8346\d* 0 0 2\.8346\d* 0 0 cm", text)]
    assert len(drawings) == 6
    body = drawings[1]
    lines = re.findall(r"([\d.]+) ([\d.]+) m ([\d.]+) ([\d.]+) l", body)
    lengths = [abs(float(x1) - float(x0)) for x0, y0, x1, y1 in lines if y0 == y1]
    assert any(abs(length - 125) < 0.1 for length in lengths)


def _unpacked(stream: bytes) -> str:
    """Return a PDF stream's text packed as reportlab packs pages, deflate then base 85; else nothing."""
    raw = stream.strip()
    if not raw.endswith(b"~>"):
        return ""
    return zlib.decompress(base64.a85decode(b"<~" + raw, adobe=True)).decode("latin-1")


@pytest.mark.parametrize("name", DEMOS)
def test_each_svg_is_a_true_page(name: str) -> None:
    """CSS: a length in mm with a matching viewBox draws units of 1 mm."""
    for leaf in drawn(TEXTS[name]):
        root = ElementTree.fromstring(leaf.svg())
        page = leaf.laid.page
        assert float(root.attrib["width"].removesuffix("mm")) == pytest.approx(page.width, abs=1e-3)
        assert root.attrib["viewBox"].split()[2:] == [
            root.attrib[side].removesuffix("mm") for side in ("width", "height")
        ]
        texts = {text.text for text in root.iter(f"{SVG}text")}
        assert {d.text for d in leaf.laid.dimensions} <= texts


@pytest.mark.parametrize("name", DEMOS)
def test_each_dxf_is_sound_and_its_dimensions_measure_what_they_say(name: str) -> None:
    """ezdxf's own audit, and the measurement that a drawing program would show in place of the text."""
    unit = subject(TEXTS[name]).plan.spec.unit
    for leaf in drawn(TEXTS[name]):
        document = ezdxf.read(StringIO(leaf.dxf().decode()))
        assert document.header["$INSUNITS"] == 4  # millimetres, DXF reference
        assert not document.audit().has_errors
        for entity in document.modelspace().query("DIMENSION"):
            said = read_back(entity.dxf.text, unit)
            factor = entity.override().get("dimlfac", 1.0) if entity.dimtype == 0 else 1.0
            measured = entity.get_measurement() * factor
            assert measured == pytest.approx(said, abs=0.11), (leaf.name, entity.dxf.text)


@pytest.mark.parametrize("name", DEMOS)
def test_every_figure_of_a_fixture_is_on_its_solid(name: str) -> None:
    of = subject(TEXTS[name])
    unit = of.plan.spec.unit
    pieces = {piece.name: piece for fixture in of.fixtures for piece in fixture.pieces}
    checked = 0
    for leaf in drawn(TEXTS[name]):
        for dimension in leaf.laid.dimensions:
            key, _, what = dimension.key.partition(".")
            if key not in pieces:
                continue
            allowed = rounding(dimension, unit, share=1.0) + 1e-3
            figure, choices = read_back(dimension.text, unit), _measured(pieces[key], what)
            assert min(abs(figure - choice) for choice in choices) <= allowed, dimension
            checked += 1
    assert checked >= 3 * len(of.fixtures)  # a length, a width and a height of one piece at least


def _measured(piece: LaidPiece, what: str) -> list[float]:
    """Return what a solid offers for a dimension: its sides, the levels of its corners, radii, or slopes."""
    solid = piece.solid
    low, high = extent(solid)
    side = {"length": 0, "width": 1, "height": 2}
    head, _, level = what.partition(".")
    if head in side and not level:
        return [high[side[head]] - low[side[head]]]
    if head in side:
        return [vertex.toTuple()[side[head]] - low[side[head]] for vertex in solid.Vertices()]
    if level.startswith(("arc", "hole")):
        radii = _radii(solid)
        return [2 * radius for radius in radii] if level.startswith("hole") else radii
    return _slopes(solid, 2 if head == "front" else 1)


def _radii(solid: Solid) -> list[float]:
    surfaces = [BRepAdaptor_Surface(face.wrapped) for face in solid.Faces()]
    return [s.Cylinder().Radius() for s in surfaces if s.GetType().name == "GeomAbs_Cylinder"]


def _slopes(solid: Solid, up: int) -> list[float]:
    """Return the acute angles of a solid's straight edges from level, seen along an axis of the view."""
    found = []
    for edge in solid.Edges():
        if BRepAdaptor_Curve(edge.wrapped).GetType().name == "GeomAbs_Line":
            way = (edge.endPoint() - edge.startPoint()).toTuple()
            found.append(degrees(atan2(abs(way[up]), abs(way[0]))))
    return found
