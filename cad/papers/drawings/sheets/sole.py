"""The sole enlarged: its curve, and the relief of body and plate, in a section across the plane."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees

from cad.geometry.linework import clipped
from cad.kernel.projection import sliced
from cad.kernel.shapes import box, common
from cad.outline import Arc, Line
from cad.papers.drawings.sheet import Sheet
from cad.papers.drawings.subject import Stand, Subject, from_the_left
from cad.papers.drawings.view import Angle, Linear, Mark, Radius, View

PLACE = 6
ABOVE_SHARE = 0.3  # of the thickness, kept above the relief: room for its angle
FAR_MM = 2000.0


def sheets(subject: Subject) -> Iterator[Sheet]:
    """Yield the sheet of the sole, if body and plate were built."""
    if not {"body", "cheek_plate"} <= set(subject.parts):
        return
    plan = subject.plan
    yield Sheet(
        name="sole",
        title=f"Sole: {plan.sole.form}",
        document="Detail drawing",
        rows=((_profile(subject),),),
        material=plan.spec.wood.species,
        notes=("Section across body and cheek plate, seen from the end that lies to the left.",),
    )


def _profile(subject: Subject) -> View:
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


def _marks(subject: Subject, stand: Stand) -> Iterator[Mark]:
    plan, words = subject.plan, subject.wording
    sole, section = plan.sole, plan.section
    start, end = (stand.at(0, *p) for p in (sole.path.end, sole.path.start))
    yield Linear(words.length("width", sole.width), start, end, "bottom", 1)
    arcs = [segment for segment in sole.path if isinstance(segment, Arc)]
    for number, arc in enumerate(arcs):
        suffix = f"_{number}" if number else ""
        dimension = words.length(f"radius{suffix}", arc.radius, "R")
        middle, way = (-90.0, 1.0) if arc.ccw else (90.0, -1.0)  # the leader ends below the sole
        half = degrees(abs(arc.turn)) / 2
        turns = tuple(middle + share * half for share in (0.0, 0.2, -0.2, 0.4, -0.4, 0.6, -0.6, 0.85, -0.85))
        reaches = tuple(way * reach for reach in (8.0, 6.0, 10.0, 24.0, 28.0, 33.0, 38.0, 44.0))
        yield Radius(dimension, stand.at(0, *arc.centre), arc.radius, turns, reaches)
    blind = stand.at(0, section.blind_face, section.blind_relief_top)
    relief = sole.relief_deg
    yield Angle(words.angle("relief", relief), blind, 90, 90 + relief, radii=(20.0, 15.0, 11.0, 26.0))
