"""The astragal: a bead between two fillets, as it stands in the middle of a board."""

from __future__ import annotations

from pydantic import Field

from cad.soles import beading, moulding
from cad.soles.member import Member

FORM = "astragal"
CALLED = "an astragal"
SUMMARY = "round in the work, in the middle of a board, between two flat fillets"
SIZE = moulding.SIZE
FLATTER = beading.FLATTER


class Table(beading.BeadTable):
    """An astragal."""

    fillet: moulding.Fillet = Field(description="width of the flat on either side; 0 for none")


RULES = (moulding.FILLET, beading.ARC, *moulding.COMMON)
PROBLEMS = (lambda known: beading.room_problems(known, 2 * known["sole.fillet"], ("sole.fillet",)),)


def members(table: Table) -> tuple[Member, ...]:
    """Return fillet, bead and fillet from (0, 0) to (w, 0), in (y, z), mm."""
    w, f = table.width, table.fillet
    return moulding.joined(
        ("start", (0.0, 0.0)),
        ("plate fillet", (f, 0.0)),
        ("bead", beading.bead(f, w - f, table.arc)),
        ("blind fillet", (w, 0.0)),
    )
