"""Drawings of profiles as the bytes of files, and what is read from them as shapes to measure."""

from __future__ import annotations

from collections.abc import Callable
from io import StringIO
from itertools import pairwise

import ezdxf
from ezdxf.document import Drawing as Document
from ezdxf.layouts import Modelspace
from shapely.geometry import LineString

from cad.profiles import Drawn, read
from cad.profiles.bulges import path_of

FIT_MM = 0.02
CHORD_MM = 1e-4


def dxf(draw: Callable[[Modelspace, Document], object], units: int = 4) -> bytes:
    """Return a DXF file as text, with something drawn in its model space; $INSUNITS is millimetres."""
    document = ezdxf.new(units=units)
    draw(document.modelspace(), document)
    text = StringIO()
    document.write(text)
    return text.getvalue().encode("utf-8")


def svg(body: str, size: str = 'width="60mm" height="40mm" viewBox="0 0 60 40"') -> bytes:
    """Return an SVG document whose unit is a millimetre."""
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{body}</svg>'.encode()


def read_dxf(content: bytes, unit_mm: float | None = None, fit_mm: float = FIT_MM) -> Drawn:
    return read("profile.dxf", content, unit_mm, fit_mm)


def read_svg(content: bytes, unit_mm: float | None = None, fit_mm: float = FIT_MM) -> Drawn:
    return read("profile.svg", content, unit_mm, fit_mm)


def line_of(drawn: Drawn) -> LineString:
    """Return what was read as a fine line of chords, (y, z) in mm."""
    return LineString(path_of(drawn.corners).points(CHORD_MM))


def laid(points: list[tuple[float, float]]) -> LineString:
    """Return a line of chords as a sole lies: left end at y = 0, lowest point at z = 0."""
    left = min(points)[0]
    low = min(z for _, z in points)
    return LineString([(y - left, z - low) for y, z in points])


def headings_met(drawn: Drawn) -> list[float]:
    """Return by how many degrees the profile turns at each of its corners."""
    return [
        abs((two.heading_deg(0.0) - one.heading_deg(1.0) + 180) % 360 - 180)
        for one, two in pairwise(path_of(drawn.corners))
    ]
