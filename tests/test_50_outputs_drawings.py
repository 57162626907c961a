"""DXF and SVG of profiles: true size, true arcs, and areas against closed forms and a geometry library."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from collections.abc import Sequence
from math import cos, dist, pi, radians, sin, sqrt

import ezdxf
import numpy as np
import pytest
from ezdxf.entities import Arc as DxfArc
from ezdxf.entities import LWPolyline
from shapely import Polygon

from cad.outline import Arc, Line, Path, arc_through, polygon
from cad.outputs.curves import INSIDE, OUTSIDE
from cad.outputs.formats.dxf import dxf_bytes
from cad.outputs.formats.svg import MARGIN_MM, svg_text
from cad.outputs.write import product_files
from tests.conftest import DEMOS
from tests.products import product


def circle(x: float, y: float, radius: float) -> Path:
    return Path((Arc((x + radius, y), (x + radius, y), (x, y), ccw=True),))


def stadium() -> Path:
    """Return a 40 × 20 rectangle with half circles of radius 10 on its ends, off the origin."""
    return Path(
        (
            Line((5, -10), (45, -10)),
            Arc((45, -10), (45, 10), (45, 0), ccw=True),
            Line((45, 10), (5, 10)),
            Arc((5, 10), (5, -10), (5, 0), ccw=True),
        )
    )


def segment_120() -> Path:
    """Return the segment of a circle of radius 10 over a central angle of 120°, arc below, clockwise."""
    half = 10 * sin(radians(60))
    return Path(
        (
            Arc((half, -10 * cos(radians(60))), (-half, -10 * cos(radians(60))), (0, 0), ccw=False),
            Line((-half, -10 * cos(radians(60))), (half, -10 * cos(radians(60)))),
        )
    )


def three_quarters() -> Path:
    """Return three quarters of a disc of radius 10: an arc of more than half a turn."""
    return Path((Arc((10, 0), (0, -10), (0, 0), ccw=True), Line((0, -10), (0, 0)), Line((0, 0), (10, 0))))


# Areas: Machinery's Handbook, segments of circles (31st ed.); 120°, r = 1: 0.614185.
SHAPES = {
    "rectangle": (polygon([(0, 0), (30, 0), (30, 12), (0, 12)]), 360.0),
    "stadium": (stadium(), 40 * 20 + pi * 100),
    "circle": (circle(3, 4, 7), pi * 49),
    "segment": (segment_120(), 61.4185),
    "three quarters": (three_quarters(), 0.75 * pi * 100),
}


@pytest.fixture(params=SHAPES)
def shape(request: pytest.FixtureRequest) -> tuple[Path, float]:
    return SHAPES[request.param]


def dxf_polygons(data: bytes) -> list[tuple[str, Polygon]]:
    """Return each polyline of a DXF with its layer, flattened finely."""
    document = ezdxf.read(io.StringIO(data.decode()))
    assert not document.audit().has_errors
    found = []
    for entity in document.modelspace():
        assert entity.dxftype() == "LWPOLYLINE" and entity.closed
        found.append((entity.dxf.layer, Polygon(dxf_points(entity))))
    return found


def dxf_points(polyline: LWPolyline) -> list[tuple[float, float]]:
    """Return points along a polyline, its arcs as ezdxf understands them, in the sense of travel."""
    points: list[tuple[float, float]] = [polyline.get_points("xy")[0]]
    for part in polyline.virtual_entities():
        run = [
            (p.x, p.y)
            for p in (part.flattening(1e-5) if isinstance(part, DxfArc) else (part.dxf.start, part.dxf.end))
        ]
        onward = run if dist(run[0], points[-1]) < dist(run[-1], points[-1]) else run[::-1]
        assert dist(onward[0], points[-1]) < 1e-6, "the polyline is broken"
        points += onward[1:]
    assert dist(points[0], points[-1]) < 1e-6, "the polyline is open"
    return points[:-1]


def test_dxf_encloses_the_area_in_the_right_place(shape: tuple[Path, float]) -> None:
    path, area = shape
    ((layer, drawn),) = dxf_polygons(dxf_bytes(path))
    assert layer == OUTSIDE
    assert drawn.area == pytest.approx(area, rel=1e-4)
    assert drawn.bounds == pytest.approx(path.bounds(), abs=1e-3)
    assert drawn.symmetric_difference(Polygon(path.points(1e-4))).area < 1e-3 * area


def test_dxf_is_in_millimetres_with_true_arcs() -> None:
    """DXF reference: $INSUNITS 4 is millimetres; a bulge is the tangent of a quarter of the angle."""
    document = ezdxf.read(io.StringIO(dxf_bytes(stadium(), [circle(25, 0, 4)]).decode()))
    assert document.header["$INSUNITS"] == 4
    outer, hole = document.modelspace()
    assert [round(b, 9) for *_, b in outer.get_points("xyb")] == [0, 1, 0, 1]
    assert hole.dxf.layer == INSIDE
    assert [round(b, 9) for *_, b in hole.get_points("xyb")] == [1, 1]


def test_dxf_quarter_arc_has_the_bulge_of_the_reference() -> None:
    quarter = Path((Arc((1, 0), (0, 1), (0, 0), ccw=True), Line((0, 1), (0, 0)), Line((0, 0), (1, 0))))
    document = ezdxf.read(io.StringIO(dxf_bytes(quarter).decode()))
    (polyline,) = document.modelspace()
    assert polyline.get_points("xyb")[0][2] == pytest.approx(sqrt(2) - 1)  # tan 22.5°


def test_drawings_repeat() -> None:
    assert dxf_bytes(stadium()) == dxf_bytes(stadium())
    assert svg_text("a", stadium()) == svg_text("a", stadium())
    assert ezdxf.options.write_fixed_meta_data_for_testing is False


SVG = "{http://www.w3.org/2000/svg}"


def svg_polygons(text: str) -> list[Polygon]:
    """Return each path of an SVG in mm from the lower left of the page, y up, read by the SVG's own rules."""
    root = ET.fromstring(text)
    width, height = (float(root.attrib[side].removesuffix("mm")) for side in ("width", "height"))
    assert [float(n) for n in root.attrib["viewBox"].split()] == [0, 0, width, height]
    found = []
    for path in root.iter(f"{SVG}path"):
        points = svg_points(path.attrib["d"])
        found.append(Polygon([(x, height - y) for x, y in points]))
    return found


