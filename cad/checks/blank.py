"""The blank: its spare ends, and whether printer and sheet take pieces as long."""

from __future__ import annotations

from collections.abc import Iterator

from cad.checks.check import Check, at_least, at_most
from cad.checks.cure import change, less, more
from cad.geometry import Plan
from cad.units import format_length

SPARE_MM = 25.0


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of the blank's length."""
    spec, stages = plan.spec, plan.stages
    blank = stages.length + 2 * stages.spare
    yield at_least(
        "blank.spare",
        stages.spare,
        note=SPARE_MM,
        why="clamps, guide and sled hold the blank by the spare length on each end until the plate is glued",
        cure=change(more(spec, "body.spare", SPARE_MM), then="50 mm is usual"),
    )
    longest = max(spec.shop.printer.volume)
    yield at_most(
        "blank.printer",
        blank,
        note=longest,
        source="the printer's own volume",
        why="no print can run along the whole blank; blocks and gauges are shorter than the plane or come in "
        "lengths",
        cure=change(
            _shorter(plan, longest),
            then=_larger(plan, longest, "shop.printer.volume", "Print long pieces in lengths"),
        ),
    )
    sheet = max(spec.shop.router.sheet[:2])
    yield at_most(
        "blank.sled",
        blank,
        warn=sheet,
        source="the sheet's own size",
        why="the sled is cut from this sheet, and the blank would hang over its ends",
        cure=change(_shorter(plan, sheet), then=_larger(plan, sheet, "shop.router.sheet", "")),
    )


def _shorter(plan: Plan, room: float) -> str:
    spare = (room - plan.stages.length) / 2
    return less(plan.spec, "body.spare", spare) if spare >= SPARE_MM else ""


def _larger(plan: Plan, room: float, key: str, otherwise: str) -> str:
    blank = plan.stages.length + 2 * plan.stages.spare
    wanted = (
        f"{'give' if otherwise else 'Give'} {key} a side of {format_length(blank, plan.spec.unit)} or more"
    )
    return " or ".join(part for part in (otherwise, wanted) if part)
