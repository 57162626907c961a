"""Notes: for each fixture a plain text that says how to use it, and what can hurt; one for the sheets."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from textwrap import wrap

from cad.outputs.cutting import Cutting, cutting
from cad.outputs.files import OutFile
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.spec.router import Router
from fixtures.bench.model import Fixture, work_words

WIDTH = 88

ROUTER_CAUTIONS = (
    "A router throws what is not held and cuts what is near: keep to the manual of your machine and the "
    "rules that hold where you work, and leave it to someone trained if you are not sure of it.",
    "Hold the sheet down over all of its area, clear of every path, with no nail or screw under one. Let "
    "small pieces and what falls out of them hang on by tabs until the cutter stands.",
    "Try the program in air first. Wear eye and ear protection; draw the dust off at the cutter and wear a "
    "mask: the dust of sheet goods and their glue harms the lungs, and it burns.",
    "Unplug the machine to change the cutter.",
)
LAYERS = (
    "Each DXF and SVG is in true size, in mm, with one layer for each operation; depths are from the top.",
    "OUTSIDE and INSIDE: the cutter runs beside the line, in the waste. POCKET: all within the line, down to "
    "the depth. DRILL: a hole of that diameter, bored or cut. ENGRAVE: the outline of letters, as deep as it "
    "says or scratched as you like. SAWN_LATER, SHEET and NAMES are not cut.",
    "Outlines are the finished wood: the cutter's radius is not in them. Inside corners are no sharper than "
    "the cutter, and cut out where a square part must seat.",
)


def files(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield fixtures/sheets.txt, when the whole of the product was built."""
    if not product.whole:
        return
    found = cutting(product, meshes)
    if found.sheets or found.off_sheet:
        text = sheets_text(product.plan.spec.name, found, product.plan.spec.shop.router)
        yield OutFile("fixtures/sheets.txt", text.encode())


def each(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield fixtures/<fixture>.txt for each fixture with something to say."""
    for fixture in product.fixtures:
        if fixture.notes or fixture.cautions:
            text = notes_text(product.plan.spec.name, fixture)
            yield OutFile(f"fixtures/{fixture.name}.txt", text.encode(), fixture.name)


def notes_text(plane: str, fixture: Fixture) -> str:
    """Return the words that go with a fixture, cautions first: they are read before the work, or never."""
    lines = titled(f"{fixture.name} for {plane}, used on the {work_words(fixture.work, fixture.stage)}")
    lines += listed("CAUTION", fixture.cautions) + listed("USE", fixture.notes)
    pieces = ", ".join(f"{piece.name} ({piece.made})" for piece in fixture.pieces)
    lines += wrap(f"Pieces: {pieces}.", WIDTH)
    return "\n".join(lines) + "\n"


def sheets_text(plane: str, found: Cutting, router: Router) -> str:
    """Return what is cut from which sheet, what is on none and why, and what the layers mean."""
    length, width, thick = router.sheet
    lines = titled(f"Sheets for {plane}: {len(found.sheets)} of {length:g} × {width:g} × {thick:g} mm")
    lines += listed("CAUTION", ROUTER_CAUTIONS)
    pieces = [f"{sheet.name}: {', '.join(plate.name for plate in sheet.plates)}" for sheet in found.sheets]
    lines += listed("SHEETS", [f"Pieces lie at least {router.spacing:g} mm apart.", *pieces])
    lines += listed("ON NO SHEET", [f"{piece}: {why}" for piece, why in sorted(found.off_sheet.items())])
    return "\n".join(lines + listed("LAYERS", LAYERS))


def titled(title: str) -> list[str]:
    return [title, "=" * len(title), ""]


def listed(head: str, paragraphs: Sequence[str]) -> list[str]:
    """Return paragraphs under a head, or nothing where there are none."""
    if not paragraphs:
        return []
    lines = [head, ""]
    for paragraph in paragraphs:
        lines += [*wrap(paragraph, WIDTH, initial_indent="- ", subsequent_indent="  "), ""]
    return lines
