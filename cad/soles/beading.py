"""What the beads share: an arc whose two edges lie on one level, as much of a round as its key says."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians, tan
from typing import Annotated

from pydantic import Field

from cad.fields import Known, Problem, Rule, Span
from cad.outline import Arc
from cad.soles.table import SoleTable

FLATTER = "Make the bead shallower (sole.arc)"
USUAL_ARC_DEG = 120.0


class BeadTable(SoleTable):
    """A sole with a bead in it."""

    arc: Annotated[float, Span("deg", 10, 180)] = Field(description="angle the bead takes in at its centre")


ARC = Rule(
    "sole.arc",
    lambda known: USUAL_ARC_DEG,
    "the edges of the bead turn to 60° from level, where half the shaving is left; half rounds scrape",
    practice=True,
)


def bead(start: float, end: float, arc_deg: float) -> Arc:
    """Return the arc of a bead from y = `start` to `end` at z = 0, hollow in the sole.

    Its centre lies half the chord / tan(arc / 2) below. Raises ValueError where there is no width.
    """
    if end <= start:
        raise ValueError(f"no bead lies between {start:g} and {end:g}")
    half = (end - start) / 2
    return Arc((start, 0.0), (end, 0.0), ((start + end) / 2, -half / tan(radians(arc_deg / 2))), ccw=False)


def room_problems(known: Known, beside: float, keys: tuple[str, ...]) -> Iterator[Problem]:
    """Yield the fault of flats that leave no bead between them: `beside` is what they take, mm, by `keys`."""
    width = known["sole.width"]
    if beside >= width:
        yield Problem(
            (*keys, "sole.width"),
            f"nothing is left of the bead: flats take {known.show(beside)} of {known.show(width)}",
            "Make them narrower, or the sole wider",
        )
