"""What a check found, in words for a sheet."""

from __future__ import annotations

from cad.checks import Check
from cad.report.dimension import Dimension
from cad.units import UnitName


def check_words(check: Check, unit: UnitName) -> str:
    """Return why a check does not hold, its value against its limit, and the cure."""
    value, limit = (
        Dimension(check.unit, amount, False, "").shown(unit) for amount in (check.value, check.limit)
    )
    why = f"{check.why[0].upper()}{check.why[1:]}"
    return f"{why}: {value}, should be {check.bound} {limit}. {check.cure}. (look: {check.id})"
