"""The reverse ogee: round above and hollow below, steep between the two; the cyma reversa of architects."""

from __future__ import annotations

from pydantic import Field

from cad.fields import Known
from cad.soles import moulding
from cad.soles.member import Member
from cad.soles.table import SoleTable

FORM = "reverse-ogee"
CALLED = "a reverse ogee"
SUMMARY = (
    "round above, hollow below (cyma reversa): level at both ends, steep between, a step to a fillet above"
)
SIZE = moulding.SIZE
FLATTER = moulding.FLATTER


class Table(SoleTable):
    """A reverse ogee."""

    depth: moulding.Depth = Field(description="height of the whole profile")
    fillet: moulding.Fillet = Field(description="width of the flat on the high side; 0 for none")
    step: moulding.Step = Field(description="plumb step from the curve up to the fillet")


def _run(known: Known) -> float:
    return known["sole.width"] - known["sole.fillet"]


RULES = moulding.rules(_run, stepped=True)
PROBLEMS = moulding.problems(_run, stepped=True)


def members(table: Table) -> tuple[Member, ...]:
    """Return hollow, round, step and fillet from (0, 0) to (w, depth), in (y, z), mm."""
    w, d = table.width, table.depth
    low, high = (0.0, 0.0), (w - table.fillet, d - table.step)
    middle = moulding.half_way(low, high)
    return moulding.joined(
        ("hollow", moulding.level_below(low, middle)),
        ("round", moulding.level_above(middle, high)),
        ("step", (high[0], d)),
        ("fillet", (w, d)),
    )
