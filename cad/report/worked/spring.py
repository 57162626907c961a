"""What follows from a spring: the profile as it lies in the body, and how far it could lean."""

from __future__ import annotations

from collections.abc import Iterator

from cad import soles
from cad.geometry import Plan
from cad.geometry.spring_line import spring_line
from cad.report.dimension import Worked, deg, mm
from cad.soles.spring import lean_of


def dimensions(plan: Plan) -> Iterator[Worked]:
    """Yield the figures of a sole that is leaned; none for one that stands upright."""
    table, sole = plan.spec.sole, plan.sole
    if table.spring == 0:
        return
    upright = [member.segment for member in soles.form_of(table).members(table)]
    lean, line = lean_of(upright), spring_line(plan.section)
    yield mm("spring.width", sole.width, "of the leaned profile: width of the iron, depth of the throat")
    yield mm("spring.work_width", upright[-1].end[0], "of the profile as it stands on the work")
    yield deg("spring.least", lean.least_deg, "the most it may lean the other way: beyond, it is undercut")
    yield deg("spring.most", lean.most_deg, "the most it may lean this way: beyond, it is undercut")
    yield deg("spring.even", lean.even_deg, "turns the steepest members to both sides alike")
    yield mm(
        "spring.line_foot", line.start[0], "spring line on toe and heel: from the rabbet face, at the sole"
    )
    yield mm("spring.line_foot_up", line.start[1], "and above the lowest point of the sole")
    yield mm(
        "spring.line_head", line.end[0], "spring line: from the rabbet face, where it leaves the body above"
    )
    yield mm("spring.line_head_up", line.end[1], "and above the lowest point of the sole")
