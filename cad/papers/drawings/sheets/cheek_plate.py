"""The cheek plate, its escapement enlarged."""

from __future__ import annotations

from collections.abc import Iterator

from cad.formulas.throat import cot
from cad.geometry import Plan
from cad.geometry.linework import clipped
from cad.kernel.projection import seen
from cad.outline import Arc, Line, Point
from cad.papers.drawings.paper import largest_scale
from cad.papers.drawings.sheet import Sheet, arranged
from cad.papers.drawings.subject import Subject, from_open_side, from_the_left
from cad.papers.drawings.view import Angle, Linear, Radius, View, view_of

PLACE = 3
DETAIL_ROOM_MM = 60.0  # of paper, across the escapement
BESIDE_MM = 26.0  # of paper, kept of the plate on each side of it: room for the angles


def sheets(subject: Subject) -> Iterator[Sheet]:
    """Yield the sheet of the plate, if it was built."""
    if "cheek_plate" not in subject.parts:
        return
    spec = subject.plan.spec
    rows = arranged(_front(subject), _end(subject), None, subject.projection)
    column = 0 if subject.projection == "first" else 1
    detail = tuple(_escapement(subject) if i == column else None for i in range(2))
    yield Sheet(
        name="cheek-plate",
        title="Cheek plate",
        document="Part drawing",
        rows=(*rows, detail),
        material=f"{spec.wood.species}, grain from toe to heel",
        notes=("Make it longer than the body by the spare on each end; trim both together once glued.",),
    )


def eye(plan: Plan) -> Arc:
    """Return the round head of the escapement, in (x, z)."""
    return next(segment for segment in plan.escapement.side_view() if isinstance(segment, Arc))


def _front(subject: Subject) -> View:
    plan, words, stand = subject.plan, subject.wording, from_open_side(subject.plan)
    length, low, top = plan.stages.length, plan.sole.plate_edge, plan.section.shoulder
    centre = eye(plan).centre
    return view_of(seen([subject.parts["cheek_plate"]], stand.look)).with_marks(
        Linear(
            words.length("eye_x", centre[0]), stand.at(0, 0, top), stand.at(centre[0], 0, centre[1]), "top", 0
        ),
        Linear(words.length("length", length), stand.at(0, 0, low), stand.at(length, 0, low), "bottom", 0),
    )


def _end(subject: Subject) -> View:
    plan, words, stand = subject.plan, subject.wording, from_the_left(subject.plan)
    section = plan.section
    inner, outer = stand.at(0, 0, section.shoulder), stand.at(0, -section.plate, section.shoulder)
    edge = stand.at(0, -section.plate, section.plate_relief_top)
    relief = Angle(
        words.angle("relief", plan.sole.relief_deg),
        edge,
        *stand.turns(270 - plan.sole.relief_deg, 270),
        radii=(16.0, 12.0, 22.0),
    )
    height = section.shoulder - plan.sole.plate_edge
    return view_of(seen([subject.parts["cheek_plate"]], stand.look)).with_marks(
        Linear(words.length("thickness", section.plate), inner, outer, "top", 0),
        Linear(words.length("height", height), stand.at(0, 0, plan.sole.plate_edge), inner, "left", 0),
        relief,
    )


def _escapement(subject: Subject) -> View:
    """Return the escapement enlarged: its two edges by their angles, its eye by centre and radius."""
    plan, words, stand = subject.plan, subject.wording, from_open_side(subject.plan)
    bed, toe, arc, low = plan.throat.bed_deg, plan.escapement.toe_edge_deg, eye(plan), plan.sole.plate_edge
    heel_foot = (arc.start[0] - (arc.start[1] - low) * cot(bed), low)
    toe_foot = (arc.end[0] - (arc.end[1] - low) * cot(toe), low)
    wide = arc.centre[0] + arc.radius - toe_foot[0]
    scale = largest_scale(wide, DETAIL_ROOM_MM)
    first, last = toe_foot[0] - BESIDE_MM / scale, arc.centre[0] + arc.radius + BESIDE_MM / scale
    high = min(plan.escapement.top + 8 / scale, plan.section.shoulder)
    corners = sorted([stand.at(first, 0, low), stand.at(last, 0, high)])
    window = (corners[0][0], low - 1, corners[1][0], high)
    whole = seen([subject.parts["cheek_plate"]], stand.look)

    def at(p: Point) -> Point:
        return stand.at(p[0], 0, p[1])

    sides = (Line((window[0], low), (window[0], high)), Line((window[2], low), (window[2], high)))
    top = () if high == plan.section.shoulder else (Line((window[0], high), (window[2], high)),)
    axis = (arc.centre[0], arc.centre[1])
    turns = tuple(stand.turns(deg, deg)[0] for deg in (20.0, 40.0, 0.0, 60.0, 75.0, 110.0, 130.0))
    return View(
        visible=clipped(whole.visible, window),
        axes=_cross(at(axis), arc.radius + 3 / scale),
        title="Escapement",
        scale=scale,
        broken=(*sides, *top),
        marks=(
            Angle(words.angle("heel_edge", bed), at(heel_foot), *stand.turns(0, bed)),
            Angle(words.angle("toe_edge", 180 - toe), at(toe_foot), *stand.turns(toe, 180)),
            Radius(words.length("eye_radius", arc.radius, "R"), at(axis), arc.radius, turns),
            Linear(
                words.length("eye_z", axis[1] - low),
                at((first, low)),
                at(axis),
                "right" if stand.flips else "left",
                0,
            ),
        ),
    )


def _cross(at: Point, half: float) -> tuple[Line, Line]:
    """Return the two axes through a centre."""
    return (
        Line((at[0] - half, at[1]), (at[0] + half, at[1])),
        Line((at[0], at[1] - half), (at[0], at[1] + half)),
    )
