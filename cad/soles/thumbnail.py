"""The thumbnail: a flat round that quickens to a small one at the edge, drawn with two arcs."""

from __future__ import annotations

from collections.abc import Iterator
from math import atan, cos, degrees, radians, sin
from typing import Annotated

from pydantic import Field

from cad.fields import Known, Problem, Rule, Span
from cad.outline import Arc
from cad.soles import moulding
from cad.soles.member import Member
from cad.soles.table import SoleTable

FORM = "thumbnail"
CALLED = "a thumbnail"
SUMMARY = (
    "round in the work: a small nose at the low side that runs into a flat curve, level at the high side"
)
SIZE = moulding.SIZE
FLATTER = "Let the nose begin less steeply (sole.turn)"
USUAL_TURN_DEG = 60.0


class Table(SoleTable):
    """A thumbnail."""

    depth: moulding.Depth = Field(description="height of the whole profile")
    nose: Annotated[float, Span("mm", 0.3, 100)] = Field(description="radius of the nose")
    turn: Annotated[float, Span("deg", 20, 90)] = Field(
        description="how steeply the nose begins at the low edge, from level"
    )


RULES = (
    Rule("sole.turn", lambda known: USUAL_TURN_DEG, "half the shaving is left there", practice=True),
    Rule(
        "sole.nose",
        lambda known: moulding.sized(known, known["sole.width"] / 5),
        "a fifth of the width",
        True,
    ),
    Rule(
        "sole.depth",
        lambda known: moulding.sized(known, 0.3 * known["sole.width"]),
        "three tenths of the width",
        True,
    ),
    *moulding.COMMON,
)


def _left(width: float, depth: float, nose: float, turn_deg: float) -> tuple[float, float]:
    """Return run and rise that a nose of no more than its own radius would leave to a second arc about it."""
    turn = radians(turn_deg)
    return width - nose * sin(turn), depth - nose * (1 - cos(turn))


def _bend_deg(run: float, rise: float) -> float:
    """Return the turn θ from level at which the two arcs meet.

    Run and rise are (R − r) sin θ and (R − r)(1 − cos θ), and their quotient is tan(θ / 2).
    """
    return 2 * degrees(atan(rise / run))


def _nose(known: Known) -> Iterator[Problem]:
    width, depth, nose = known["sole.width"], known["sole.depth"], known["sole.nose"]
    turn = known["sole.turn"]
    run, rise = _left(width, depth, nose, turn)
    if run <= 0 or rise <= 0:
        yield Problem(
            ("sole.nose", "sole.depth", "sole.width"),
            f"the nose alone takes more than the profile has: it is {known.show(width - run)} wide and "
            f"{known.show(depth - rise)} high",
            "Make the nose smaller, or the profile deeper",
        )
    elif _bend_deg(run, rise) >= turn:
        most = nose * (1 - cos(radians(turn))) + run * (1 - cos(radians(turn))) / sin(radians(turn))
        yield Problem(
            ("sole.depth", "sole.turn", "sole.nose"),
            f"so deep a profile has no nose: even one arc would begin steeper than {turn:g}°",
            f"Make the depth less than {known.show(most)}, or the turn more",
        )


PROBLEMS = (_nose,)


def members(table: Table) -> tuple[Member, ...]:
    """Return nose and flat curve from (0, 0) to (w, depth), tangent where they meet, in (y, z), mm.

    Raises ValueError where the nose leaves no curve. Source: two tangent arcs, plane geometry.
    """
    run, rise = _left(table.width, table.depth, table.nose, table.turn)
    if run <= 0 or rise <= 0 or _bend_deg(run, rise) >= table.turn:
        raise ValueError("the nose leaves no curve")
    bend, turn, nose = radians(_bend_deg(run, rise)), radians(table.turn), table.nose
    radius = nose + run / sin(bend)
    centre = (nose * sin(turn), -nose * cos(turn))
    meet = (centre[0] - nose * sin(bend), centre[1] + nose * cos(bend))
    end = (table.width, table.depth)
    return (
        Member("nose", Arc((0.0, 0.0), meet, centre, ccw=False)),
        Member("thumb", Arc(meet, end, (end[0], end[1] - radius), ccw=False)),
    )
