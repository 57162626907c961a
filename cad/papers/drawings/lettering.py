"""Lettering on paper: one font, its widths, and the heights in use (ISO 3098 steps by √2).

DejaVu Sans, read from the folder of matplotlib, a dependency that ships it: a font asked for by name may be
swapped for another without a word.
"""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from cad.errors import KernelError

FONT = "DejaVuSans"
CAPITAL = 1493 / 2048  # height of the capitals, of the font's size: read off its H
SMALL_MM, PLAIN_MM, TITLE_MM = 1.8, 2.5, 5.0  # heights of capitals


@cache
def font() -> Any:
    """Return the font, registered with the PDF library. Raises KernelError when its file is missing."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    found = TTFont(FONT, str(font_path()))
    pdfmetrics.registerFont(found)
    return found


def font_path() -> Path:
    """Return where the font file is. Raises KernelError when it is missing."""
    spec = find_spec("matplotlib")
    folder = Path(spec.origin).parent if spec and spec.origin else Path()
    path = folder / "mpl-data" / "fonts" / "ttf" / f"{FONT}.ttf"
    if not path.is_file():
        raise KernelError("drawings", "font", f"{path} is missing: install matplotlib anew")
    return path


def points_of(height_mm: float) -> float:
    """Return the font size, in mm, whose capitals are this high."""
    return height_mm / CAPITAL


def width_mm(text: str, height_mm: float) -> float:
    """Return how wide a line of text is, capitals of a height, in mm."""
    return float(font().stringWidth(text, points_of(height_mm)))
