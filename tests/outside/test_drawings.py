"""DXF by ezdxf's audit, SVG by CSS's millimetre, PDF by pypdf: true size in every file that was written.

DXF reference: $INSUNITS 4 is millimetres. CSS: width and height in mm with a viewBox of the same numbers make
a user unit a millimetre; 1 in = 25.4 mm. ISO 32000-1: a unit of a page is 1/72 in. ISO 216: A4 is 210 x 297;
ASME Y14.1: letter is 8.5 x 11 in.
"""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pytest
from ezdxf import bbox
from pypdf import PdfReader

from cad.geometry import Plan
from tests.outside.reading import Output
from tests.pdf_ink import read_pages

TRUE_MM = 0.01
MOST_MARGIN_MM = 2.0  # on both sides together
POINTS_A_MM = 72 / 25.4


def test_dxf_passes_the_audit_in_millimetres(output: Output) -> None:
    for path in output.files("fixtures/*.dxf", "papers/drawings/*.dxf"):
        document = ezdxf.readfile(path)
        audit = document.audit()
        assert not audit.has_errors and not audit.has_fixes, path.name
        assert document.header["$INSUNITS"] == 4, path.name


def svg_size(text: str) -> tuple[float, float, list[float]]:
    """Return width and height in mm and the viewBox."""
    root = ElementTree.fromstring(text)
    sizes = []
    for key in ("width", "height"):
        found = re.fullmatch(r"([\d.]+)mm", root.attrib[key])
        assert found, root.attrib[key]
        sizes.append(float(found[1]))
    return sizes[0], sizes[1], [float(n) for n in root.attrib["viewBox"].replace(",", " ").split()]


def test_svg_s_unit_is_a_millimetre(output: Output) -> None:
    for path in output.files("fixtures/*.svg"):
        width, height, (_, _, across, up) = svg_size(path.read_text())
        assert (across / width, up / height) == pytest.approx((1, 1), abs=1e-6), path.name


def test_plates_are_as_large_in_dxf_and_svg(output: Output) -> None:
    """The boxes of all curves by ezdxf; an SVG may leave a narrow margin, never less than its curves."""
    for path in output.files("fixtures/s*.dxf"):
        box = bbox.extents(ezdxf.readfile(path).modelspace())
        width, height, _ = svg_size(path.with_suffix(".svg").read_text())
        for margin in (width - box.size.x, height - box.size.y):
            assert -TRUE_MM <= margin <= MOST_MARGIN_MM + TRUE_MM, path.name


@pytest.mark.parametrize(
    ("name", "width", "height"), [("templates_a4", 210, 297), ("templates_letter", 215.9, 279.4)]
)
def test_pages_are_the_paper_s_size(output: Output, name: str, width: float, height: float) -> None:
    for page in PdfReader(output.folder / "papers" / f"{name}.pdf").pages:
        size = sorted((float(page.mediabox.width), float(page.mediabox.height)))
        assert size == pytest.approx([width * POINTS_A_MM, height * POINTS_A_MM], abs=0.5)
        assert page.get("/UserUnit", 1) == 1


def test_the_body_s_ends_are_true_on_paper(demo: Plan, made: Path) -> None:
    """The outline of each end, as high and as wide as the body, among the closed curves of the templates."""
    body = demo.spec.body
    pages = read_pages((made / demo.spec.name / "papers" / "templates_a4.pdf").read_bytes())
    boxes = [ink.box for page in pages for ink in page.inks if ink.closed and any(ink.curved)]
    sizes = [(right - left, top - low) for left, low, right, top in boxes]
    true = [s for s in sizes if s == pytest.approx((body.thickness, body.height), abs=TRUE_MM)]
    assert len(true) >= 2, "toe and heel"
