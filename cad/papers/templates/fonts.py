"""The one font of the templates, embedded: DejaVu Sans as matplotlib ships it, read without importing it."""

from __future__ import annotations

from functools import cache

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from cad.errors import KernelError
from cad.kernel.lettering import font_path

FONT = "DejaVuSans"
CAPITALS = 1493 / 2048  # height of the capitals and digits, of the font's size (glyph H of the file)
HANGING = frozenset("gjpqyJQ,;()[]{}|/_@$")  # characters of ours that hang below the line
DESCENT = 0.33  # how far they do, of the height of the capitals
LEVEL = 0.03  # how far round letters sink below the line


@cache
def _registered() -> str:
    """Hand the font to reportlab, once. Raises KernelError when the file is missing."""
    path = font_path().with_name(f"{FONT}.ttf")
    if not path.is_file():
        raise KernelError("templates", "font", f"{path} is missing: install matplotlib anew")
    pdfmetrics.registerFont(TTFont(FONT, str(path)))
    return FONT


def font() -> str:
    """Return the name by which reportlab knows the font."""
    return _registered()


@cache
def width_mm(text: str, height_mm: float) -> float:
    """Return the width of a line of text whose capitals are so many mm high."""
    return float(pdfmetrics.stringWidth(text, font(), height_mm / CAPITALS))


def descent(text: str) -> float:
    """Return how far a text hangs below its line, of the height of its capitals."""
    return DESCENT if HANGING.intersection(text) else LEVEL
