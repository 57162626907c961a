"""The ogee: hollow above and round below, level between the two; the cyma recta of architects.

The trade's catalogues are not of one mind which of the two S-curves is the ogee and which its reverse; here
the high half says it, as in books on architecture (common practice, no source).
"""

from __future__ import annotations

from pydantic import Field

from cad.fields import Known
from cad.soles import moulding
from cad.soles.member import Member
from cad.soles.table import SoleTable

FORM = "ogee"
CALLED = "an ogee"
SUMMARY = "hollow above, round below (cyma recta): steep at both ends, level between, a fillet on either side"
SIZE = moulding.SIZE
FLATTER = moulding.FLATTER


class Table(SoleTable):
    """An ogee."""

    depth: moulding.Depth = Field(description="height of the whole profile")
    fillet: moulding.Fillet = Field(description="width of the flat on either side; 0 for none")


def _run(known: Known) -> float:
    return known["sole.width"] - 2 * known["sole.fillet"]


RULES = moulding.rules(_run, stepped=False)
PROBLEMS = moulding.problems(_run, stepped=False)


def members(table: Table) -> tuple[Member, ...]:
    """Return fillet, round, hollow and fillet from (0, 0) to (w, depth), in (y, z), mm."""
    w, d, f = table.width, table.depth, table.fillet
    low, high = (f, 0.0), (w - f, d)
    middle = moulding.half_way(low, high)
    return moulding.joined(
        ("start", (0.0, 0.0)),
        ("low fillet", low),
        ("round", moulding.level_above(low, middle)),
        ("hollow", moulding.level_below(middle, high)),
        ("high fillet", (w, d)),
    )
