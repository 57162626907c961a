"""The ovolo: a quarter round between two fillets; without fillet and step a plain quarter round."""

from __future__ import annotations

from pydantic import Field

from cad.fields import Known
from cad.soles import moulding
from cad.soles.member import Member
from cad.soles.table import SoleTable

FORM = "ovolo"
CALLED = "an ovolo"
SUMMARY = "round in the work, steep at the low side and level at the high one, a fillet on either side"
SIZE = moulding.SIZE
FLATTER = moulding.FLATTER


class Table(SoleTable):
    """An ovolo."""

    depth: moulding.Depth = Field(description="height of the whole profile")
    fillet: moulding.Fillet = Field(description="width of the flat on either side; 0 for none")
    step: moulding.Step = Field(description="plumb step from the curve up to the fillet of the high side")


def _run(known: Known) -> float:
    return known["sole.width"] - 2 * known["sole.fillet"]


RULES = moulding.rules(_run, stepped=True)
PROBLEMS = moulding.problems(_run, stepped=True)


def members(table: Table) -> tuple[Member, ...]:
    """Return fillet, round, step and fillet from (0, 0) to (w, depth), in (y, z), mm."""
    w, d, f = table.width, table.depth, table.fillet
    low, high = (f, 0.0), (w - f, d - table.step)
    return moulding.joined(
        ("start", (0.0, 0.0)),
        ("low fillet", low),
        ("ovolo", moulding.level_above(low, high)),
        ("step", (w - f, d)),
        ("high fillet", (w, d)),
    )
