"""A sheet as a DXF document, in mm of paper: the lines of its views, dimensions, hatching and words.

Line widths by ISO 128-2: wide 0.5 mm, narrow 0.25 mm (two to one); line types by ISO 128: dashes, chains.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin, tan
from typing import TYPE_CHECKING

import ezdxf
from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment

from cad.outline import Arc, Line, Path, Point
from cad.papers.drawings.lettering import PLAIN_MM
from cad.papers.drawings.placing import ARROW_MM, GAP_MM
from cad.papers.fonts import PLAIN as FONT

if TYPE_CHECKING:
    from ezdxf.layouts import Modelspace

MILLIMETRES = 4  # $INSUNITS, DXF reference
STYLE = "PLANEWRIGHT"
VISIBLE, HIDDEN, AXES, HATCH = "VISIBLE", "HIDDEN", "AXES", "HATCH"
DIMENSIONS, WORDS, FRAME, BLOCK = "DIMENSIONS", "WORDS", "FRAME", "TITLE_BLOCK"
WIDE, NARROW = 50, 25  # hundredths of a millimetre, as DXF counts line weights
DASHES = {
    "DASHED": [4.5, 3.0, -1.5],
    "CHAIN": [12.5, 9.0, -1.5, 0.5, -1.5],
}  # whole length, then dash, gap, …
LAYERS = {
    VISIBLE: (WIDE, "CONTINUOUS"),
    HIDDEN: (NARROW, "DASHED"),
    AXES: (NARROW, "CHAIN"),
    HATCH: (NARROW, "CONTINUOUS"),
    DIMENSIONS: (NARROW, "CONTINUOUS"),
    WORDS: (NARROW, "CONTINUOUS"),
    FRAME: (WIDE, "CONTINUOUS"),
    BLOCK: (NARROW, "CONTINUOUS"),
}
HATCH_GAP_MM = 2.5
HATCH_FROM = (0.0137, 0.0071)  # where hatching starts: off every round figure, so that no line meets a corner
HATCH_DEG = (45.0, 135.0, 135.0, 0.0)


@dataclass(frozen=True, eq=False)
class Draught:
    """A DXF document being drawn: each method adds one thing, in mm from the lower left of the sheet."""

    document: Drawing

    @property
    def space(self) -> Modelspace:
        return self.document.modelspace()

    def line(self, start: Point, end: Point, layer: str, weight: int | None = None) -> None:
        self.space.add_line(start, end, dxfattribs=_attributes(layer, weight))

    def curve(self, path: Path, layer: str) -> None:
        """Draw a path as a line, an arc, a circle or a polyline with true arcs."""
        first = path.segments[0]
        if len(path.segments) == 1 and isinstance(first, Line):
            self.line(first.start, first.end, layer)
        elif len(path.segments) == 1 and isinstance(first, Arc):
            self._arc(first, layer)
        else:
            corners = [(*s.start, tan(s.turn / 4) if isinstance(s, Arc) else 0.0) for s in path]
            closed = path.is_closed
            corners += [] if closed else [(*path.end, 0.0)]
            self.space.add_lwpolyline(corners, format="xyb", close=closed, dxfattribs={"layer": layer})

    def _arc(self, arc: Arc, layer: str) -> None:
        if abs(arc.turn) > 6.28:
            self.space.add_circle(arc.centre, arc.radius, dxfattribs={"layer": layer})
            return
        one = arc if arc.ccw else arc.reversed()
        start, end = one.heading_deg(0.0) - 90, one.heading_deg(1.0) - 90
        self.space.add_arc(one.centre, one.radius, start, end, dxfattribs={"layer": layer})

    def words(self, text: str, at: Point, height: float, align: str = "LEFT", turn_deg: float = 0.0) -> None:
        """Write a line of text: LEFT and RIGHT on the base line, MIDDLE_CENTER about its middle."""
        attributes = {"layer": WORDS, "style": STYLE, "rotation": turn_deg}
        one = self.space.add_text(text, height=height, dxfattribs=attributes)
        one.set_placement(at, align=TextEntityAlignment[align])

    def circle(self, centre: Point, radius: float, layer: str) -> None:
        self.space.add_circle(centre, radius, dxfattribs={"layer": layer})

    def dot(self, centre: Point, radius: float) -> None:
        """Draw a filled dot, where a leader ends within a part (ISO 128-2)."""
        hatch = self.space.add_hatch(color=7, dxfattribs={"layer": DIMENSIONS})
        hatch.paths.add_edge_path().add_arc(centre, radius, 0, 360)

    def arrow(self, tip: Point, heading_deg: float) -> None:
        """Draw a filled arrow that points along a heading, as dimensions have it."""
        a = radians(heading_deg)
        back = (tip[0] - ARROW_MM * cos(a), tip[1] - ARROW_MM * sin(a))
        half = ARROW_MM / 6
        left, right = ((back[0] - k * half * sin(a), back[1] + k * half * cos(a)) for k in (1, -1))
        self.space.add_solid([tip, left, right, right], dxfattribs={"layer": DIMENSIONS})

    def hatch(self, rims: tuple[Path, ...], number: int) -> None:
        """Hatch what lies within rims; neighbouring parts lean their own ways (ISO 128-3)."""
        hatch = self.space.add_hatch(color=256, dxfattribs={"layer": HATCH})
        angle, gap = HATCH_DEG[number % len(HATCH_DEG)], HATCH_GAP_MM / (1 + number / 2)
        hatch.set_pattern_fill("LINES", definition=[[angle, HATCH_FROM, _across(angle, gap), []]])
        for rim in rims:
            points = [(*s.start, tan(s.turn / 4) if isinstance(s, Arc) else 0.0) for s in rim]
            hatch.paths.add_polyline_path(points, is_closed=True)


def new_draught() -> Draught:
    """Return an empty document with layers, line types, and styles of text and dimensions."""
    document = ezdxf.new("R2010", units=MILLIMETRES)
    for name, pattern in DASHES.items():
        document.linetypes.add(name, pattern=pattern)
    for name, (weight, kind) in LAYERS.items():
        document.layers.add(name, lineweight=weight, linetype=kind)
    document.styles.add(STYLE, font=f"{FONT}.ttf")
    # ISO 129-1: filled arrows, extension lines past the dimension line, text over the line and along it.
    form = {
        "dimtxt": PLAIN_MM,
        "dimasz": ARROW_MM,
        "dimgap": GAP_MM,
        "dimexo": 0.8,
        "dimexe": 1.5,
        "dimtad": 1,
    }
    reads = {"dimtih": 0, "dimtoh": 0, "dimtxsty": STYLE, "dimlwd": NARROW, "dimlwe": NARROW, "dimdec": 2}
    document.dimstyles.new(STYLE, dxfattribs={**form, **reads})
    return Draught(document)


def _attributes(layer: str, weight: int | None) -> dict[str, object]:
    return {"layer": layer} if weight is None else {"layer": layer, "lineweight": weight}


def _across(angle_deg: float, gap: float) -> Point:
    """Return the step from one line of hatching to the next."""
    return (-gap * sin(radians(angle_deg)), gap * cos(radians(angle_deg)))
