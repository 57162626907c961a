"""True-size templates: paper to paste on wood, scale 1:1, with rulers that tell whether the printer kept it.

`templates_pdf(plan, fixtures, size)` returns the PDF for one paper size. Each kind of template is one file in
`cad.papers.templates.kinds`. Closed forms only: curves that a fixture carries are the fixture's own.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from cad.geometry import Plan
from cad.papers.templates.ink import Art, joined
from cad.papers.templates.kinds import templates
from cad.papers.templates.packing import Placed, pack
from cad.papers.templates.page import SIZES, Frame, PaperSize
from cad.papers.templates.pdf import pdf_bytes
from cad.papers.templates.tiling import blocks

if TYPE_CHECKING:
    from fixtures.bench.model import Fixture

__all__ = ["SIZES", "template_pages", "templates_pdf"]


def templates_pdf(plan: Plan, fixtures: Sequence[Fixture], size: PaperSize) -> bytes:
    """Return the templates of a plane and its fixtures as a PDF on one size of paper."""
    frame = frame_of(plan, size)
    pages = template_pages(plan, fixtures, frame)
    title = f"{plan.spec.name}: true-size templates, {size.name}"
    return pdf_bytes(pages, size, frame.scale, title)


def frame_of(plan: Plan, size: PaperSize) -> Frame:
    """Return the frame of every page for a plane on one size of paper."""
    spec = plan.spec
    return Frame(spec.name, size, spec.unit, (spec.paper.scale_x, spec.paper.scale_y))


def template_pages(plan: Plan, fixtures: Sequence[Fixture], frame: Frame) -> list[Art]:
    """Return every page in true mm, its lower left corner at (0, 0)."""
    cut = [block for template in templates(plan, fixtures) for block in blocks(template, frame.room)]
    packed = pack(cut, frame.field)
    return [_page(placed, number, len(packed), frame) for number, placed in enumerate(packed, start=1)]


def _page(placed: list[Placed], number: int, pages: int, frame: Frame) -> Art:
    titles = [one.block.title for one in placed]
    arts = [one.block.art.moved(*one.at) for one in placed]
    return joined([frame.furniture(number, pages, titles), *arts])
