"""The planes of a family side by side, toes to the front, each form in a row of its own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cad.geometry import Plan
from cad.kernel.shapes import Triple
from cad.parts import build_part, part_colour, part_names
from cad.pictures.scene import Picture, Shown

BETWEEN_MM = 14.0  # planes
BEHIND = 0.65  # of the longest plane, that one row stands behind the other
EYE: Triple = (-1.0, -0.35, 0.62)  # over the toes, so that soles and mouths of all can be told
WASTE = "throat"  # no part of the plane


def picture(name: str, plans: Sequence[Plan]) -> Picture:
    """Return the picture of all finished planes, the first on the left of its row."""
    return Picture(name, tuple(_shown(plans)), EYE)


def _shown(plans: Sequence[Plan]) -> Iterator[Shown]:
    longest = max(plan.stages.length for plan in plans)
    rows: dict[str, float] = {}  # how far each form's row has come
    for plan in plans:
        behind = list(dict.fromkeys([*rows, plan.sole.form])).index(plan.sole.form) * longest * (1 + BEHIND)
        right = rows.get(plan.sole.form, 0.0)
        low, high = _across(plan)
        for part in part_names():
            if part != WASTE:
                yield Shown(build_part(part, plan).solid, part_colour(part), (behind, -right - high, 0.0))
        rows[plan.sole.form] = right + (high - low) + BETWEEN_MM


def _across(plan: Plan) -> tuple[float, float]:
    """Return how far the plane reaches either way across, from its rabbet face."""
    low, high = -plan.section.plate, plan.section.thickness - plan.section.plate
    return (-high, -low) if plan.is_left else (low, high)
