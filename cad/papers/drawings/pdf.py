"""Sheets as one PDF document, true to scale: ink drawn on the pages of reportlab's canvas, with real text."""

from __future__ import annotations

from collections.abc import Iterable
from io import BytesIO

from reportlab.pdfgen.canvas import Canvas

from cad.papers.drawings.ink import Ink
from cad.papers.drawings.lettering import font, points_of
from cad.papers.drawings.paper import Page
from cad.papers.fonts import PLAIN as FONT

POINT_MM = 25.4 / 72  # a point of PDF: 1/72 in
ROUND = 1  # caps and joins
NON_ZERO = 1  # fill by winding number


def pdf_bytes(title: str, sheets: Iterable[tuple[Page, Ink]]) -> bytes:
    """Return a PDF document, one page a sheet, the same bytes for the same ink."""
    font()
    stream = BytesIO()
    canvas = Canvas(stream, invariant=1, pageCompression=1)
    canvas.setTitle(title)
    canvas.setCreator("planewright")
    for page, ink in sheets:
        canvas.setPageSize((page.width / POINT_MM, page.height / POINT_MM))
        canvas.scale(1 / POINT_MM, 1 / POINT_MM)
        _draw(canvas, ink)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def _draw(canvas: Canvas, ink: Ink) -> None:
    canvas.setLineCap(ROUND)
    canvas.setLineJoin(ROUND)
    for width in sorted({stroke.width for stroke in ink.strokes}):
        path = canvas.beginPath()
        for stroke in ink.strokes:
            if stroke.width == width:
                for command, points in stroke.commands:
                    step = {"M": path.moveTo, "L": path.lineTo, "C": path.curveTo}[command]
                    step(*(c for p in points for c in p))
        canvas.setLineWidth(width)
        canvas.drawPath(path, stroke=1, fill=0)
    path = canvas.beginPath()
    for fill in ink.fills:
        path.moveTo(*fill.points[0])
        for p in fill.points[1:]:
            path.lineTo(*p)
        path.close()
    canvas.drawPath(path, stroke=0, fill=1, fillMode=NON_ZERO)
    for words in ink.words:
        canvas.saveState()
        canvas.translate(*words.at)
        canvas.rotate(words.turn_deg)
        canvas.setFont(FONT, points_of(words.height))
        canvas.drawString(0, 0, words.text)
        canvas.restoreState()
