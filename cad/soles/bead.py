"""The side bead: a round on the edge of a board, parted from its face by a quirk.

The sole ends with the bottom of the quirk. Its far wall is left plumb by the corner of the iron, the plane
sinking until the bead is flush with the face of the board.
"""

from __future__ import annotations

from pydantic import Field

from cad.fields import Rule
from cad.outline import Arc
from cad.soles import beading, moulding
from cad.soles.member import Member

FORM = "bead"
CALLED = "a side bead"
SUMMARY = "round in the work, on the edge of a board, with the flat bottom of a quirk beside it"
SIZE = moulding.SIZE
FLATTER = beading.FLATTER


class Table(beading.BeadTable):
    """A side bead."""

    quirk: moulding.Fillet = Field(description="width of the quirk at the high side; 0 for none")


RULES = (
    Rule(
        "sole.quirk",
        lambda known: moulding.sized(known, known["sole.width"] / 6),
        "a sixth of the width",
        practice=True,
    ),
    beading.ARC,
    *moulding.COMMON,
)
PROBLEMS = (lambda known: beading.room_problems(known, known["sole.quirk"], ("sole.quirk",)),)


def members(table: Table) -> tuple[Member, ...]:
    """Return bead and quirk from (0, 0) to (w, 0), in (y, z), mm."""
    bead: Arc = beading.bead(0.0, table.width - table.quirk, table.arc)
    return moulding.joined(("bead", bead), ("quirk", (table.width, 0.0)))
