"""The spring lines: knifed on both ends of a plane that is held leaning."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians, sin

from cad.geometry.spring_line import spring_line
from cad.geometry.stages import Stage
from cad.papers.build_sheet.step import Bench, Step
from cad.papers.sheet.amounts import degrees

ORDER = 75


def steps(bench: Bench) -> Iterator[Step]:
    """Yield the one step of marking a sprung plane; none for one that is held upright."""
    spring = bench.plan.sole.spring_deg
    if spring == 0:
        return
    line, plan = spring_line(bench.plan.section), bench.plan
    side = "cheek plate" if spring > 0 else "blind side"
    yield Step(
        "Knife the spring lines",
        Stage.TRIMMED,
        (
            f"Set a bevel to {degrees(abs(spring))}. Knife a line with it across the toe and another across "
            "the heel, from the sole up, through the two points below; blacken them, for they are what the "
            "plane is held by.",
            f"At work the plane leans {degrees(abs(spring))}, its top towards the {side}, until both lines "
            "stand plumb: the profile then stands on the work as it was drawn. Sight them against a square "
            "stood on the bench before the first stroke, and again after each change of stance.",
            "If a fence is to be fitted, its face runs along the plane parallel to the spring lines; a depth "
            "stop's face is square to them. Neither is square to the sides of the body.",
        ),
        (
            ("Spring", degrees(abs(spring))),
            ("Foot of the line, from the rabbet face", bench.length(line.start[0])),
            ("and above the lowest of the sole", bench.length(line.start[1])),
            ("Head of the line, from the rabbet face", bench.length(line.end[0])),
            ("and above the lowest of the sole", bench.length(line.end[1])),
            ("Width of the profile on the work", bench.length(_work_width(bench))),
            ("Width of the sole, leaned, and of the iron", bench.length(plan.sole.width)),
        ),
        (("Both lines alike", "winding sticks, or a square on a flat board", "± 1°"),),
        asides=("How makers mark and hold a sprung plane: common practice, no source.",),
    )


def _work_width(bench: Bench) -> float:
    """Return how wide the profile stands on the work, from edge to edge."""
    (y0, z0), (y1, z1) = bench.plan.sole.path.start, bench.plan.sole.path.end
    spring = radians(bench.plan.sole.spring_deg)
    return (y1 - y0) * cos(spring) - (z1 - z0) * sin(spring)
