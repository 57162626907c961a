"""The page round the templates: margins, head, rulers at right angles, legend, and the field between.

All is laid out in true mm. A page corrected for its printer is that much smaller in true mm, and everything
on it, rulers too, is stretched by the same factors when it is written.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cad.papers.templates.bezier import Box
from cad.papers.templates.ink import (
    FINE,
    LEAST_TEXT_MM,
    LEGEND,
    ROW_MM,
    TITLE_MM,
    Art,
    Words,
    joined,
    line,
    rows,
    wrapped,
)
from cad.papers.templates.ruler import LONG_MM, heights, must_measure, ruler
from cad.units import UnitName, plain

MARGIN_MM = 10.0  # common printers leave 4 to 6 mm unprinted; common practice, no source
GAP_MM = 4.0  # between the field and what is round it
NAME_ROWS = 2  # lines for the names of what is on the page
LEGEND_ROW_MM = 3.8
SAMPLE_MM = 14.0


@dataclass(frozen=True)
class PaperSize:
    """A sheet of paper, upright, in mm."""

    name: str
    width: float
    height: float


# A4: ISO 216 (and ISO 5457); letter, 8.5 by 11 in: ASME Y14.1, its size A.
SIZES = (PaperSize("a4", 210.0, 297.0), PaperSize("letter", 215.9, 279.4))


@dataclass(frozen=True)
class Frame:
    """What is the same on every page of one paper for one plane."""

    plane: str
    size: PaperSize
    unit: UnitName
    scale: tuple[float, float]  # paper.scale_x, paper.scale_y

    @property
    def width(self) -> float:
        """Width of the page in true mm."""
        return self.size.width / self.scale[0]

    @property
    def height(self) -> float:
        return self.size.height / self.scale[1]

    @property
    def live(self) -> Box:
        """The area within the margins."""
        x, y = (MARGIN_MM / scale for scale in self.scale)
        return (x, y, self.width - x, self.height - y)

    @property
    def field(self) -> Box:
        """Where templates may lie."""
        low_x, low_y, high_x, high_y = self.live
        beside, beyond = heights(self.unit)
        bottom = max(beside + beyond, len(LEGEND) * LEGEND_ROW_MM)
        return (
            low_x + beside + beyond + GAP_MM,
            low_y + bottom + GAP_MM,
            high_x,
            high_y - self._head_mm - GAP_MM,
        )

    @property
    def room(self) -> tuple[float, float]:
        """Width and height of the field."""
        low_x, low_y, high_x, high_y = self.field
        return high_x - low_x, high_y - low_y

    def furniture(self, page: int, pages: int, titles: Sequence[str]) -> Art:
        """Return head, rulers and legend of a page that holds the named templates."""
        return joined([self._head(page, pages, titles), *self._rulers(), self._legend()])

    @property
    def _words(self) -> list[str]:
        """What stands under the title on every page."""
        told = (
            f"Scale 1:1. Print at 100 %, no fit to page; both rulers must measure exactly "
            f"{must_measure(self.unit)}."
        )
        return [line for text in (told, self._correction) for line in wrapped(text, self._wide)]

    @property
    def _correction(self) -> str:
        x, y = self.scale
        if (x, y) == (1.0, 1.0):
            return (
                "No correction applied. If a ruler is off: paper.scale_x (lower) or scale_y = 100 / its mm."
            )
        return (
            f"Correction applied: × {plain(x, 4)} across (paper.scale_x), "
            f"× {plain(y, 4)} up (paper.scale_y). "
            "If a ruler is still off: multiply its factor by 100 / its mm."
        )

    @property
    def _wide(self) -> float:
        return self.live[2] - self.live[0]

    @property
    def _head_mm(self) -> float:
        return TITLE_MM + 2.0 + (len(self._words) + NAME_ROWS) * ROW_MM

    def _head(self, page: int, pages: int, titles: Sequence[str]) -> Art:
        low_x, _, high_x, high_y = self.live
        middle = high_y - TITLE_MM / 2
        number = Words(f"page {page}/{pages}", (high_x, middle), TITLE_MM, "right")
        name = _fitting_name(self.plane, number.box[0] - low_x - GAP_MM)
        under = middle - TITLE_MM / 2 - 2.0 - LEAST_TEXT_MM / 2
        names = _shortened(titles, self._wide)
        words = (
            Words(name, (low_x, middle), TITLE_MM),
            number,
            *rows([*self._words, *names], (low_x, under)),
        )
        foot = high_y - self._head_mm
        return Art((), words) + line(FINE, (low_x, foot), (high_x, foot))

    def _rulers(self) -> Iterator[Art]:
        low_x, low_y, _, _ = self.live
        below, above = heights(self.unit)
        # The rulers' numbers stand half beyond their ends: start where "0" is still within the margin.
        yield ruler(self.unit).moved(low_x + above + below + GAP_MM, low_y + below)
        field = self.field
        yield ruler(self.unit).turned().moved(low_x + above, field[1] + GAP_MM)

    def _legend(self) -> Art:
        low_x, low_y, _, _ = self.live
        below, above = heights(self.unit)
        x = low_x + above + below + GAP_MM + LONG_MM + 14.0
        parts = []
        for i, pen in enumerate(LEGEND):
            y = low_y + LEAST_TEXT_MM / 2 + 0.9 + (len(LEGEND) - 1 - i) * LEGEND_ROW_MM
            parts.append(line(pen, (x, y), (x + SAMPLE_MM, y)))
            parts.append(Art((), (Words(pen.says, (x + SAMPLE_MM + 2.0, y)),)))
        return joined(parts)


def _fitting_name(plane: str, wide: float) -> str:
    """Return the page's title, shortened where a name of 64 letters leaves it no room."""
    for name in (f"{plane}: true-size templates", plane):
        if _fits(name, wide):
            return name
    while not _fits(f"{plane}…", wide):
        plane = plane[:-1]
    return f"{plane}…"


def _fits(name: str, wide: float) -> bool:
    box = Words(name, (0.0, 0.0), TITLE_MM).box
    return box[2] - box[0] <= wide


def _shortened(titles: Sequence[str], wide: float) -> list[str]:
    """Return the names of what is on the page in at most NAME_ROWS lines."""
    for kept in range(len(titles), 0, -1):
        rest = len(titles) - kept
        text = "On this page: " + "; ".join(titles[:kept]) + (f"; and {rest} more" if rest else "") + "."
        lines = wrapped(text, wide)
        if len(lines) <= NAME_ROWS:
            return lines
    return []
