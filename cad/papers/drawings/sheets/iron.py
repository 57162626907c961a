"""The iron: side, face, and its true edge enlarged."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from math import cos, pi, sin

from cad.geometry.iron import EdgeArc
from cad.geometry.linework import clipped
from cad.kernel.projection import seen
from cad.outline import Line, Path, Point
from cad.papers.drawings.members import listing
from cad.papers.drawings.paper import largest_scale
from cad.papers.drawings.sheet import Sheet, arranged
from cad.papers.drawings.subject import Subject, along_the_bed, in_the_iron, onto_the_bed
from cad.papers.drawings.view import Angle, Linear, Mark, Radius, View, view_of

PLACE = 5
DETAIL_ROOM_MM = 70.0  # of paper, across the edge's ellipse
Place = Callable[[float, float], Point]  # from (v, u) of the iron to the view
POINTS = (
    "Points of the edge (across from the plate's side; back from the foremost), and what runs between them,"
)
ELLIPSES = "ellipses by their semi-axes across and along the iron:"
STEPS = 72  # chords of half an ellipse that is drawn to measure by


def sheets(subject: Subject) -> Iterator[Sheet]:
    """Yield the sheet of the iron, if it was built."""
    if "iron" not in subject.parts:
        return
    rows = arranged(_side(subject), None, _face(subject), subject.projection)
    yield Sheet(
        name="iron",
        title="Iron",
        document="Part drawing",
        rows=(*rows, (_edge(subject),)),
        material=f"tool steel {subject.plan.spec.iron.steel}",
        notes=(
            *_points(subject),
            "The edge is the sole stretched along the iron: an ellipse where the sole is an arc.",
            "The bevel runs the same way all along the edge, as the side view shows it.",
        ),
    )


def _points(subject: Subject) -> tuple[str, ...]:
    """Return where the parts of an edge that is more than one ellipse meet."""
    sole, words = subject.plan.sole, subject.wording
    if sole.is_upright_arc:
        return ()
    return (POINTS, ELLIPSES, *listing(sole, words, subject.plan.iron.stretch))


def _side(subject: Subject) -> View:
    plan, words, stand = subject.plan, subject.wording, along_the_bed(subject.plan)
    iron = plan.iron

    def at(u: float, n: float) -> Point:
        return stand.at(*in_the_iron(plan, u, 0, n))

    end = iron.striking_end().point(0.5)[1]
    return view_of(seen([subject.parts["iron"]], stand.look)).with_marks(
        Linear(words.length("length", end), at(0, 0), at(end, 0), "top", 0),
        Linear(words.length("thickness", iron.thickness), at(end, -iron.thickness), at(end, 0), "right", 0),
        Angle(words.angle("bevel", iron.bevel_deg), at(0, 0), 180 - iron.bevel_deg, 180, radii=(20.0,)),
    )


def _face(subject: Subject) -> View:
    plan, words, stand = subject.plan, subject.wording, onto_the_bed(subject.plan)
    iron, crown = plan.iron, plan.iron.striking_end()

    def at(v: float, u: float) -> Point:
        return stand.at(*in_the_iron(plan, u, v))

    low, high = iron.edge()[0].start, iron.edge()[-1].end
    return view_of(seen([subject.parts["iron"]], stand.look)).with_marks(
        Linear(words.length("width", iron.width), at(*low), at(*high), "left", 0),
        Radius(
            words.length("crown_radius", crown.radius, "R"), at(*crown.centre), crown.radius, (0.0, 6.0, 12.0)
        ),
    )


def _edge(subject: Subject) -> View:
    """Return the edge enlarged, with the ellipse that it is part of and that ellipse's semi-axes.

    An edge of several parts is shown alone: its ellipses are listed (see `_points`), and may be far larger.
    """
    plan, stand = subject.plan, onto_the_bed(subject.plan)
    edge = plan.iron.edge() if plan.sole.is_upright_arc else ()
    arcs = [segment for segment in edge if isinstance(segment, EdgeArc)]

    def at(v: float, u: float) -> Point:
        return stand.at(*in_the_iron(plan, u, v))

    deepest = plan.iron.profile_depth()
    across = max([plan.iron.width, *(2 * arc.across for arc in arcs)])
    scale = largest_scale(across, DETAIL_ROOM_MM)
    corners = [at(0, 0), at(plan.iron.width, deepest + 12 / scale)]
    low_b, high_b = sorted(p[1] for p in corners)
    window = (corners[0][0] - 1, low_b - 1, corners[1][0], high_b + 1)
    end = corners[1][0]
    lines = clipped(seen([subject.parts["iron"]], stand.look).visible, window)
    return View(
        visible=lines,
        narrow=tuple(_half_ellipse(arc, at) for arc in arcs),
        axes=tuple(axis for arc in arcs for axis in _axes(arc, at, 3 / scale)),
        marks=tuple(mark for i, arc in enumerate(arcs) for mark in _semi_axes(subject, arc, i, at)),
        title="True edge",
        scale=scale,
        broken=(Line((end, low_b), (end, high_b)),),
    )


def _vertex(arc: EdgeArc) -> Point:
    """Return the end of the semi-axis along the iron on the side of the edge."""
    return (arc.centre[0], arc.centre[1] + (-arc.along if arc.ccw else arc.along))


def _half_ellipse(arc: EdgeArc, at: Place) -> Path:
    down = -1 if arc.ccw else 1
    points = [
        at(
            arc.centre[0] + arc.across * cos(pi * i / STEPS),
            arc.centre[1] + down * arc.along * sin(pi * i / STEPS),
        )
        for i in range(STEPS + 1)
    ]
    return Path(tuple(Line(p, q) for p, q in itertools.pairwise(points)))


def _axes(arc: EdgeArc, at: Place, past: float) -> tuple[Line, Line]:
    (v, u), (_, end) = arc.centre, _vertex(arc)
    out = past if end > u else -past
    wide = arc.across + past
    return Line(at(v - wide, u), at(v + wide, u)), Line(at(v, u - out), at(v, end + out))


def _semi_axes(subject: Subject, arc: EdgeArc, number: int, at: Place) -> Iterator[Mark]:
    words, suffix = subject.wording, f"_{number}" if number else ""
    v, u = arc.centre
    first, last = sorted([at(v, u), at(*_vertex(arc))])
    yield Linear(words.length(f"edge_along{suffix}", arc.along), first, last, "bottom", 0)
    low, high = sorted([at(v, u), at(v + arc.across, u)], key=lambda p: p[1])
    yield Linear(words.length(f"edge_across{suffix}", arc.across), low, high, "right", 0)
