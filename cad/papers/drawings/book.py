"""The set of drawings: every sheet laid out, drawn and written."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from cad.papers.drawings.document import Draught
from cad.papers.drawings.drawing import draughted
from cad.papers.drawings.ink import Ink, ink_of
from cad.papers.drawings.layout import LaidOut, laid_out
from cad.papers.drawings.pdf import pdf_bytes
from cad.papers.drawings.sheets import all_sheets
from cad.papers.drawings.subject import Subject
from cad.papers.drawings.svg import svg_bytes
from cad.papers.drawings.title_block import Imprint
from cad.papers.dxf import dxf_bytes


@dataclass(frozen=True)
class Leaf:
    """One sheet, drawn."""

    laid: LaidOut
    draught: Draught
    ink: Ink

    @property
    def name(self) -> str:
        return self.laid.sheet.name

    def dxf(self) -> bytes:
        """Return the sheet as DXF, mm of paper."""
        return dxf_bytes(self.draught.document)

    def svg(self) -> bytes:
        """Return the sheet as SVG, true to scale."""
        return svg_bytes(self.laid.sheet.title, self.laid.page, self.ink)


def leaves(subject: Subject) -> tuple[Leaf, ...]:
    """Return every sheet of a plane, drawn."""
    return tuple(_drawn(subject))


def book_pdf(subject: Subject, drawn: tuple[Leaf, ...]) -> bytes:
    """Return the sheets as one PDF document."""
    title = f"{subject.plan.spec.name}: measured drawings"
    return pdf_bytes(title, [(leaf.laid.page, leaf.ink) for leaf in drawn])


def _drawn(subject: Subject) -> Iterator[Leaf]:
    spec = subject.plan.spec
    found = list(all_sheets(subject))
    for number, sheet in enumerate(found, start=1):
        laid = laid_out(sheet.options(), spec.paper.size)
        both = spec.paper.units == "both"
        imprint = Imprint(spec.name, number, len(found), spec.unit, both, subject.projection)
        draught = draughted(laid, imprint)
        yield Leaf(laid, draught, ink_of(draught))
