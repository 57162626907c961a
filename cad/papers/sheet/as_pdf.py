"""A document as PDF: laid out by reportlab, fonts embedded, the same bytes every time."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import HexColor
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    CondPageBreak,
    Flowable,
    Image,
    KeepTogether,
    Paragraph,
    SimpleDocTemplate,
    Spacer,
)
from reportlab.platypus import Table as Grid

from cad.papers.fonts import BOLD, PLAIN, fonts
from cad.papers.sheet.document import (
    Block,
    Caution,
    Document,
    Notice,
    Picture,
    Pictures,
    Points,
    Rendering,
    Section,
    Table,
    Words,
)

PAGES = {"A4": A4, "letter": LETTER}
LEFT_MM, EDGE_MM, FOOT_MM = 20.0, 12.0, 16.0  # a filing margin to the left, as ISO 5457 has it
INK, QUIET, RULE, BAND = (HexColor(c) for c in ("#1c1a17", "#5f594f", "#b9b2a4", "#ece7db"))
DANGER, DANGER_BAND = HexColor("#a3290f"), HexColor("#fbeae4")
NOTE, NOTE_BAND = HexColor("#35566b"), HexColor("#e8f0f4")
TONES = {"black": INK, "grey": HexColor("#9a948a")}
LINE_MM = {"wide": 0.35, "narrow": 0.18}  # ISO 128-2, wide to narrow 2 : 1
PICTURE_MM = (52.0, 40.0)
LEAST_CAPTION_MM = 30.0
MOST_IN_A_ROW = 4
UNBROKEN_ROWS = 12  # a shorter table stays on one page
CELL_PADS = 8.0  # left and right of a cell, points
_PADS = [
    (side, (0, 0), (-1, -1), 1) for side in ("LEFTPADDING", "RIGHTPADDING", "TOPPADDING", "BOTTOMPADDING")
]
ROOM_FOR_STEP = 45 * mm  # a step's heading is not left alone at the foot of a page

TEXT = ParagraphStyle("text", fontName=PLAIN, fontSize=8.6, leading=11.6, textColor=INK, spaceAfter=3)
SMALL = ParagraphStyle("small", TEXT, fontSize=7.2, leading=9.4, textColor=QUIET)
CAPTION = ParagraphStyle("caption", SMALL, spaceBefore=3, spaceAfter=1, keepWithNext=1)
CELL = ParagraphStyle("cell", TEXT, fontSize=7.8, leading=10, spaceAfter=0)
NAME = ParagraphStyle("name", CELL, textColor=QUIET)
HEAD = ParagraphStyle("head", CELL, fontName=BOLD)
ITEM = ParagraphStyle(
    "item", TEXT, leftIndent=14, bulletIndent=1, spaceAfter=2, bulletFontName=PLAIN, bulletFontSize=8.6
)
BOXED = ParagraphStyle(
    "boxed", TEXT, fontSize=7.8, leading=10.2, leftIndent=10, bulletIndent=1, spaceAfter=1, bulletFontSize=7.8
)
TITLE = ParagraphStyle("title", TEXT, fontName=BOLD, fontSize=17, leading=21, spaceAfter=5)
CHAPTER = ParagraphStyle(
    "chapter", TEXT, fontName=BOLD, fontSize=12.5, leading=16, spaceBefore=11, spaceAfter=4
)
STEP = ParagraphStyle("step", TEXT, fontName=BOLD, fontSize=10, leading=13, spaceBefore=9, spaceAfter=3)
HEADINGS = {1: CHAPTER, 2: STEP}


def pdf(document: Document) -> bytes:
    """Return the document as PDF on sheets of its size. Raises KernelError when a font file is missing."""
    fonts()
    stream = BytesIO()
    wide, high = PAGES[document.size]
    frame = SimpleDocTemplate(
        stream,
        pagesize=(wide, high),
        leftMargin=LEFT_MM * mm,
        rightMargin=EDGE_MM * mm,
        topMargin=EDGE_MM * mm,
        bottomMargin=FOOT_MM * mm,
        title=f"{document.title}: {document.name}",
        author="planewright",
        creator="planewright",
        lang="en",
        invariant=1,
    )
    body = wide - (LEFT_MM + EDGE_MM) * mm - 12  # the frame's own padding
    story: list[Flowable] = [Paragraph(escape(f"{document.title}: {document.name}"), TITLE)]
    story += [flow for block in document.lead for flow in _block(block, body)]
    for section in document.sections:
        story += _section(section, body)
    foot = f"{document.name}: {document.kind}"

    class Numbered(_Numbered):
        words = foot

    frame.build(story, canvasmaker=Numbered)
    return stream.getvalue()


class _Numbered(Canvas):  # type: ignore[misc]  # reportlab has no types
    """A canvas that knows how many pages there are before it writes the foot of each."""

    words = ""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._held: list[dict[str, Any]] = []

    def showPage(self) -> None:  # noqa: N802  # reportlab's name
        self._held.append(dict(self.__dict__))
        self._startPage()

    def save(self) -> None:
        for number, state in enumerate(self._held, start=1):
            self.__dict__.update(state)
            wide, y = self._pagesize[0], 9 * mm
            self.setFont(PLAIN, 7)
            self.setFillColor(QUIET)
            self.drawString(LEFT_MM * mm + 6, y, self.words)
            self.drawRightString(wide - EDGE_MM * mm - 6, y, f"page {number} of {len(self._held)}")
            super().showPage()
        super().save()


def _section(section: Section, wide: float) -> Iterator[Flowable]:
    heading = Paragraph(escape(section.title), HEADINGS[section.level])
    flows = [flow for block in section.blocks for flow in _block(block, wide)]
    yield CondPageBreak(ROOM_FOR_STEP)
    # The heading stays with what it announces.
    yield KeepTogether([heading, *flows[:1]]) if flows and not _is_long(section.blocks[0]) else heading
    yield from flows[0 if _is_long(section.blocks[0]) else 1 :] if flows else ()


def _is_long(block: Block) -> bool:
    return isinstance(block, Table | Caution) and len(getattr(block, "rows", getattr(block, "items", ()))) > 6


def _block(block: Block, wide: float) -> list[Flowable]:
    match block:
        case Words(text, small):
            return [Paragraph(escape(text), SMALL if small else TEXT)]
        case Points(items, numbered):
            marks = [f"{i}." if numbered else "•" for i in range(1, len(items) + 1)]
            return [
                Paragraph(escape(item), ITEM, bulletText=mark)
                for item, mark in zip(items, marks, strict=True)
            ]
        case Caution(items):
            return [_box(block.title, items, wide, DANGER, DANGER_BAND), Spacer(1, 4)]
        case Notice(items):
            return [_box("This plane", items, wide, NOTE, NOTE_BAND), Spacer(1, 4)]
        case Table():
            return [*_table(block, wide), Spacer(1, 5)]
        case Rendering(png, high, caption):
            image = Image(BytesIO(png), wide, wide * high)
            return [image, *([Paragraph(escape(caption), SMALL)] if caption else []), Spacer(1, 4)]
        case Pictures(pictures, beside):
            words = [flow for one in beside for flow in _block(one, wide)]
            if len(pictures) == 1 and words:
                return [_pair(words, pictures[0], wide), Spacer(1, 3)]
            return [*(_pictures(pictures, wide) if pictures else ()), *words]


def _box(head: str, items: tuple[str, ...], wide: float, colour: Any, band: Any) -> Flowable:
    title = Paragraph(
        f"<b>{escape(head)}</b>", ParagraphStyle("boxhead", BOXED, textColor=colour, leftIndent=0)
    )
    rows = [[title], *([Paragraph(escape(item), BOXED, bulletText="•")] for item in items)]
    style = [
        ("BACKGROUND", (0, 0), (-1, -1), band),
        ("LINEBEFORE", (0, 0), (0, -1), 2.5, colour),
        ("LEFTPADDING", (0, 0), (-1, -1), 8),
        ("RIGHTPADDING", (0, 0), (-1, -1), 6),
        ("TOPPADDING", (0, 0), (-1, -1), 1),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 0.5),
        ("TOPPADDING", (0, 0), (-1, 0), 3),
        ("BOTTOMPADDING", (0, -1), (-1, -1), 4),
        ("NOSPLIT", (0, 0), (-1, 1)),
    ]
    return Grid(rows, colWidths=[wide], style=style, spaceBefore=2)


def _table(table: Table, wide: float) -> Iterator[Flowable]:
    if table.caption:
        yield Paragraph(escape(table.caption), CAPTION)
    widths = column_widths(table, wide)
    rows = [[Paragraph(escape(cell), HEAD) for cell in table.head]] if table.head else []
    for row in table.rows:
        first = NAME if not table.head else CELL
        cells = zip(row, (first, *[CELL] * (len(row) - 1)), strict=True)
        rows.append([Paragraph(escape(cell), style) for cell, style in cells])
    style = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LINEBELOW", (0, 0), (-1, -1), 0.4, RULE),
        ("LEFTPADDING", (0, 0), (-1, -1), 3),
        ("RIGHTPADDING", (0, 0), (-1, -1), 5),
        ("TOPPADDING", (0, 0), (-1, -1), 1.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
    ]
    if table.head:
        style.append(("BACKGROUND", (0, 0), (-1, 0), BAND))
    if len(rows) <= UNBROKEN_ROWS:
        style.append(("NOSPLIT", (0, 0), (-1, -1)))
    yield Grid(rows, colWidths=widths, style=style, hAlign="LEFT", repeatRows=1 if table.head else 0)


def column_widths(table: Table, wide: float) -> list[float]:
    """Return the widths of a table's columns in points on a page that leaves `wide` between its margins."""
    count = len(table.rows[0])
    shares = table.shares or (1.0,) * count
    return [wide * share / sum(shares) for share in shares]


