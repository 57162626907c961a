"""What the soles of one arc share: arc and width follow from each other, and 60° cuts all the way across."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from pydantic import Field

from cad.fields import PRACTICE, Known, NotKnownError, Problem, Rule, Span
from cad.formulas.circle import arc_deg, chord_mm
from cad.soles.table import RELIEF, Size, SoleTable
from cad.units import plain

USUAL_ARC_DEG = 60.0
LEAST_TOLERANCE_MM = 0.1
TOLERANCE_SHARE = 0.02  # of the radius
MOST_TOLERANCE_SHARE = 0.25  # of the radius: gauges further apart would tell nothing

SIZE = Size("sole.radius", "12 mm", 'radius = "3/8 in" or radius = 16')
FLATTER = "Make the arc shorter, or the radius larger for the same width"


class ArcTable(SoleTable):
    """A sole of one arc."""

    radius: Annotated[float, Span("mm", 1, 250)] = Field(description="radius of the arc of the sole")
    arc: Annotated[float, Span("deg", 0, 180, above=True)] = Field(
        description="angle the sole takes in at its centre; give this or width, not both"
    )
    width: Annotated[float, Span("mm", 0.5, 500)] = Field(
        description="width of the sole, of the iron and of the throat; give this or arc, not both"
    )
    tolerance: Annotated[float, Span("mm", 0.01, 5)] = Field(
        description="how far the radius of the sole may be off, either way: the go and no-go gauges tell"
    )


def _arc(known: Known) -> float:
    if "sole.width" not in known.given:
        return USUAL_ARC_DEG
    try:
        return arc_deg(known["sole.radius"], known["sole.width"])
    except ValueError as error:
        raise NotKnownError("sole.arc") from error


def _why_arc(known: Known) -> str:
    if "sole.width" in known.given:
        return "the arc of this radius over the given width, 2·asin(w / 2r)"
    return f"60° cuts all the way across, where a longer arc scrapes at its edges ({PRACTICE})"


def _width(known: Known) -> float:
    radius = known["sole.radius"]
    # The sine leaves dust in the last digits (15.999999999999998); a half round is never wider than 2r.
    return min(round(chord_mm(radius, known["sole.arc"]), 9), 2 * radius)


def _tolerance(known: Known) -> float:
    return round(max(LEAST_TOLERANCE_MM, TOLERANCE_SHARE * known["sole.radius"]), 2)


RULES = (
    Rule("sole.arc", _arc, _why_arc),
    Rule(
        "sole.width",
        _width,
        "the chord of the arc, 2·r·sin(arc / 2)",
    ),
    RELIEF,
    Rule(
        "sole.tolerance",
        _tolerance,
        "a fiftieth of the radius, at least 0.1 mm: less shows no light at the edges of a 60° sole",
        practice=True,
    ),
)


def width_problems(known: Known) -> Iterator[Problem]:
    """Yield the faults of a sole given twice over, and of one that its radius cannot reach."""
    if {"sole.arc", "sole.width"} <= known.given:
        yield Problem(
            ("sole.width", "sole.arc"),
            "arc and width are both given, and each follows from the other",
            "Keep one of the two",
        )
    radius, width = known["sole.radius"], known["sole.width"]
    if width > 2 * radius * (1 + 1e-12):
        yield Problem(
            ("sole.width", "sole.radius"),
            f"the sole is wider than twice its radius, {known.show(2 * radius)}",
            f"Make the width at most {known.show(2 * radius)} (a half round), or the radius at least "
            f"{known.show(width / 2)}; or give arc = {plain(USUAL_ARC_DEG)} instead",
        )


def tolerance_problems(known: Known) -> Iterator[Problem]:
    """Yield the fault of a tolerance that takes too much of its radius. Raises NotKnownError without one."""
    radius, tolerance = known["sole.radius"], known["sole.tolerance"]
    most = MOST_TOLERANCE_SHARE * radius
    if tolerance > most * (1 + 1e-12):
        yield Problem(
            ("sole.tolerance", "sole.radius"),
            f"the tolerance is more than a quarter of the radius, {known.show(radius)}",
            f"Make it at most {known.show(most)}",
        )
