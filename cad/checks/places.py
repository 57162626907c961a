"""Where on the sole a check has found something, in words: members by name, and how far across."""

from __future__ import annotations

from collections.abc import Iterable

from cad.geometry import Plan
from cad.geometry.steepness import Stretch
from cad.units import UnitName, format_length, plain


def across(stretch: Stretch, unit: UnitName) -> str:
    """Return from where to where a stretch runs across the sole."""
    (first, _), (last, _) = stretch.segment.start, stretch.segment.end
    return f"from {format_length(first, unit)} to {format_length(last, unit)}"


def told(plan: Plan, found: Iterable[Stretch]) -> str:
    """Return stretches in words, each with its member, where it lies and its steepest turn."""
    unit = plan.spec.unit
    return ", ".join(
        f"the {one.name} {across(one, unit)} from the rabbet face, up to "
        f"{plain(one.turned_deg, 1)}° from level"
        for one in found
    )
