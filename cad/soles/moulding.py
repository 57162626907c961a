"""What the mouldings share: keys with their usual sizes, the two arcs they are drawn with, and their faults.

A moulding is drawn as it stands in the work, which lies below the curve, with the plane's wood above it. Its
low side is the edge of the board, where the fence runs, on the side of the cheek plate (y = 0); its high side
sinks into the face of the board on the blind side (y = w). A wall outside the profile on either side is left
plumb by the corner of the iron, while relief and plate stand clear of it: a quirk or fillet out there needs
no wall in the sole.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import radians, tan
from typing import Annotated

from cad.fields import Known, NotKnownError, Problem, Rule, Span, rounded, rounded_down
from cad.outline import Arc, Line, Point, Segment, distance
from cad.soles.member import Member
from cad.soles.table import RELIEF, Size

SIZE = Size("sole.width", "20 mm", 'width = "3/4 in" or width = 20')

USUAL_TURN_DEG = 60.0
FILLET_SHARE = 1 / 8  # of the width
STEP_SHARE = 1 / 12
LEAST_TOLERANCE_MM = 0.1
TOLERANCE_SHARE = 0.01

Depth = Annotated[float, Span("mm", 0.3, 150)]
Fillet = Annotated[float, Span("mm", 0, 100)]
Step = Annotated[float, Span("mm", 0, 50)]

Run = Callable[[Known], float]
Finder = Callable[[Known], Iterator[Problem]]

FLATTER = "Make the profile shallower (sole.depth), or wider"


def sized(known: Known, length: float) -> float:
    """Return a length to the nearest 0.1 mm, or 1/64 in."""
    return rounded(known, length, 0.1, 1 / 64)


FILLET = Rule(
    "sole.fillet",
    lambda known: sized(known, FILLET_SHARE * known["sole.width"]),
    "an eighth of the width",
    True,
)
STEP = Rule(
    "sole.step", lambda known: sized(known, STEP_SHARE * known["sole.width"]), "a twelfth of the width", True
)
COMMON = (
    RELIEF,
    Rule(
        "sole.tolerance",
        lambda known: round(max(LEAST_TOLERANCE_MM, TOLERANCE_SHARE * known["sole.width"]), 2),
        "a hundredth of the width, at least 0.1 mm: what a gauge shows against the light",
        practice=True,
    ),
)


def rules(run: Run, stepped: bool) -> tuple[Rule, ...]:
    """Return the rules of a moulding between fillets whose curve has that run, with or without a step."""
    return (FILLET, *((STEP,) if stepped else ()), _depth_rule(run, stepped), *COMMON)


def problems(run: Run, stepped: bool) -> tuple[Finder, ...]:
    """Return what finds the faults of such a moulding: no run left, no rise left, or a turn past plumb."""
    return (lambda known: _room(known, run(known)), lambda known: _rise(known, run(known), stepped))


def _depth_rule(run: Run, stepped: bool) -> Rule:
    """Return the rule for a depth whose curve turns no more steeply than keeps half a shaving.

    A curve of run a, or two such halves, that turns from level to θ rises a · tan(θ / 2). Source: plane
    geometry.
    """

    def depth(known: Known) -> float:
        if run(known) <= 0:
            raise NotKnownError("sole.depth")  # the curve has a fault of its own
        rise = run(known) * tan(radians(USUAL_TURN_DEG / 2))
        return rounded_down(known, _step(known, stepped) + rise, 0.1, 1 / 64)

    return Rule(
        "sole.depth",
        depth,
        "the curve turns to no more than 60° from level, where half the shaving is left",
        practice=True,
    )


def _step(known: Known, stepped: bool) -> float:
    return known["sole.step"] if stepped else 0.0


def level_above(low: Point, high: Point) -> Arc:
    """Return the arc that rises from `low`, ever less steeply, and comes level at `high`: round in the work.

    Radius (a² + h²) / 2h over run a and rise h. Raises ValueError where there is no run or rise.
    """
    radius = _radius(low, high)
    return Arc(low, high, (high[0], high[1] - radius), ccw=False)


def level_below(low: Point, high: Point) -> Arc:
    """Return the arc that leaves `low` level and rises ever more steeply to `high`: hollow in the work.

    Radius (a² + h²) / 2h over run a and rise h. Raises ValueError where there is no run or rise.
    """
    radius = _radius(low, high)
    return Arc(low, high, (low[0], low[1] + radius), ccw=True)


def _radius(low: Point, high: Point) -> float:
    run, rise = high[0] - low[0], high[1] - low[1]
    if run <= 0 or rise <= 0:
        raise ValueError(f"no arc rises from {low} to {high}")
    return (run**2 + rise**2) / (2 * rise)


def half_way(low: Point, high: Point) -> Point:
    """Return the middle of two points."""
    return ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)


def joined(*parts: tuple[str, Segment | Point]) -> tuple[Member, ...]:
    """Return members in their order: a segment as it is, a point as the straight line to it.

    The first part must be a segment, or the point to start from. Lines without length are left out.
    """
    (name, first), *rest = parts
    found = [Member(name, first)] if isinstance(first, Line | Arc) else []
    at = first.end if isinstance(first, Line | Arc) else first
    for name, part in rest:
        segment = part if isinstance(part, Line | Arc) else Line(at, part)
        at = segment.end
        if distance(segment.start, segment.end) > 1e-9:
            found.append(Member(name, segment))
    return tuple(found)


def _room(known: Known, run: float) -> Iterator[Problem]:
    if run <= 0:
        yield Problem(
            ("sole.fillet", "sole.width"),
            "nothing is left of the curve: what stands beside it takes "
            f"{known.show(known['sole.width'] - run)} of the width, {known.show(known['sole.width'])}",
            "Make it smaller, or the sole wider",
        )


def _rise(known: Known, run: float, stepped: bool) -> Iterator[Problem]:
    depth = known["sole.depth"]
    rise = depth - _step(known, stepped)
    if rise <= 0:
        yield Problem(
            ("sole.step", "sole.depth"),
            f"nothing is left of the curve: the step takes up the whole depth, {known.show(depth)}",
            "Make the step lower, or the profile deeper",
        )
    elif rise > run * (1 + 1e-12) > 0:
        yield Problem(
            ("sole.depth", "sole.width"),
            f"the curve would turn past plumb: it rises {known.show(rise)} over {known.show(run)}",
            f"Make the depth at most {known.show(depth - rise + run)}, where it just comes plumb; half of "
            "that cuts well",
        )
