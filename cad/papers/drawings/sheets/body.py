"""The body: its block, rabbet, throat; the sole has a sheet of its own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from cad.geometry.spring_line import spring_line
from cad.kernel.projection import seen
from cad.outline import Line
from cad.papers.drawings.sheet import Sheet, arranged
from cad.papers.drawings.subject import Stand, Subject, from_above, from_open_side, from_the_left
from cad.papers.drawings.view import Angle, Linear, View, view_of

PLACE = 2


def sheets(subject: Subject) -> Iterator[Sheet]:
    """Yield the sheet of the body, if it was built."""
    if "body" not in subject.parts:
        return
    spec = subject.plan.spec
    above = view_of(seen([subject.parts["body"]], from_above(subject.plan).look))
    yield Sheet(
        name="body",
        title="Body",
        document="Part drawing",
        rows=arranged(_front(subject), _end(subject), above, subject.projection),
        material=f"{spec.wood.species}, {spec.wood.grain}, grain from toe to heel",
        notes=(
            "Sole and relief: see the sheet of the sole. Heights are above the lowest of the sole.",
            "The throat is sawn from the rabbet face as deep as the sole is wide.",
            *(
                ("The spring line, knifed on toe and heel, stands plumb when the plane is held as it works.",)
                if spec.sole.spring
                else ()
            ),
            *(
                ("Two boards glued at the rabbet face leave the rabbet.",)
                if spec.body.build == "laminated"
                else ()
            ),
        ),
    )


def _front(subject: Subject) -> View:
    plan, words, stand = subject.plan, subject.wording, from_open_side(subject.plan)
    throat, length, height = plan.throat, plan.stages.length, plan.section.height
    toe, heel = stand.at(0, 0, 0), stand.at(length, 0, 0)
    front, back = stand.at(throat.mouth_at, 0, 0), stand.at(throat.mouth_at + throat.mouth, 0, 0)
    bed = Angle(
        words.angle("bed", throat.bed_deg),
        stand.at(throat.bed_x(height), 0, height),
        *stand.turns(0, throat.bed_deg),
    )
    face = Angle(
        words.angle("front", throat.front_deg),
        front,
        *stand.turns(180, 180 + throat.front_deg),
        radii=(12.0, 16.0, 8.0, 22.0, 5.0),
    )
    return view_of(seen([subject.parts["body"]], stand.look)).with_marks(
        bed,
        face,
        Linear(words.length("mouth_at", throat.mouth_at), toe, front, "bottom", 1, before=True),
        Linear(words.length("mouth", throat.mouth), front, back, "bottom", 1),
        Linear(words.length("length", length), toe, heel, "bottom", 2),
    )


def _end(subject: Subject) -> View:
    plan, words, stand = subject.plan, subject.wording, from_the_left(subject.plan)
    section = plan.section
    blind, rail = stand.at(0, section.blind_face, section.height), stand.at(0, -section.plate, section.height)
    inner, shoulder = stand.at(0, 0, section.shoulder), stand.at(0, -section.plate, section.shoulder)
    foot = stand.at(0, plan.sole.width / 2, 0)
    view = view_of(seen([subject.parts["body"]], stand.look, hidden=True))
    return _sprung(subject, stand, view).with_marks(
        Linear(words.length("rabbet", section.plate), inner, rail, "top", 0),
        Linear(words.length("thickness", section.thickness), blind, rail, "top", 1),
        Linear(words.length("shoulder", section.shoulder), foot, shoulder, "right", 0, before=True),
        Linear(words.length("height", section.height), foot, rail, "right", 1, before=True),
    )


def _sprung(subject: Subject, stand: Stand, view: View) -> View:
    """Return the end view with the spring line of a sole that is leaned, and its angle from plumb."""
    plan, spring = subject.plan, subject.plan.sole.spring_deg
    if spring == 0:
        return view
    line = spring_line(plan.section)
    foot, head = stand.at(0, *line.start), stand.at(0, *line.end)
    # Measured below the sole, where nothing else stands.
    low, high = sorted((270.0, 180.0 + Line(foot, head).heading_deg()))
    angle = Angle(
        subject.wording.angle("spring", abs(spring)), foot, low, high, radii=(24.0, 18.0, 30.0, 36.0)
    )
    return replace(view, axes=(*view.axes, Line(foot, head))).with_marks(angle)
