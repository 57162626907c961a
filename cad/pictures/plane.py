"""The plane: whole from two sides and from below, apart, and cut open along the throat; each part alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cadquery import Solid

from cad.geometry import Plan
from cad.kernel.measure import extent
from cad.kernel.shapes import Triple, box, common
from cad.parts import Part
from cad.pictures.scene import BLIND_SIDE, FROM_BELOW, OPEN_SIDE, SIDE, Picture, Shown, for_hand

APART_MM = 45.0


def pictures(plan: Plan, parts: Sequence[Part]) -> Iterator[Picture]:
    """Yield the pictures of the plane made of `parts`, and of each of them."""
    whole = tuple(Shown(part.solid, part.colour) for part in parts)
    for name, eye in (("plane", OPEN_SIDE), ("plane_blind_side", BLIND_SIDE), ("plane_sole", FROM_BELOW)):
        yield Picture(name, whole, for_hand(eye, plan.is_left))
    yield Picture(
        "plane_apart", tuple(_apart(plan, part) for part in parts), for_hand(OPEN_SIDE, plan.is_left)
    )
    opened = tuple(Shown(_opened(plan, part), part.colour) for part in parts if part.name != "cheek_plate")
    yield Picture("plane_opened", opened, for_hand(SIDE, plan.is_left))
    for part in parts:
        yield Picture(
            f"part_{part.name}", (Shown(part.solid, part.colour),), for_hand(OPEN_SIDE, plan.is_left)
        )


def _apart(plan: Plan, part: Part) -> Shown:
    """Return the part drawn out the way it goes in: plate sideways, wedge and iron up the bed."""
    x, _, z = plan.iron.up_bed
    side = 1 if plan.is_left else -1
    ways: dict[str, Triple] = {
        "cheek_plate": (0.0, side * APART_MM, 0.0),
        "wedge": (x * APART_MM * 2.2, 0.0, z * APART_MM * 2.2),
        "iron": (x * APART_MM * 3.2, 0.0, z * APART_MM * 3.2),
    }
    return Shown(part.solid, part.colour, ways.get(part.name, (0.0, 0.0, 0.0)))


def _opened(plan: Plan, part: Part) -> Solid:
    """Return what of the part lies behind the middle of the throat."""
    low, high = extent(part.solid)
    middle = plan.throat.depth / 2
    front, back = (-high[1] - 1, -middle) if plan.is_left else (middle, high[1] + 1)
    if plan.is_left:
        front = low[1] - 1
    half = box((low[0] - 1, front, low[2] - 1), (high[0] + 1, back, high[2] + 1))
    return common(part.solid, half, part.name, "opened")