def _pictures(pictures: tuple[Picture, ...], wide: float) -> Iterator[Flowable]:
    """Yield rows of pictures over their captions, as many side by side as fit."""
    most = wide / min(len(pictures), MOST_IN_A_ROW) - 6
    drawn = [_Drawn(picture, most) for picture in pictures]
    row: list[_Drawn] = []
    for one in drawn:
        if row and sum(d.width + 6 for d in row) + one.width + 6 > wide:
            yield _row(row)
            row = []
        row.append(one)
    if row:
        yield _row(row)


def _pair(words: list[Flowable], picture: Picture, wide: float) -> Flowable:
    """Return words to the left and a picture over its caption to the right."""
    drawn = _Drawn(picture)
    column = max(drawn.width, LEAST_CAPTION_MM * mm) + 8
    beside = [drawn, Paragraph(escape(picture.caption), SMALL)]
    style = [("VALIGN", (0, 0), (-1, -1), "TOP"), *_PADS, ("LEFTPADDING", (1, 0), (1, 0), 7)]
    return Grid([[words, beside]], colWidths=[wide - column, column], style=style)


def _row(row: list[_Drawn]) -> Flowable:
    captions = [Paragraph(escape(one.picture.caption), SMALL) for one in row]
    widths = [max(one.width, LEAST_CAPTION_MM * mm) + 6 for one in row]
    aligned = [("VALIGN", (0, 0), (-1, 0), "BOTTOM"), ("VALIGN", (0, 1), (-1, 1), "TOP")]
    style = [*aligned, *_PADS, ("NOSPLIT", (0, 0), (-1, -1))]
    return Grid([row, captions], colWidths=widths, style=style, hAlign="LEFT")


