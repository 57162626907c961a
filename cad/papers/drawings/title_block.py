"""The frame of a sheet, its title block (fields of ISO 7200), projection symbol, list of parts and notes."""

from __future__ import annotations

from dataclasses import dataclass

from cad.outline import Point
from cad.papers.drawings import document as layers
from cad.papers.drawings.document import NARROW, WIDE, Draught
from cad.papers.drawings.layout import LINE_MM, ROW_HIGH_MM, TITLE_HIGH_MM, LaidOut, notes_high
from cad.papers.drawings.lettering import PLAIN_MM, SMALL_MM, TITLE_MM, width_mm
from cad.papers.drawings.paper import TITLE_WIDE_MM, scale_text
from cad.papers.drawings.sheet import Projection
from cad.units import UnitName

ROWS = 4
COLUMNS_MM = (50.0, 80.0, 50.0)  # to be filled in by hand; what it is; sheet, scale, projection
ITEM_COLUMNS_MM = (14.0, 44.0, 16.0, 54.0, 52.0)


@dataclass(frozen=True)
class Imprint:
    """What the title block says beside what the sheet itself knows."""

    plane: str
    number: int
    count: int
    unit: UnitName
    both: bool
    projection: Projection


def draw_frame(laid: LaidOut, imprint: Imprint, on: Draught) -> None:
    """Draw borders, title block, list of parts and notes of a sheet."""
    left, bottom, right, top = laid.page.frame
    _box(on, left, bottom, right, top, layers.FRAME)
    corner = (right - TITLE_WIDE_MM, bottom)
    _title_block(laid, imprint, corner, on)
    high = _items(laid, (corner[0], bottom + TITLE_HIGH_MM), on)
    _notes(laid, (left + 4, high), on)


def _title_block(laid: LaidOut, imprint: Imprint, corner: Point, on: Draught) -> None:
    x, y = corner
    step = TITLE_HIGH_MM / ROWS
    _box(on, x, y, x + TITLE_WIDE_MM, y + TITLE_HIGH_MM, layers.FRAME)
    one, two = x + COLUMNS_MM[0], x + COLUMNS_MM[0] + COLUMNS_MM[1]
    for at in (one, two):
        on.line((at, y), (at, y + TITLE_HIGH_MM), layers.BLOCK)
    for i in range(1, ROWS):
        on.line((x, y + i * step), (one, y + i * step), layers.BLOCK)
        on.line((two, y + i * step), (x + TITLE_WIDE_MM, y + i * step), layers.BLOCK)
    on.line((one, y + step), (two, y + step), layers.BLOCK)
    on.line((one, y + 2 * step), (two, y + 2 * step), layers.BLOCK)
    # To be written in by hand: a file that is the same each time knows neither names nor days.
    for i, caption in enumerate(("Date of issue", "Approved by", "Created by", "Owner")):
        _caption(on, caption, (x, y + (i + 1) * step))
    sheet = laid.sheet
    _caption(on, "Title", (one, y + 4 * step))
    on.words(sheet.title, (one + 2, y + 2 * step + 4.5), _fitting(sheet.title, TITLE_MM, 76), "LEFT")
    _field(on, "Document type", sheet.document, (one, y + 2 * step), 76)
    _field(on, "Material", sheet.material or "–", (one, y + step), 76)
    _field(on, "Identification", f"{imprint.plane}-{sheet.name}", (two, y + 4 * step), 46)
    half = two + COLUMNS_MM[2] / 2
    on.line((half, y + step), (half, y + 3 * step), layers.BLOCK)
    _field(on, "Sheet", f"{imprint.number} / {imprint.count}", (two, y + 3 * step), 20)
    _field(on, "Scale", scale_text(laid.scale), (half, y + 3 * step), 20)
    _field(on, "Size", laid.page.name, (two, y + 2 * step), 20)
    _projection_symbol(on, imprint.projection, (half + COLUMNS_MM[2] / 4, y + 1.5 * step))
    _field(on, "Unit", _unit(imprint), (two, y + step), 46)


