"""The cheek plate with its escapement, seen on its outer face, as long as it is glued."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import asin, cos, pi
from typing import TYPE_CHECKING

from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.outline import Arc, Line, Path, Point, Segment
from cad.papers.templates.bezier import chain
from cad.papers.templates.block import Template
from cad.papers.templates.ink import CUT, EDGE, TITLE_MM, Art, drawn, leader, line, toe_mark
from cad.papers.templates.room import labelled
from cad.units import format_length, plain

if TYPE_CHECKING:
    from fixtures.bench.model import Fixture

CLEAR_MM = 6.0  # from the escapement to the words behind it


def templates(plan: Plan, fixtures: Sequence[Fixture]) -> Iterator[Template]:
    """Yield the plate."""
    unit = plan.spec.unit
    toe, heel = plan.stages.span(Stage.PLATE_GLUED)
    long = f"{format_length(heel - toe, unit)} long"
    spare = f", {format_length(plan.stages.spare, unit)} spare on each end" if plan.stages.spare else ""
    notes = (
        f"Outer face. Stock {format_length(plan.section.plate, unit)} thick, {long}{spare}. Dashed across: "
        "finished ends. Dashed along: plane the lower edge back to it, "
        f"{plain(plan.sole.relief_deg)}° from plumb.",
    )
    art = _art(plan)
    yield Template(
        "cheek_plate", "Cheek plate with escapement", notes, art.mirrored() if plan.is_left else art
    )


def outline(plan: Plan) -> Path:
    """Return the plate's outline in (x, z) as glued, right hand, the escapement cut out of its lower edge."""
    toe, heel = plan.stages.span(Stage.PLATE_GLUED)
    low, high = plan.sole.plate_edge, plan.section.shoulder
    # The notch travels from the heel's side over the eye to the toe's; the outline goes round the other way.
    notch = above(plan.escapement.side_view().segments[1:], low)
    way_back = tuple(segment.reversed() for segment in reversed(notch))
    first, last = way_back[0].start, way_back[-1].end
    return Path(
        (
            Line((toe, low), first),
            *way_back,
            Line(last, (heel, low)),
            Line((heel, low), (heel, high)),
            Line((heel, high), (toe, high)),
            Line((toe, high), (toe, low)),
        )
    )


def above(segments: Sequence[Segment], level: float) -> tuple[Segment, ...]:
    """Return the stretch of an arch of lines and arcs that lies above a level."""
    kept: list[Segment] = []
    for segment in segments:
        rises, sinks = segment.start[1] < level, segment.end[1] < level
        if isinstance(segment, Arc) and (rises or sinks):
            kept += _arc_above(segment, level)
        elif rises and sinks:
            continue
        elif rises:
            kept.append(Line(_at_level(segment, level), segment.end))
        elif sinks:
            kept.append(Line(segment.start, _at_level(segment, level)))
        else:
            kept.append(segment)
    return tuple(kept)


def _at_level(segment: Segment, level: float) -> Point:
    (x0, z0), (x1, z1) = segment.start, segment.end
    return (x0 + (x1 - x0) * (level - z0) / (z1 - z0), level)


def _arc_above(arc: Arc, level: float) -> list[Segment]:
    """Return the part of an eye, counter-clockwise over its top, above a level; nothing when all is below."""
    rise = level - arc.centre[1]
    if rise >= arc.radius:
        return []
    angle = asin(max(rise / arc.radius, -1.0))

    def on(a: float) -> Point:
        return (arc.centre[0] + arc.radius * cos(a), level)

    start = on(angle) if arc.start[1] < level else arc.start
    end = on(pi - angle) if arc.end[1] < level else arc.end
    return [Arc(start, end, arc.centre, ccw=True)]


def _art(plan: Plan) -> Art:
    section = plan.section
    toe, heel = plan.stages.span(Stage.PLATE_GLUED)
    low, high = plan.sole.plate_edge, section.shoulder
    art = drawn(CUT, chain(outline(plan)))
    art += line(EDGE, (toe, section.plate_relief_top), *_relief_gap(plan)[:1])
    art += line(EDGE, *_relief_gap(plan)[1:], (heel, section.plate_relief_top))
    if plan.stages.spare:
        art += line(EDGE, (0.0, low), (0.0, high)) + line(
            EDGE, (plan.stages.length, low), (plan.stages.length, high)
        )
    return _labelled(plan, art)


def _relief_gap(plan: Plan) -> list[Point]:
    """Return where the line of the relief meets the escapement and leaves it again."""
    level = plan.section.plate_relief_top
    arch = above(plan.escapement.side_view().segments[1:], level)
    if not arch:
        middle = plan.escapement.side_view().segments[2].start[0]
        return [(middle, level), (middle, level)]
    return [(arch[-1].end[0], level), (arch[0].start[0], level)]


def _labelled(plan: Plan, art: Art) -> Art:
    """Return the plate with its words behind the escapement, where there is room for them."""
    section = plan.section
    box = plan.escapement.side_view().bounds()
    x, top = box[2] + CLEAR_MM, section.shoulder - 1.5 - TITLE_MM / 2
    levels = [top - i * 2.0 for i in range(40)]
    along = [x, x + 20.0, x + 40.0, box[0] - 40.0]
    art = labelled(art, (Art((), (toe_mark((at, level)),)) for level in levels for at in along))
    eye = plan.escapement.side_view().segments[2]
    return labelled(art, (leader("escapement", (x, level), eye.point(0.0)) for level in levels))
