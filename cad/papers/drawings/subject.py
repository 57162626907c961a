"""What the sheets are drawn from, and the ways the plane is looked at."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from cadquery import Solid

from cad.geometry import Plan
from cad.kernel.projection import Look
from cad.kernel.shapes import Triple
from cad.outline import Point
from cad.papers.drawings.dimension import Wording
from cad.papers.drawings.sheet import Projection


@dataclass(frozen=True)
class LaidPiece:
    """A piece of a fixture as it lies on print bed or sheet, without lettering."""

    name: str
    made: str
    solid: Solid


@dataclass(frozen=True)
class LaidFixture:
    """A fixture's pieces, each laid down by itself."""

    name: str
    used_on: str
    pieces: tuple[LaidPiece, ...]


@dataclass(frozen=True)
class Subject:
    """A plan with the solids of its parts and fixtures, and how dimensions are to be written."""

    plan: Plan
    parts: Mapping[str, Solid]
    fixtures: tuple[LaidFixture, ...] = ()

    @property
    def wording(self) -> Wording:
        return Wording(self.plan.spec.unit, self.plan.spec.paper.units == "both")

    @property
    def projection(self) -> Projection:
        return self.plan.spec.paper.projection


@dataclass(frozen=True)
class Stand:
    """Where one looks from. Points and angles are given for a right-hand plane; a left-hand one is turned."""

    look: Look
    is_left: bool
    flips: bool = False  # whether the other hand shows left for right in this view

    def at(self, x: float, y: float, z: float) -> Point:
        """Return a point of the right-hand frame in the view."""
        return self.look.flat((x, -y if self.is_left else y, z))

    def turns(self, from_deg: float, to_deg: float) -> tuple[float, float]:
        """Return the two directions of an angle in the view, counter-clockwise from the first."""
        return (180 - to_deg, 180 - from_deg) if self.flips else (from_deg, to_deg)

    def across(self, shift: float) -> float:
        """Return a distance to the right on paper, to the left where the view is flipped."""
        return -shift if self.flips else shift


def from_open_side(plan: Plan) -> Stand:
    """Return the front view: from the rabbet side, toe to the left for a right hand."""
    return Stand(_front(plan), plan.is_left, plan.is_left)


def from_above(plan: Plan) -> Stand:
    return Stand(Look((0, 0, 1), _front(plan).right), plan.is_left, plan.is_left)


def from_the_left(plan: Plan) -> Stand:
    """Return the end view: of the end that lies to the left in the front view."""
    front = _front(plan)
    x, y, z = front.right
    return Stand(Look((-x, -y, -z), front.to_eye), plan.is_left)


def along_the_bed(plan: Plan) -> Stand:
    """Return the side view of iron and wedge, laid with the way up the bed to the right."""
    return Stand(Look((0, -1, 0), plan.iron.up_bed), plan.is_left)


def onto_the_bed(plan: Plan) -> Stand:
    """Return the view onto the upper face of iron and wedge, the way up the bed to the right."""
    return Stand(Look(plan.iron.off_bed, plan.iron.up_bed), plan.is_left)


def in_the_iron(plan: Plan, u: float, v: float, n: float = 0.0) -> Triple:
    """Return the point at u up the bed, v across and n off the iron's upper face, in the right-hand frame."""
    o, a, b = plan.iron.origin, plan.iron.up_bed, plan.iron.off_bed
    return (o[0] + u * a[0] + n * b[0], v, o[2] + u * a[2] + n * b[2])


def _front(plan: Plan) -> Look:
    return Look((0, 1, 0), (-1, 0, 0)) if plan.is_left else Look((0, -1, 0), (1, 0, 0))
