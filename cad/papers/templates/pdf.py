"""Pages of art as a PDF: mm to points, widths and dashes, the font embedded; the same bytes every time."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO

from reportlab.pdfgen.canvas import Canvas

from cad.papers.fonts import CAPITAL
from cad.papers.templates.bezier import Chain
from cad.papers.templates.fonts import font
from cad.papers.templates.ink import Art, Pen, Stroke, Words
from cad.papers.templates.page import PaperSize

POINTS_PER_MM = 72 / 25.4  # a PDF's unit is 1/72 in (ISO 32000-1, 8.3.2.3)


def pdf_bytes(pages: Sequence[Art], size: PaperSize, scale: tuple[float, float], title: str) -> bytes:
    """Return a PDF whose pages have exactly the paper's size, all on them stretched by `scale`."""
    stream = BytesIO()
    whole = (size.width * POINTS_PER_MM, size.height * POINTS_PER_MM)
    canvas = Canvas(stream, pagesize=whole, invariant=1, pageCompression=1, initialFontName=font())
    canvas.setTitle(title)
    canvas.setCreator("planewright")
    # A reader's print dialog is asked not to fit the page to the paper (ISO 32000-1, table 150).
    canvas.setViewerPreference("PrintScaling", "None")
    for page in pages:
        canvas.scale(scale[0] * POINTS_PER_MM, scale[1] * POINTS_PER_MM)
        canvas.setLineCap(0)
        canvas.setLineJoin(1)
        for stroke in page.strokes:
            _stroke(canvas, stroke)
        for words in page.words:
            _write(canvas, words)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def _stroke(canvas: Canvas, stroke: Stroke) -> None:
    pen: Pen = stroke.pen
    canvas.setLineWidth(pen.width)
    canvas.setDash(list(pen.dashes), 0)
    path = canvas.beginPath()
    chain: Chain = stroke.chain
    path.moveTo(*chain.start)
    for step in chain.steps:
        if len(step) == 1:
            path.lineTo(*step[0])
        else:
            path.curveTo(*step[0], *step[1], *step[2])
    if chain.closed:
        path.close()
    canvas.drawPath(path, stroke=0 if stroke.filled else 1, fill=1 if stroke.filled else 0)


def _write(canvas: Canvas, words: Words) -> None:
    low_x, low_y, _, high_y = words.box
    height = words.height
    canvas.setFont(font(), height / CAPITAL)
    if not words.upright:
        canvas.drawString(low_x, high_y - height, words.text)
        return
    canvas.saveState()
    canvas.translate(low_x + height, low_y)
    canvas.rotate(90)
    canvas.drawString(0, 0, words.text)
    canvas.restoreState()
