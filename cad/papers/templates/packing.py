"""Blocks laid on pages in their order, each as high up and as far left as it fits, with clearance."""

from __future__ import annotations

from dataclasses import dataclass

from cad.outline import Point
from cad.papers.templates.bezier import Box
from cad.papers.templates.block import Block
from cad.papers.templates.ink import apart

CLEAR_MM = 7.0  # between blocks
SLACK_MM = 1e-6


@dataclass(frozen=True)
class Placed:
    """A block and where its lower left corner lies."""

    block: Block
    at: Point

    @property
    def box(self) -> Box:
        wide, tall = self.block.size
        return (self.at[0], self.at[1], self.at[0] + wide, self.at[1] + tall)


def pack(blocks: list[Block], field: Box) -> list[list[Placed]]:
    """Return the blocks of each page. Raises ValueError when one is larger than a page's field."""
    pages: list[list[Placed]] = []
    for block in blocks:
        for page in pages:
            at = _spot(block, page, field)
            if at is not None:
                page.append(Placed(block, at))
                break
        else:
            at = _spot(block, [], field)
            if at is None:
                raise ValueError(f"{block.title} is larger than the page: {block.size}")
            pages.append([Placed(block, at)])
    return pages


def _spot(block: Block, page: list[Placed], field: Box) -> Point | None:
    """Return the highest, then leftmost, place beside or below what the page holds."""
    wide, tall = block.size
    tops = sorted({field[3], *(one.box[1] - CLEAR_MM for one in page)}, reverse=True)
    lefts = sorted({field[0], *(one.box[2] + CLEAR_MM for one in page)})
    for top in tops:
        for left in lefts:
            box = (left, top - tall, left + wide, top)
            if box[2] > field[2] + SLACK_MM or box[1] < field[1] - SLACK_MM:
                continue
            if all(apart(box, one.box, CLEAR_MM - SLACK_MM) for one in page):
                return (left, top - tall)
    return None
