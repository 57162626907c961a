"""What the wood is sawn from: the pieces of the cut list with their allowances.

Every size is (length along the grain, width, thickness) in mm. The width lies along the plane's height and
the thickness across the plane, so that pieces of one board have their growth rings the same way.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import prod

from cad.formulas.board import JOINTING_MM, ROUGH_LENGTH_MM, ROUGH_THICKNESS_MM, ROUGH_WIDTH_MM
from cad.geometry.plan import Plan

WEDGE_LONG_MM = 15.0  # the wedge is started longer by this much; common practice, no source

Size = tuple[float, float, float]


@dataclass(frozen=True)
class StockPiece:
    """One piece of wood: as it ends in the plane, as it is sawn and jointed to, and as it is bought."""

    name: str
    finished: Size
    sawn: Size  # with the spare length, and what is left for jointing

    @property
    def rough(self) -> Size:
        length, width, thickness = self.sawn
        return (length + ROUGH_LENGTH_MM, width + ROUGH_WIDTH_MM, thickness + ROUGH_THICKNESS_MM)

    @property
    def rough_volume(self) -> float:
        """Volume of the rough piece, mm³."""
        return prod(self.rough)


def cut_list(plan: Plan) -> tuple[StockPiece, ...]:
    """Return the pieces of wood that a plane is made of, the largest first."""
    section, stages, wedge = plan.section, plan.stages, plan.wedge
    low_u, low_n, high_u, high_n = wedge.side_view().bounds()
    rail = section.height - section.shoulder
    thickness = section.blind_face if stages.laminated else section.thickness

    def with_spare(name: str, width: float, thick: float) -> StockPiece:
        sawn = (stages.length + 2 * stages.spare, width + JOINTING_MM, thick)
        return StockPiece(name, (stages.length, width, thick), sawn)

    pieces = [with_spare("body board" if stages.laminated else "body block", section.height, thickness)]
    if stages.laminated:
        pieces.append(with_spare("rail strip", rail, section.plate))
    pieces.append(with_spare("cheek plate", section.shoulder - plan.sole.plate_edge, section.plate))
    long, high = high_u - low_u, high_n - low_n
    pieces.append(
        StockPiece(
            "wedge",
            (long, high, wedge.width),
            (long + WEDGE_LONG_MM, high + JOINTING_MM, wedge.width + JOINTING_MM),
        )
    )
    return tuple(pieces)
