"""DXF in mm and true size for the profiles of pieces: polylines with true arcs, for saw, router and template.

Loads no kernel.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from io import StringIO
from math import tan
from typing import TYPE_CHECKING

import ezdxf

from cad.outline import Arc, Path, Segment
from cad.outputs.curves import half_turns
from cad.outputs.files import OutFile

if TYPE_CHECKING:
    from ezdxf.document import Drawing

    from cad.outputs.meshes import Meshes
    from cad.outputs.product import Product

OUTSIDE, INSIDE = "PROFILE_OUTSIDE", "PROFILE_INSIDE"  # layers: on which side of the line the cutter runs
MILLIMETRES = 4  # $INSUNITS, DXF reference


def files(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield fixtures/<profile>.dxf for every profile of every piece."""
    for piece in product.pieces():
        for profile in piece.profiles:
            data = dxf_bytes(profile.path, profile.holes)
            yield OutFile(f"fixtures/{profile.name}.dxf", data, piece.name)


def dxf_bytes(outline: Path, holes: Sequence[Path] = ()) -> bytes:
    """Return a DXF of an outline and the holes in it, coordinates in mm as given."""
    with _no_clock():
        document = ezdxf.new("R2010", units=MILLIMETRES)
        document.layers.add(OUTSIDE, color=7)
        document.layers.add(INSIDE, color=5)
        _draw(document, outline, OUTSIDE)
        for hole in holes:
            _draw(document, hole, INSIDE)
        low_x, low_y, high_x, high_y = outline.bounds()
        document.header["$EXTMIN"], document.header["$EXTMAX"] = (low_x, low_y, 0.0), (high_x, high_y, 0.0)
        stream = StringIO()
        document.write(stream)
    return stream.getvalue().encode(document.encoding)


def _draw(document: Drawing, path: Path, layer: str) -> None:
    corners = [(*segment.start, _bulge(segment)) for segment in half_turns(path)]
    if not path.is_closed:
        corners.append((*path.end, 0.0))
    document.modelspace().add_lwpolyline(
        corners, format="xyb", close=path.is_closed, dxfattribs={"layer": layer}
    )


def _bulge(segment: Segment) -> float:
    """Return the tangent of a quarter of an arc's turn, positive counter-clockwise (DXF reference)."""
    return tan(segment.turn / 4) if isinstance(segment, Arc) else 0.0


@contextmanager
def _no_clock() -> Iterator[None]:
    """Have ezdxf write fixed dates and ids in place of the clock and random ones."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before