def _unit(imprint: Imprint) -> str:
    other = "in" if imprint.unit == "mm" else "mm"
    return f"{imprint.unit} [{other}], degrees" if imprint.both else f"{imprint.unit}, degrees"


def _projection_symbol(on: Draught, projection: Projection, middle: Point) -> None:
    """Draw the cut cone and its end view: in first angle beside its large end, in third beside its small one.

    ISO 5456-2, from memory.
    """
    x, y = middle
    small, large, long = 1.2, 2.4, 5.0
    cone, circles = (x - 5.5, x + 5.0) if projection == "first" else (x + 0.5, x - 5.0)
    first, last = small, large
    ends = ((cone, first), (cone + long, last))
    for at, half in ends:
        on.line((at, y - half), (at, y + half), layers.BLOCK, WIDE)
    for side in (1, -1):
        on.line((cone, y + side * first), (cone + long, y + side * last), layers.BLOCK, WIDE)
    on.circle((circles, y), small, layers.VISIBLE)
    on.circle((circles, y), large, layers.VISIBLE)
    on.line((cone - 1, y), (cone + long + 1, y), layers.AXES)
    on.line((circles - large - 1, y), (circles + large + 1, y), layers.AXES)
    on.line((circles, y - large - 1), (circles, y + large + 1), layers.AXES)


def _items(laid: LaidOut, corner: Point, on: Draught) -> float:
    """Draw the list of parts upwards from a corner, its heading lowest; return the height it reaches."""
    items = laid.sheet.items
    if not items:
        return corner[1]
    rows = [("Item", "Part", "Number", "Material", "Size")]
    rows += [(item.number, item.name, str(item.count), item.material, item.size) for item in items]
    for i, row in enumerate(rows):
        x, y = corner[0], corner[1] + i * ROW_HIGH_MM
        for text, width in zip(row, ITEM_COLUMNS_MM, strict=True):
            on.words(text, (x + 2, y + 1.75), _fitting(text, PLAIN_MM, width - 3), "LEFT")
            x += width
        on.line((corner[0], y + ROW_HIGH_MM), (corner[0] + TITLE_WIDE_MM, y + ROW_HIGH_MM), layers.BLOCK)
    top = corner[1] + ROW_HIGH_MM * len(rows)
    x = corner[0]
    for width in (*ITEM_COLUMNS_MM, 0.0):
        on.line((x, corner[1]), (x, top), layers.BLOCK)
        x += width
    return top


def _notes(laid: LaidOut, corner: Point, on: Draught) -> None:
    x, y = corner[0], corner[1] + notes_high(laid.sheet) - LINE_MM + 0.5
    for note in laid.sheet.notes:
        on.words(note, (x, y), _fitting(note, PLAIN_MM, laid.page.frame[2] - x - 2), "LEFT")
        y -= LINE_MM


def _field(on: Draught, caption: str, text: str, corner: Point, wide: float) -> None:
    _caption(on, caption, corner)
    on.words(text, (corner[0] + 2, corner[1] - 6.6), _fitting(text, PLAIN_MM, wide), "LEFT")


def _caption(on: Draught, caption: str, corner: Point) -> None:
    """Write the name of a field, small, under its upper left corner."""
    on.words(caption, (corner[0] + 1, corner[1] - SMALL_MM - 0.8), SMALL_MM, "LEFT")


def _fitting(text: str, height: float, wide: float) -> float:
    """Return the height of text that must fit a width: as given, or less."""
    return min(height, height * wide / max(width_mm(text, height), 1e-9))


def _box(on: Draught, x0: float, y0: float, x1: float, y1: float, layer: str) -> None:
    corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    for p, q in zip(corners, corners[1:] + corners[:1], strict=True):
        on.line(p, q, layer, WIDE if layer == layers.FRAME else NARROW)
