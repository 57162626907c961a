"""Lettering on paper: one font, its widths, and the heights in use (ISO 3098 steps by √2).

DejaVu Sans, read from the folder of matplotlib, a dependency that ships it: a font asked for by name may be
swapped for another without a word.
"""

from __future__ import annotations

from typing import Any

from cad.papers.fonts import CAPITAL, PLAIN, fonts

SMALL_MM, PLAIN_MM, TITLE_MM = 1.8, 2.5, 5.0  # heights of capitals


def font() -> Any:
    """Return the font, registered with the PDF library. Raises KernelError when its file is missing."""
    return fonts()[PLAIN]


def points_of(height_mm: float) -> float:
    """Return the font size, in mm, whose capitals are this high."""
    return height_mm / CAPITAL


def width_mm(text: str, height_mm: float) -> float:
    """Return how wide a line of text is, capitals of a height, in mm."""
    return float(font().stringWidth(text, points_of(height_mm)))
