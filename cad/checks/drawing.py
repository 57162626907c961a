"""The drawing of a sole: whether its unit can be right, and what became of its curves."""

from __future__ import annotations

from collections.abc import Iterator

from cad.checks.check import GEOMETRY, Check, at_least, at_most
from cad.checks.cure import change
from cad.geometry import Plan
from cad.profiles import Drawn
from cad.units import plain

DRAWN_EXACT_MM = 0.0
NARROW_MM, WIDE_MM = 3.0, 125.0  # moulding planes are from an eighth of an inch to some five inches wide


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of a drawing: its size, and how far curves stray from the arcs that stand for them.

    None where the sole was not drawn in a file.
    """
    if plan.spec.drawing is not None:
        yield from _size(plan, plan.spec.drawing)
        yield _curves(plan.spec.drawing)


def _size(plan: Plan, drawing: Drawn) -> Iterator[Check]:
    width = plan.spec.sole.width
    read = f"read in {drawing.unit}, {drawing.name} makes a sole"
    yield at_least(
        "drawing.narrow",
        width,
        warn=NARROW_MM,
        why=f"{read} narrower than moulding planes are: its unit may be a longer one",
        cure=change('sole.profile_unit = "in" if it is drawn in inches'),
    )
    yield at_most(
        "drawing.wide",
        width,
        warn=WIDE_MM,
        why=f"{read} wider than moulding planes are: its unit may be a shorter one",
        cure=change('sole.profile_unit = "mm" if it is drawn in millimetres'),
    )


def _curves(drawing: Drawn) -> Check:
    return at_most(
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
