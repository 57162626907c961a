"""The cove: a quarter hollow on the edge of a board, under a fillet; also called a cavetto."""

from __future__ import annotations

from pydantic import Field

from cad.fields import Known
from cad.soles import moulding
from cad.soles.member import Member
from cad.soles.table import SoleTable

FORM = "cove"
CALLED = "a cove"
SUMMARY = "hollow in the work (a cavetto), level at the low side and steep under the fillet of the high one"
SIZE = moulding.SIZE
FLATTER = moulding.FLATTER


class Table(SoleTable):
    """A cove."""

    depth: moulding.Depth = Field(description="height of the whole profile")
    fillet: moulding.Fillet = Field(description="width of the flat on the high side; 0 for none")


def _run(known: Known) -> float:
    return known["sole.width"] - known["sole.fillet"]


RULES = moulding.rules(_run, stepped=False)
PROBLEMS = moulding.problems(_run, stepped=False)


def members(table: Table) -> tuple[Member, ...]:
    """Return hollow and fillet from (0, 0) to (w, depth), in (y, z), mm."""
    w, d = table.width, table.depth
    high = (w - table.fillet, d)
    return moulding.joined(("cove", moulding.level_below((0.0, 0.0), high)), ("fillet", (w, d)))
