"""Both end profiles, each as it is seen on its own end grain: toe and heel are mirror images."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from cad.geometry import Plan
from cad.geometry.spring_line import spring_line
from cad.outline import Arc, Line, Point
from cad.papers.templates.bezier import chain
from cad.papers.templates.block import Template
from cad.papers.templates.callouts import Callout, column
from cad.papers.templates.fonts import width_mm
from cad.papers.templates.ink import (
    CENTRE,
    CUT,
    EDGE,
    LEAST_TEXT_MM,
    ROW_MM,
    Art,
    Words,
    cross,
    drawn,
    line,
)
from cad.papers.templates.room import labelled
from cad.units import format_length, plain

if TYPE_CHECKING:
    from fixtures.bench.model import Fixture

BEYOND_MM = 4.0  # how far the centre line runs on past the sole
BELOW_MOST_MM = 60.0  # a centre further below the sole is told in words only
NAME_ROOM_MM = 8.0  # height kept for the name of the end, at the top
NAME_MM = 5.0  # most height of it
COLUMN_MM = 5.0  # from the outline to the words beside it


def templates(plan: Plan, fixtures: Sequence[Fixture]) -> Iterator[Template]:
    """Yield the toe's profile and the heel's."""
    for end in ("toe", "heel"):
        yield Template(
            f"end_{end}", f"{end.upper()} END: paste on the {end} end", _notes(plan, end), _art(plan, end)
        )


def sign(plan: Plan, end: str) -> float:
    """Return which way y runs on the paper: 1 to the right, -1 to the left.

    Who looks at the heel from behind has the right hand's +y on the right; who looks at the toe, on the left.
    """
    way = 1.0 if end == "heel" else -1.0
    return -way if plan.is_left else way


def _notes(plan: Plan, end: str) -> tuple[str, ...]:
    far = [arc for arc in _arcs(plan) if not _shown(plan, arc)]
    centre = tuple(
        f"The {plan.sole.names[plan.sole.path.segments.index(arc)]}'s centre lies "
        f"{format_length(-arc.centre[1], plan.spec.unit)} below the sole."
        for arc in far
        if arc.centre[1] < 0
    )
    return (
        f"Top edge flush with the top of the blank, sides with its sides. Seen on the {end} end grain.",
        *centre,
    )


def _art(plan: Plan, end: str) -> Art:
    """Return the profile with y to the right, or mirrored as this end and hand have it."""
    section = plan.section
    art = drawn(CUT, chain(section.shaped().segments)) + _reference(plan) + _centres(plan)
    marks = _callouts(plan)
    way = sign(plan, end)
    right = [mark for mark in marks if mark.side > 0 or mark.to[0] >= section.blind_face / 2]
    left = [mark for mark in marks if mark not in right]
    low_x, _, high_x, _ = art.box
    sides = column(left, low_x - COLUMN_MM, -1) + column(right, high_x + COLUMN_MM, 1)
    whole = labelled(art + sides, [_name(plan, end)])
    return whole if way > 0 else whole.mirrored()


def _reference(plan: Plan) -> Art:
    """Return the edges of the blank that the outline leaves, and the plate's lower edge, for reference."""
    section = plan.section
    low, start = 0.0, (-section.plate, section.shoulder)
    corner = (-section.plate, low)
    if plan.stages.laminated:
        start = corner = (0.0, section.sole.plate_edge)
        corner = (0.0, low)
    points = [start, corner, (section.blind_face, low), (section.blind_face, section.blind_relief_top)]
    kept = [p for i, p in enumerate(points) if i == 0 or p != points[i - 1]]
    plate = line(EDGE, (0.0, section.sole.plate_edge), (-section.plate, section.plate_relief_top))
    if plan.stages.laminated:
        plate += line(EDGE, (-section.plate, section.plate_relief_top), (-section.plate, section.shoulder))
    return line(EDGE, *kept) + plate


def _arcs(plan: Plan) -> list[Arc]:
    return [segment for segment in plan.sole.path if isinstance(segment, Arc)]