def svg_points(words: str) -> list[tuple[float, float]]:
    """Return points along a path of M, L, A and Z commands; arcs by the W3C's implementation notes, F.6.5."""
    points: list[tuple[float, float]] = []
    for command, arguments in re.findall(r"([MLAZ])([^MLAZ]*)", words):
        numbers = [float(n) for n in arguments.split()]
        if command == "A":
            rx, ry, turned, large, sweep, x, y = numbers
            assert rx == ry and turned == 0
            points += arc_points(points[-1], (x, y), rx, bool(large), bool(sweep))
        elif command != "Z":
            points.append((numbers[0], numbers[1]))
    return points


def arc_points(
    start: tuple[float, float], end: tuple[float, float], r: float, large: bool, sweep: bool
) -> Sequence[tuple[float, float]]:
    (x1, y1), (x2, y2) = start, end
    hx, hy = (x1 - x2) / 2, (y1 - y2) / 2
    short = max(r * r / (hx * hx + hy * hy) - 1, 0.0)
    factor = sqrt(short) * (-1 if large == sweep else 1)
    cx, cy = factor * hy + (x1 + x2) / 2, -factor * hx + (y1 + y2) / 2
    a0, a1 = np.arctan2(y1 - cy, x1 - cx), np.arctan2(y2 - cy, x2 - cx)
    turn = (a1 - a0) % (2 * pi) if sweep else -((a0 - a1) % (2 * pi))
    angles = a0 + turn * np.linspace(0, 1, 400)[1:]
    return [(cx + r * cos(a), cy + r * sin(a)) for a in angles]


