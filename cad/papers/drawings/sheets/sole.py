"""The sole enlarged: its curve, and the relief of body and plate, in a section across the plane."""

from __future__ import annotations

from collections.abc import Iterator

from cad.geometry.linework import clipped
from cad.kernel.projection import sliced
from cad.kernel.shapes import box, common
from cad.outline import Line
from cad.papers.drawings.members import are_dimensioned, joint_marks, listing, radius_marks
from cad.papers.drawings.paper import largest_scale
from cad.papers.drawings.sheet import Row, Sheet
from cad.papers.drawings.subject import Stand, Subject, from_the_left
from cad.papers.drawings.view import Angle, Linear, Mark, View
from cad.units import plain

PLACE = 6
ABOVE_SHARE = 0.3  # of the thickness, kept above the relief: room for its angle
ABOVE_MM = 18.0  # of paper, that the profile enlarged shows above its highest point and beside it
DETAIL_ROOM_MM = 75.0  # of paper, across the profile enlarged
FAR_MM = 2000.0
POINTS = "Points of the profile (across from the rabbet face; up from the lowest), what runs between them:"


def sheets(subject: Subject) -> Iterator[Sheet]:
    """Yield the sheet of the sole, if body and plate were built."""
    if not {"body", "cheek_plate"} <= set(subject.parts):
        return
    plan = subject.plan
    sole, section = plan.sole, _section(subject)
    rows: tuple[Row, ...] = ((section,),) if sole.is_upright_arc else ((section,), (_detail(subject),))
    points = () if sole.is_upright_arc or are_dimensioned(sole) else (POINTS, *listing(sole, subject.wording))
    yield Sheet(
        name="sole",
        title=f"Sole: {plan.sole.form}",
        document="Detail drawing",
        rows=rows,
        material=plan.spec.wood.species,
        notes=(
            "Section across body and cheek plate, seen from the end that lies to the left.",
            *points,
            *_leans(plan.sole.spring_deg),
        ),
    )


def _leans(spring_deg: float) -> tuple[str, ...]:
    """Return in words how the profile is turned in the body, nothing for one that stands upright."""
    if spring_deg == 0:
        return ()
    return (
        f"The profile leans by {plain(abs(spring_deg))}°: it stands upright when the spring lines are plumb.",
    )


def _section(subject: Subject) -> View:
    plan, stand = subject.plan, from_the_left(subject.plan)
    section = plan.section
    relief_top = max(section.blind_relief_top, section.plate_relief_top)
    high = min(relief_top + ABOVE_SHARE * section.thickness, section.height)
    # No further than the throat, which would part what is left of the plate.
    window = box((-FAR_MM, -FAR_MM, -FAR_MM), (0.75 * plan.throat.mouth_at, FAR_MM, high))
    solids = [common(subject.parts[name], window, name, "sole") for name in ("body", "cheek_plate")]
    look = stand.look
    through = plan.throat.mouth_at / 2
    cut = sliced(solids, look, (through, 0.0, 0.0))
    left, right = sorted([stand.at(0, section.blind_face, 0)[0], stand.at(0, -section.plate, 0)[0]])
    below = (left - 1, -1.0, right + 1, high - 1e-3)
    top = Line((left, high), (right, high))
    return View(
        visible=clipped(cut.seen.visible, below),
        rims=cut.rims,
        marks=tuple(_marks(subject, stand)),
        broken=(top,) if high < section.height else (),
    )


def _detail(subject: Subject) -> View:
    """Return the profile alone, enlarged: its radii, and the joints of its members where they are few."""
    plan, stand, sole = subject.plan, from_the_left(subject.plan), subject.plan.sole
    scale = largest_scale(sole.width, DETAIL_ROOM_MM)
    high = sole.highest + ABOVE_MM / scale
    first, last = sorted([stand.at(0, 0, 0)[0], stand.at(0, sole.width, 0)[0]])
    window = (first - ABOVE_MM / scale, -1.0, last + ABOVE_MM / scale, high)
    cut = sliced([subject.parts["body"]], stand.look, (plan.throat.mouth_at / 2, 0.0, 0.0))
    marks = [*radius_marks(sole, stand, subject.wording, hatched=False)]
    if are_dimensioned(sole):
        marks += joint_marks(sole, stand, subject.wording)
    return View(
        visible=clipped(cut.seen.visible, window),
        marks=tuple(marks),
        title="Profile",
        scale=scale,
        broken=(Line((first, high), (last, high)),),
    )


def _marks(subject: Subject, stand: Stand) -> Iterator[Mark]:
    plan, words = subject.plan, subject.wording
    sole, section = plan.sole, plan.section
    start, end = (stand.at(0, *p) for p in (sole.path.end, sole.path.start))
    yield Linear(words.length("width", sole.width), start, end, "bottom", 1)
    if sole.is_upright_arc:
        yield from radius_marks(sole, stand, words, hatched=True)
    blind = stand.at(0, section.blind_face, section.blind_relief_top)
    relief = sole.relief_deg
    yield Angle(words.angle("relief", relief), blind, 90, 90 + relief, radii=(20.0, 15.0, 11.0, 26.0))
