"""The wedge: side view with its head, and its width."""

from __future__ import annotations

from collections.abc import Iterator
from math import atan2, degrees

from cad.geometry import Plan
from cad.kernel.projection import seen
from cad.outline import Arc, Point
from cad.papers.drawings.sheet import Sheet, arranged
from cad.papers.drawings.subject import Stand, Subject, along_the_bed, in_the_iron, onto_the_bed
from cad.papers.drawings.view import Angle, Linear, Mark, Radius, view_of

PLACE = 4


def sheets(subject: Subject) -> Iterator[Sheet]:
    """Yield the sheet of the wedge, if it was built."""
    if "wedge" not in subject.parts:
        return
    plan, solids = subject.plan, [subject.parts["wedge"]]
    side, above = along_the_bed(plan), onto_the_bed(plan)
    side_view = view_of(seen(solids, side.look)).with_marks(*_profile(subject, side))
    low, high = (above.at(*in_the_iron(plan, plan.wedge.strike_u, v)) for v in _edges(plan))
    width = Linear(subject.wording.length("width", plan.wedge.width), low, high, "right", 0)
    yield Sheet(
        name="wedge",
        title="Wedge",
        document="Part drawing",
        rows=arranged(
            side_view, None, view_of(seen(solids, above.look)).with_marks(width), subject.projection
        ),
        material=f"{plan.spec.wood.species}, grain lengthwise",
        notes=("Make it long and shape tip and head after fitting: what is planed off lets it sink.",),
    )


def _edges(plan: Plan) -> tuple[float, float]:
    free = plan.wedge.side_clearance / 2
    return (free, free + plan.wedge.width)


def _profile(subject: Subject, stand: Stand) -> Iterator[Mark]:
    """Yield the marks of the side view: lengths along the iron's face, angles from it."""
    plan, words = subject.plan, subject.wording
    wedge = plan.wedge
    outline = wedge.side_view().segments
    corner, bead, cove, shoulder = outline[1].end, outline[2], outline[3], outline[4].end
    assert isinstance(bead, Arc) and isinstance(cove, Arc)

    def at(p: Point) -> Point:
        return stand.at(*in_the_iron(plan, p[0], 0, p[1]))

    tip, strike, nose = (wedge.tip_u, 0.0), (wedge.strike_u, 0.0), (wedge.tip_u, wedge.nose)
    slope = degrees(atan2(shoulder[1] - nose[1], shoulder[0] - nose[0]))
    head = degrees(atan2(corner[1], corner[0] - wedge.strike_u))
    yield Linear(words.length("length", wedge.strike_u - wedge.tip_u), at(tip), at(strike), "bottom", 0)
    yield Linear(words.length("head", corner[1]), at(strike), at(corner), "right", 1, before=True)
    yield Linear(words.length("nose", wedge.nose), at(tip), at(nose), "left", 0, before=True)
    yield Angle(words.angle("strike_angle", head), at(strike), 0, head, radii=(10.0,))
    yield Angle(words.angle("tip_angle", 90 - slope), at(nose), slope, 90, radii=(18.0,))
    yield Angle(
        words.angle("angle", wedge.angle_deg), at(shoulder), 180, 180 + wedge.angle_deg, radii=(24.0, 34.0)
    )
    for lane, (name, end) in enumerate((("cove_end", cove.end), ("bead_end", bead.end))):
        yield Linear(words.length(name, end[0] - wedge.tip_u), at(nose), at(end), "top", lane)
    # Both leaders end within the wedge where there is room, that of the cove towards the tip.
    for name, arc, reaches, leans in (
        ("cove", cove, (6.0, 9.0, 12.0, 16.0, 20.0, -8.0, -34.0, -40.0), (-20.0, -40.0, -10.0, 0.0, 10.0)),
        (
            "bead",
            bead,
            (-6.0, -9.0, -12.0, -16.0, -20.0, 8.0, 12.0, 18.0, 26.0),
            (0.0, 10.0, -10.0, 20.0, -20.0, -30.0),
        ),
    ):
        middle = arc.point(0.5)
        out = degrees(atan2(middle[1] - arc.centre[1], middle[0] - arc.centre[0]))
        dimension = words.length(f"{name}_radius", arc.radius, "R")
        yield Radius(dimension, at(arc.centre), arc.radius, tuple(out + lean for lean in leans), reaches)
