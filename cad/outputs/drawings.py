"""All drawings of a product: the profiles of its pieces, its plates, and the sheets they are cut from.

Loads no kernel.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from cad.geometry.cuts import Planform
from cad.outline import Point
from cad.outputs.curves import Curve, Drawing, Words, profile_drawing
from cad.outputs.cutting import Sheet, cutting, layer_of

if TYPE_CHECKING:
    from cad.outputs.meshes import Meshes
    from cad.outputs.product import Product

SHEET, NAMES = "SHEET", "NAMES"  # layers: the sheet's own edge and the pieces' names, neither to be cut
NAME_MM = 8.0  # most height of a name
WIDE = 0.9  # about how wide a letter of a name is, of its height; common practice, no source


@dataclass(frozen=True)
class Drawn:
    """A drawing, the name of its file without folder and suffix, and the piece it shows, if one."""

    stem: str
    part: str
    drawing: Drawing


def piece_drawings(product: Product, meshes: Meshes) -> Iterator[Drawn]:
    """Yield every profile and plate. A plate stands for a profile of its name: it is read off the solid.

    Raises KernelError as `cad.outputs.cutting.cutting` does.
    """
    cut = cutting(product, meshes)
    plates = {plate.name for plate in cut.plates}
    for piece in product.pieces():
        for profile in piece.profiles:
            if profile.name not in plates:
                drawing = profile_drawing(profile.name, profile.path, profile.holes)
                yield Drawn(profile.name, piece.name, drawing)
    for plate in cut.plates:
        yield Drawn(plate.name, plate.name, Drawing(plate.name, tuple(_curves(plate))))


def sheet_drawings(product: Product, meshes: Meshes) -> Iterator[Drawn]:
    """Yield every sheet that plates are cut from. Raises KernelError as `piece_drawings` does."""
    # Where only some is wanted there are no sheets, and nothing is built to find that out.
    for sheet in cutting(product, meshes).sheets if product.whole else ():
        yield Drawn(sheet.name, "", sheet_drawing(sheet))


def sheet_drawing(sheet: Sheet) -> Drawing:
    """Return the drawing of a sheet: its edge, every cut of every plate on it, and the plates' names."""
    cuts = tuple(curve for plate in sheet.plates for curve in _curves(plate))
    words = tuple(_name(plate) for plate in sheet.plates)
    return Drawing(sheet.name, (Curve(SHEET, sheet.outline), *cuts), words)


def _curves(plate: Planform) -> Iterator[Curve]:
    for cut in plate.operations:
        layer = layer_of(cut)
        yield Curve(layer, cut.path, bore=cut.kind == "drill")
        yield from (Curve(layer, hole) for hole in cut.holes)


def _name(plate: Planform) -> Words:
    """Return a plate's name, on the plate and no longer than it is wide on the sheet."""
    spot = _inside(plate)
    low, _, high, _ = plate.outline.bounds()
    room = 2 * min(spot[0] - low, high - spot[0])  # the name stands to both sides of its spot alike
    height = min(NAME_MM, room / (WIDE * len(plate.name)))
    return Words(NAMES, plate.name, spot, round(height, 3))


def _inside(plate: Planform) -> Point:
    from shapely import Polygon  # only a sheet with something on it pays for loading it

    spot = Polygon(plate.outline.points(1.0)).representative_point()
    return (round(spot.x, 3), round(spot.y, 3))
