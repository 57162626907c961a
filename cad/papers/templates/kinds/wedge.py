"""The wedge's side with the outline of its head, and where it stands in the body when driven home."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from cad.geometry import Plan
from cad.papers.templates.bezier import chain
from cad.papers.templates.block import Template
from cad.papers.templates.ink import CUT, EDGE, ROW_MM, Art, Words, drawn, leader, line
from cad.papers.templates.room import labelled
from cad.units import format_length, plain

if TYPE_CHECKING:
    from fixtures.bench.model import Fixture

BESIDE_MM = 2.5


def templates(plan: Plan, fixtures: Sequence[Fixture]) -> Iterator[Template]:
    """Yield the wedge. It is the same for both hands: turned over it is its own mirror image."""
    wedge, unit = plan.wedge, plan.spec.unit
    notes = (
        f"Stock {format_length(wedge.width, unit)} thick: the throat less its clearance. "
        f"{plain(wedge.angle_deg)}° between the faces.",
        "Leave it long at the tip and shape the head only after it is fitted: "
        f"1 mm planed off a face lets it sink {plain(wedge.sink_per_mm)} mm.",
    )
    yield Template("wedge", "Wedge, from the side", notes, _art(plan))


def _art(plan: Plan) -> Art:
    wedge = plan.wedge
    outline = wedge.side_view()
    low_u, _, high_u, high_n = outline.bounds()
    foot = (wedge.front_exit_u, wedge.thickness(wedge.front_exit_u))
    top = line(EDGE, (wedge.body_top_u, 0.0), foot)
    beyond = high_n + BESIDE_MM + ROW_MM / 2
    middle = (low_u + wedge.front_exit_u) / 2
    words = (
        Words("tip", (low_u - BESIDE_MM, wedge.nose / 2), align="right"),
        Words("strike here", (high_u + BESIDE_MM, high_n / 2)),
        Words("face on the iron", (middle, -BESIDE_MM - ROW_MM / 2), align="middle"),
    )
    front = (middle, wedge.thickness(middle))
    art = drawn(CUT, chain(outline)) + top + Art((), words)
    art += leader("face on the front of the throat", (middle, beyond), front, "right")
    share = 0.6
    on_top = (wedge.body_top_u + (foot[0] - wedge.body_top_u) * share, foot[1] * share)
    at = max(wedge.front_exit_u, middle) + 4.0
    art += leader("top of the body, driven home", (at, beyond), on_top)
    return labelled(art, _names(plan))


def _names(plan: Plan) -> Iterator[Art]:
    """Yield the places where the name may stand within the outline, from the head to the tip."""
    wedge = plan.wedge
    for at in (wedge.body_top_u - 12.0 - 5.0 * i for i in range(20)):
        yield Art((), (Words("WEDGE", (at, wedge.thickness(at - 8.0) / 2), 3.0, "middle"),))
