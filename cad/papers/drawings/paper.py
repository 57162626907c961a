"""Sheets of paper, their borders, and the scales that drawings are made at.

A4 and A3 by ISO 216, letter and tabloid by ASME Y14.1 (8.5 × 11, 11 × 17 in); borders by ISO 5457: 20 mm on
the left for filing, 10 mm elsewhere (from memory); title block 180 mm wide (ISO 7200); scales by ISO 5455
(from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from cad.units import INCH_MM

SizeName = Literal["A4", "letter"]

LEFT_MM, EDGE_MM = 20.0, 10.0
TITLE_WIDE_MM = 180.0
SCALES = (50.0, 20.0, 10.0, 5.0, 2.0, 1.0, 1 / 2, 1 / 5, 1 / 10, 1 / 20, 1 / 50)


@dataclass(frozen=True)
class Page:
    """A sheet as it lies before the reader: name, width and height in mm."""

    name: str
    width: float
    height: float

    @property
    def frame(self) -> tuple[float, float, float, float]:
        """Return the rectangle within the borders: left, bottom, right, top."""
        return (LEFT_MM, EDGE_MM, self.width - EDGE_MM, self.height - EDGE_MM)

    def turned(self) -> Page:
        """Return the sheet with its other side up."""
        return Page(self.name, self.height, self.width)


A4 = Page("A4", 210.0, 297.0)
A3 = Page("A3", 420.0, 297.0)
LETTER = Page("letter", 8.5 * INCH_MM, 11 * INCH_MM)
TABLOID = Page("tabloid", 17 * INCH_MM, 11 * INCH_MM)


def small_pages(size: SizeName) -> tuple[Page, Page]:
    """Return the sheet that every printer takes, upright and lying."""
    page = A4 if size == "A4" else LETTER
    return (page, page.turned())


def large_pages(size: SizeName) -> tuple[Page, Page]:
    """Return the sheet twice as large, lying and upright."""
    page = A3 if size == "A4" else TABLOID
    return (page, page.turned())


def scale_text(scale: float) -> str:
    """Return a scale as ISO 5455 writes it.

    >>> scale_text(0.5), scale_text(1.0), scale_text(5.0)
    ('1:2', '1:1', '5:1')
    """
    return f"{scale:g}:1" if scale >= 1 else f"1:{1 / scale:g}"


def largest_scale(length_mm: float, room_mm: float) -> float:
    """Return the largest scale at which a length fits into some room, or the smallest of all."""
    fitting = [scale for scale in SCALES if length_mm * scale <= room_mm]
    return fitting[0] if fitting else SCALES[-1]