def _shown(plan: Plan, arc: Arc) -> bool:
    """Return whether an arc's centre goes on the paper: in the wood under the name, or not far below it."""
    return -BELOW_MOST_MM <= arc.centre[1] <= _name_floor(plan) - 4.0


def _centres(plan: Plan) -> Art:
    """Return the centre line, or the spring line, and a cross at the centre of each arc of the sole."""
    sole = plan.sole
    low = min([0.0, *(arc.centre[1] for arc in _arcs(plan) if _shown(plan, arc))]) - BEYOND_MM
    top = max(_name_floor(plan) - 1.0, sole.height(sole.width / 2) + 2.0)
    if sole.spring_deg:
        top = min(top, spring_line(plan.section).end[1])
    art = line(CENTRE, (sole.centre(low), low), (sole.centre(top), top))
    for arc in _arcs(plan):
        if _shown(plan, arc):
            art += cross(arc.centre, 2.5)
    return art


def _name_floor(plan: Plan) -> float:
    """Return the height above which only the name of the end stands."""
    section = plan.section
    floor = max(section.height - NAME_ROOM_MM, section.shoulder)
    return floor if section.height - floor >= LEAST_TEXT_MM + 2.0 else section.height - NAME_ROOM_MM


def _name(plan: Plan, end: str) -> Art:
    """Return the word that stays on the paper once it is cut out."""
    section, word = plan.section, end.upper()
    low = -section.plate if _name_floor(plan) >= section.shoulder - 1e-9 else 0.0
    room = section.blind_face - low - 3.0
    tall = section.height - _name_floor(plan) - 2.0
    height = min(NAME_MM, tall / 1.1, NAME_MM * room / width_mm(word, NAME_MM))
    at = ((low + section.blind_face) / 2, (_name_floor(plan) + section.height) / 2)
    return Art((), (Words(word, at, round(height, 2), "middle"),)) if height >= LEAST_TEXT_MM else Art()


def _callouts(plan: Plan) -> list[Callout]:
    section, sole, unit = plan.section, plan.sole, plan.spec.unit
    relief = f"relief {plain(sole.relief_deg)}°"
    found = [
        Callout((-section.plate, (section.shoulder + section.height) / 2), "rail"),
        Callout((-section.plate / 2, section.shoulder), f"shoulder {format_length(section.shoulder, unit)}"),
        Callout(
            (0.0, (sole.plate_edge + section.shoulder) / 2 + 3),
            f"rabbet {format_length(section.plate, unit)}",
        ),
        Callout((-section.plate / 2, (sole.plate_edge + section.plate_relief_top) / 2), f"plate, {relief}"),
        Callout(_relief_spot(plan), relief),
        Callout(
            (section.blind_face, (section.blind_relief_top + section.height) / 2),
            f"blind side, {format_length(section.thickness, unit)} across all",
        ),
    ]
    if sole.spring_deg:
        at = spring_line(section).point(0.75)
        found.append(Callout(at, f"spring line, {plain(abs(sole.spring_deg))}°: plumb at work"))
    return [*found, *(_centre_callout(plan, arc) for arc in _arcs(plan) if _shown(plan, arc))]


def _relief_spot(plan: Plan) -> Point:
    """Return a point of the relief, off the level at which the arc's centre is named across it."""
    section, sole = plan.section, plan.sole
    levels = [arc.centre[1] for arc in _arcs(plan)]
    flank = Line((sole.width, sole.blind_edge), (section.blind_face, section.blind_relief_top))
    spots = [flank.point(share) for share in (0.5, 0.25, 0.75)]
    return max(spots, key=lambda spot: min([ROW_MM, *(abs(spot[1] - level) for level in levels)]))


def _centre_callout(plan: Plan, arc: Arc) -> Callout:
    # On the blind side, where fewer words stand.
    name = plan.sole.names[plan.sole.path.segments.index(arc)]
    radius = format_length(arc.radius, plan.spec.unit)
    return Callout(arc.centre, f"centre of the {name}, r {radius}", side=1)