class _Drawn(Flowable):  # type: ignore[misc]  # reportlab has no types
    """A picture where it stands on the page."""

    def __init__(self, picture: Picture, most: float = PICTURE_MM[0] * mm) -> None:
        super().__init__()
        self.picture = picture
        low_x, low_y, high_x, high_y = picture.bounds()
        self.low = (low_x, low_y)
        room_x, room_y = picture.room_mm or PICTURE_MM
        room_x = min(room_x, (most - 8) / mm)
        fitted = min(room_x / max(high_x - low_x, 1e-6), room_y / max(high_y - low_y, 1e-6))
        self.scale = mm * fitted
        self.width, self.height = (high_x - low_x) * self.scale + 8, (high_y - low_y) * self.scale + 8

    def wrap(self, _wide: float, _high: float) -> tuple[float, float]:
        return self.width, self.height

    def draw(self) -> None:
        canvas = self.canv
        canvas.setLineCap(1)
        canvas.setLineJoin(1)
        # Grey first: what stands in front is drawn over it.
        for stroke in sorted(self.picture.strokes, key=lambda stroke: stroke.tone == "black"):
            canvas.setStrokeColor(TONES[stroke.tone])
            canvas.setLineWidth(LINE_MM[stroke.weight] * mm)
            path = canvas.beginPath()
            path.moveTo(*self._place(stroke.points[0]))
            for point in stroke.points[1:]:
                path.lineTo(*self._place(point))
            canvas.drawPath(path)
        canvas.setFillColor(INK)
        for one in self.picture.letterings:
            x, y = self._place(one.at)
            canvas.setFont(PLAIN, one.height * mm / 0.729)  # the font's capitals are 0.729 of its size
            canvas.drawCentredString(x, y - one.height * mm / 2, one.text)

    def _place(self, point: tuple[float, float]) -> tuple[float, float]:
        return (
            round((point[0] - self.low[0]) * self.scale + 4, 3),
            round((point[1] - self.low[1]) * self.scale + 4, 3),
        )
