"""DXF in mm and true size for profiles, plates and sheets: polylines with true arcs, for router and template.

One layer for each operation, named for what is done and how deep (see `cad.outputs.cutting.layer_of`).
Loads no kernel.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import tan
from typing import TYPE_CHECKING

import ezdxf
from ezdxf.enums import TextEntityAlignment

from cad.outline import Arc, Path, Segment
from cad.outputs.curves import Curve, Drawing, half_turns, profile_drawing
from cad.outputs.drawings import Drawn, piece_drawings, sheet_drawings
from cad.outputs.files import OutFile
from cad.papers import dxf

if TYPE_CHECKING:
    from ezdxf.layouts import Modelspace

    from cad.outputs.meshes import Meshes
    from cad.outputs.product import Product

COMPANY = "router"  # which cuts the same plates from the same sheets
MILLIMETRES = 4  # $INSUNITS, DXF reference
BLACK, GREY = 7, 8  # colour numbers of the DXF reference
# Told apart on the screen: what is cut through, what is cut in part, what is not cut.
COLOURS = {"INSIDE": 5, "DRILL": 1, "POCKET": 3, "ENGRAVE": 6, "SAWN": GREY, "SHEET": GREY, "NAMES": GREY}


def files(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield fixtures/<sheet>.dxf for every sheet."""
    return _written(sheet_drawings(product, meshes))


def each(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield fixtures/<name>.dxf for every profile of a piece and every plate."""
    return _written(piece_drawings(product, meshes))


def _written(drawings: Iterable[Drawn]) -> Iterator[OutFile]:
    for drawn in drawings:
        yield OutFile(f"fixtures/{drawn.stem}.dxf", drawing_bytes(drawn.drawing), drawn.part)


def dxf_bytes(outline: Path, holes: Sequence[Path] = ()) -> bytes:
    """Return a DXF of an outline and the holes in it, coordinates in mm as given."""
    return drawing_bytes(profile_drawing("", outline, tuple(holes)))


def drawing_bytes(drawing: Drawing) -> bytes:
    """Return a DXF of a drawing, coordinates in mm as given."""
    with dxf.fixed_dates():
        document = ezdxf.new("R2010", units=MILLIMETRES)
        for layer in drawing.layers:
            document.layers.add(layer, color=_colour(layer))
        space = document.modelspace()
        for curve in drawing.curves:
            _draw(space, curve)
        for words in drawing.words:
            text = space.add_text(words.text, height=words.height, dxfattribs={"layer": words.layer})
            text.set_placement(words.at, align=TextEntityAlignment.MIDDLE_CENTER)
        low_x, low_y, high_x, high_y = drawing.bounds()
        document.header["$EXTMIN"], document.header["$EXTMAX"] = (low_x, low_y, 0.0), (high_x, high_y, 0.0)
    return dxf.dxf_bytes(document)


def _colour(layer: str) -> int:
    return COLOURS.get(layer.removeprefix("PROFILE_").partition("_")[0], BLACK)


def _draw(space: Modelspace, curve: Curve) -> None:
    path, attributes = curve.path, {"layer": curve.layer}
    first = path.segments[0]
    if curve.bore and isinstance(first, Arc):
        space.add_circle(first.centre, first.radius, dxfattribs=attributes)
        return
    corners = [(*segment.start, _bulge(segment)) for segment in half_turns(path)]
    if not path.is_closed:
        corners.append((*path.end, 0.0))
    space.add_lwpolyline(corners, format="xyb", close=path.is_closed, dxfattribs=attributes)


def _bulge(segment: Segment) -> float:
    """Return the tangent of a quarter of an arc's turn, positive counter-clockwise (DXF reference)."""
    return tan(segment.turn / 4) if isinstance(segment, Arc) else 0.0
