"""The one font of the templates, embedded: DejaVu Sans as matplotlib ships it, read without importing it."""

from __future__ import annotations

from functools import cache

from reportlab.pdfbase import pdfmetrics

from cad.papers.fonts import CAPITAL, PLAIN, fonts

HANGING = frozenset("gjpqyJQ,;()[]{}|/_@$")  # characters of ours that hang below the line
DESCENT = 0.33  # how far they do, of the height of the capitals
LEVEL = 0.03  # how far round letters sink below the line


def font() -> str:
    """Return the name by which reportlab knows the font. Raises KernelError when its file is missing."""
    fonts()
    return PLAIN


@cache
def width_mm(text: str, height_mm: float) -> float:
    """Return the width of a line of text whose capitals are so many mm high."""
    return float(pdfmetrics.stringWidth(text, font(), height_mm / CAPITAL))


def descent(text: str) -> float:
    """Return how far a text hangs below its line, of the height of its capitals."""
    return DESCENT if HANGING.intersection(text) else LEVEL
