"""What the router cuts of a product: the programs for each piece of stock, and the solids that must remain.

Plates come off the spec's sheets, or each off a board of its own where it is thicker, thinner or larger than
the sheet; what is printed and may be carved comes out of a block.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from cadquery import Location, Solid, Vector

from cad.geometry.cuts import Planform
from cad.geometry.nesting import Nested
from cad.kernel.extruded import Extruded, extruded
from cad.kernel.shapes import box, common
from cad.outputs.cutting import Cutting, Sheet, board_for, cutting
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.routing.block import block_holding
from cad.routing.flat import sheet_holding
from cad.routing.model import CannotCutError, Holding, Spared, Stock
from cad.spec.router import Router
from cad.units import plain
from fixtures.bench.first_layer import RELIEF_MM
from fixtures.bench.model import Piece

BOARD_MM = 8.0  # of wood left round a plate on a board of its own, beside the cutter's path


@dataclass(frozen=True, eq=False)
class Routed:
    """One piece of stock, its programs, and what must be left of it, by name, in the programs' frame."""

    holding: Holding
    solids: Mapping[str, Solid]


@dataclass(frozen=True)
class Routing:
    """All that the router cuts of a product, and for each piece that it cannot cut the reason."""

    routed: tuple[Routed, ...]
    refused: Mapping[str, str]


def routing(product: Product, meshes: Meshes) -> Routing:
    """Return the programs for all plates and blocks of a product.

    No sheets when only some of the product was built, as in `cad.outputs.cutting`. Raises KernelError as that
    does, OutputError when an arc would not keep to the standard's tolerance.
    """
    router = product.plan.spec.shop.router
    bare = {piece.name: piece for fixture in product.fixtures for piece in fixture.bare or fixture.pieces}
    made = {piece.name: piece for piece in product.pieces()}
    routed: list[Routed] = []
    refused: dict[str, str] = {}
    for sheet, thickness in _sheets(cutting(product, meshes), product.whole, router):
        try:
            stock = Stock(*sheet.size, thickness)
            holding = sheet_holding(sheet.name, stock, sheet.plates, router)
            solids = {
                one.name: _blank(bare[one.name]).moved(
                    _on_sheet(one, plate, thickness) * meshes.laid(made[one.name]).location
                )
                for one, plate in zip(sheet.places, sheet.plates, strict=True)
                if one.name in holding.pieces
            }
            routed.append(Routed(holding, solids))
        except CannotCutError as error:
            refused[sheet.name] = str(error)
    for piece in bare.values():
        if piece.carved:
            try:
                routed.append(_carved(piece, router))
            except CannotCutError as error:
                refused[piece.name] = str(error)
    return Routing(tuple(routed), refused)


def _sheets(found: Cutting, whole: bool, router: Router) -> Iterator[tuple[Sheet, float]]:
    """Yield what plates are cut from, with its thickness."""
    for sheet in found.sheets:
        yield sheet, router.sheet[2]
    for plate in found.plates if whole else ():
        if plate.name in found.off_sheet:
            yield board_for(plate, router.cutter + BOARD_MM), plate.thickness_mm


def _blank(piece: Piece) -> Solid:
    """Return a plate before anything is sawn off it."""
    return piece.sawn.before if piece.sawn else piece.solid


def _on_sheet(place: Nested, moved: Planform, thickness: float) -> Location:
    """Return the move that takes a plate from where it lies by itself to its place in the sheet."""
    x, y = place.at
    if not place.turned:
        return Location(Vector(x, y, -thickness))
    # A quarter turn carries the plate's width, now along x, to the left of its corner.
    return Location(Vector(x + moved.size[0], y, -thickness), Vector(0, 0, 1), 90)


def _carved(piece: Piece, router: Router) -> Routed:
    """Return a block cut to the section of a piece. Raises CannotCutError where the cutters do not do."""
    found = extruded(piece.solid, piece.bed_face.normal[0], piece.name)
    low_y, low_z, high_y, high_z = found.section.bounds()
    section = found.section.moved(-low_y, -high_z)
    holding = block_holding(piece.name, section, found.length, router, tuple(_plate_words(found)))
    holding = replace(holding, spared=(*holding.spared, _relief(piece, holding.stock)))
    solid = piece.solid
    if found.plate_mm:
        solid = common(
            solid, box((found.low, low_y, low_z), (found.high, high_y, high_z)), piece.name, "section"
        )
    return Routed(holding, {piece.name: solid.moved(Location(Vector(-found.low, -low_y, -high_z)))})


def _plate_words(found: Extruded) -> Iterator[str]:
    if found.plate_mm:
        yield (
            f"At one end it has a plate of {plain(found.plate_mm)} mm that stands up: make it of its own "
            "piece, and glue and screw it on."
        )


def _relief(piece: Piece, stock: Stock) -> Spared:
    """Return the strip at the end on which the print stands, where its edges are broken."""
    over, width = 2 * RELIEF_MM, stock.width
    start, end = (0.0, over) if piece.bed_face.normal[0] < 0 else (stock.length - over, stock.length)
    return Spared("edges at the end", ((start, 0.0), (end, 0.0), (end, width), (start, width)))
