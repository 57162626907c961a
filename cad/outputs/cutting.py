"""Cut pieces as the drawings want them: each plate by itself, and all of them laid on sheets.

Loads no kernel: what is to be cut comes read off the solids, from `Meshes.planform`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from cad.geometry.cuts import NotFlat, Operation, Planform
from cad.geometry.nesting import Nested, nest, room_on
from cad.outline import Path, Point, polygon

if TYPE_CHECKING:
    from cad.outputs.meshes import Meshes
    from cad.outputs.product import Product
    from cad.spec.router import Router

THICK_MM = 0.01  # how far a piece's thickness may be off the sheet's


@dataclass(frozen=True)
class Sheet:
    """One sheet, its lower left corner at 0, with the plates moved to where they are cut from it.

    `places` says for each plate where it was moved to from its own corner at 0.
    """

    name: str
    size: Point
    plates: tuple[Planform, ...]
    places: tuple[Nested, ...]

    @property
    def outline(self) -> Path:
        wide, high = self.size
        return polygon([(0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)])


@dataclass(frozen=True)
class Cutting:
    """All plates of a product, the sheets they are cut from, and why a cut piece is on none of them."""

    plates: tuple[Planform, ...]
    sheets: tuple[Sheet, ...]
    off_sheet: Mapping[str, str]


def cutting(product: Product, meshes: Meshes) -> Cutting:
    """Return the cut pieces of a product, read off their solids and laid on sheets as the spec has them.

    No sheets when only some of the product was built: they would not hold all that is to be cut. Raises
    KernelError when a piece cannot lie on its bed face, or an edge of it cannot be drawn.
    """
    found = [meshes.planform(piece) for piece in product.pieces() if piece.made == "cut"]
    plates = tuple(one for one in found if isinstance(one, Planform))
    router = product.plan.spec.shop.router
    reasons = {one.name: reason for one in found if (reason := _reason(one, router))}
    if not product.whole:
        return Cutting(plates, (), reasons)
    fitting = {plate.name: plate for plate in plates if plate.name not in reasons}
    size = (router.sheet[0], router.sheet[1])
    laid = nest({name: plate.size for name, plate in fitting.items()}, size, router.spacing)
    sheets = tuple(
        _sheet(f"sheet_{number + 1}", size, [one for one in laid.nested if one.sheet == number], fitting)
        for number in range(laid.sheets)
    )
    return Cutting(plates, sheets, reasons)


def board_for(plate: Planform, margin: float) -> Sheet:
    """Return a board of a plate's own, so many mm larger all round."""
    wide, high = plate.size
    place = Nested(plate.name, 0, (margin, margin), turned=False)
    return _sheet(plate.name, (wide + 2 * margin, high + 2 * margin), [place], {plate.name: plate})


def _sheet(name: str, size: Point, places: Sequence[Nested], plates: Mapping[str, Planform]) -> Sheet:
    return Sheet(name, size, tuple(_moved(plates[one.name], one) for one in places), tuple(places))


def _reason(piece: Planform | NotFlat, router: Router) -> str:
    """Return why a piece cannot be cut from the spec's sheet, or nothing."""
    length, width, thick = router.sheet
    if isinstance(piece, NotFlat):
        return f"{piece.reason}, so it is no plate to cut from a sheet: make it by hand from its solid"
    if abs(piece.thickness_mm - thick) > THICK_MM:
        return f"it is {piece.thickness_mm:g} mm thick and the sheet {thick:g} mm: cut it from other stock"
    long, short = sorted(piece.size, reverse=True)
    room = sorted(room_on((length, width), router.spacing), reverse=True)
    if long > room[0] + 1e-9 or short > room[1] + 1e-9:
        return (
            f"it is {long:.1f} × {short:.1f} mm and a sheet of {length:g} × {width:g} mm takes "
            f"{room[0]:g} × {room[1]:g} mm: cut it from a larger one (shop.router.sheet)"
        )
    return ""


def _moved(plate: Planform, to: Nested) -> Planform:
    """Return a plate where it lies on its sheet."""
    (x, y), (_, high) = to.at, plate.size

    def move(p: Point) -> Point:
        return (x + high - p[1], y + p[0]) if to.turned else (x + p[0], y + p[1])

    return replace(plate, operations=tuple(cut.moved(move) for cut in plate.operations))


def layer_of(cut: Operation) -> str:
    """Return the name of the layer for a cut: what is done, and how deep."""
    depth = "THROUGH" if cut.through else f"{_number(cut.depth_mm)}MM"
    if cut.kind == "sawn":
        return "SAWN_LATER"
    if cut.kind == "drill":
        return f"DRILL_{_number(cut.diameter_mm)}MM_{depth if cut.through else f'{depth}_DEEP'}"
    return f"{cut.kind.upper()}_{depth}{f'_{_number(cut.depth_mm)}MM' if cut.through else ''}"


def _number(mm: float) -> str:
    return f"{round(mm, 3):g}"