def test_svg_is_true_to_size_and_right_way_up(shape: tuple[Path, float]) -> None:
    path, area = shape
    (drawn,) = svg_polygons(svg_text("shape", path))
    low_x, low_y, _, _ = path.bounds()
    expected = Polygon(path.moved(MARGIN_MM - low_x, MARGIN_MM - low_y).points(1e-4))
    assert drawn.area == pytest.approx(area, rel=1e-4)
    assert drawn.symmetric_difference(expected).area < 1e-3 * area


def test_svg_holes_lie_in_their_outline() -> None:
    outer, hole = svg_polygons(svg_text("plate", stadium(), [circle(20, 3, 4)]))
    assert outer.contains(hole)
    assert hole.centroid.x == pytest.approx(20 + 5 + MARGIN_MM, abs=1e-3)
    assert hole.centroid.y == pytest.approx(3 + 10 + MARGIN_MM, abs=1e-3)


def test_a_hollow_curve_stays_hollow() -> None:
    """An arc run clockwise in an outline run counter-clockwise bends into the piece, in both formats."""
    hollow = Path(
        (
            arc_through((0, 0), (8, 2), (16, 0)),
            Line((16, 0), (16, 10)),
            Line((16, 10), (0, 10)),
            Line((0, 10), (0, 0)),
        )
    )
    r = (8**2 + 2**2) / (2 * 2)  # radius from chord and height, Machinery's Handbook
    theta = 2 * np.arcsin(8 / r)
    area = 160 - r * r * (theta - sin(theta)) / 2
    assert dxf_polygons(dxf_bytes(hollow))[0][1].area == pytest.approx(area, rel=1e-5)
    assert svg_polygons(svg_text("hollow", hollow))[0].area == pytest.approx(area, rel=1e-4)


@pytest.mark.parametrize("name", DEMOS)
def test_every_profile_of_a_plane_is_drawn(name: str) -> None:
    made = product(name)
    files = {file.path: file.data for file in product_files(made, {"dxf", "svg"})}
    cut = {piece.name for piece in made.pieces() if piece.made == "cut"}
    profiles = [one for piece in made.pieces() for one in piece.profiles if one.name not in cut]
    assert set(files) >= {f"fixtures/{p.name}.{kind}" for p in profiles for kind in ("dxf", "svg")}
    for profile in profiles:
        for _, drawn in dxf_polygons(files[f"fixtures/{profile.name}.dxf"]):
            assert drawn.is_valid and drawn.area > 0
        outer = svg_polygons(files[f"fixtures/{profile.name}.svg"].decode())[0]
        assert outer.area == pytest.approx(abs(profile.path.area), rel=1e-3)


def test_drawing_loads_no_kernel() -> None:
    code = (
        "import sys, cad.outputs.formats.dxf, cad.outputs.formats.svg, cad.outputs.folder\n"
        "from cad.outputs.formats import format_names\n"
        "assert 'dxf' in format_names()\n"
        "assert not {'OCP', 'cadquery'} & set(sys.modules), sorted(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


def test_every_process_writes_the_same_dxf() -> None:
    """Sets are in another order in every process, by the seed of its hashes; what is written must not be."""
    script = (
        "import hashlib\nfrom cad.outline import polygon\nfrom cad.outputs.formats.dxf import dxf_bytes\n"
        "from cad.papers.drawings.document import new_draught\nfrom cad.papers import dxf\n"
        "square = polygon([(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)])\n"
        "with dxf.fixed_dates():\n    sheet = new_draught()\n"
        "both = dxf_bytes(square) + dxf.dxf_bytes(sheet.document)\n"
        "print(hashlib.sha256(both).hexdigest())\n"
    )
    told = {
        subprocess.run(
            [sys.executable, "-c", script],
            env=os.environ | {"PYTHONHASHSEED": str(seed)},
            capture_output=True,
            check=True,
        ).stdout
        for seed in range(1, 7)
    }
    assert len(told) == 1
