"""The drawing of a sole: what became of its curves."""

from __future__ import annotations

from collections.abc import Iterator

from cad.checks.check import GEOMETRY, Check, at_most
from cad.checks.cure import change
from cad.geometry import Plan
from cad.units import plain

DRAWN_EXACT_MM = 0.0


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the note that arcs stand for the curves of a drawing, and how far these stray from them."""
    drawing = plan.spec.drawing
    if drawing is None:
        return
    yield at_most(
        "drawing.curves",
        drawing.strays_mm,
        note=DRAWN_EXACT_MM,
        source=f"{GEOMETRY}: measured along the curves of {drawing.name}",
        why=f"{drawing.fitted} arcs stand for curves of {drawing.name} that are neither lines nor arcs, and "
        "the curves stray so far from them",
        cure=change(
            f'sole.fit = "{plain(drawing.strays_mm / 2, 3)} mm" for closer arcs, and more of them',
            then="Or leave it: sandpaper takes off more",
        ),
    )
