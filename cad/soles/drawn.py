"""Any profile that can be drawn: in a file beside the spec, or as a list of corners and bulges.

What is drawn is the sole seen from the heel, which is the same line as the moulding beneath it: y to the
right from the rabbet face, z up. Where it lies on the sheet does not matter, nor in which sense it was drawn.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import Field

from cad.errors import ProfileError
from cad.fields import FileName, ImpossibleError, Known, Least, NotKnownError, Problem, Rule, Span
from cad.outline import Arc
from cad.profiles.bulges import Corner, path_of, set_level
from cad.profiles.chain import MOST_SEGMENTS
from cad.soles.drawing import KEY, OWN, drawing
from cad.soles.member import Member
from cad.soles.table import RELIEF, Size, SoleTable

FORM = "drawn"
CALLED = "a drawn profile"
SUMMARY = "any profile: a DXF or SVG file, or a list of corners and bulges"
FLATTER = "Draw the profile flatter, or lean it (sole.spring)"

FIT_MM = 0.02
NARROWEST_MM, WIDEST_MM, HIGHEST_MM = 0.5, 250.0, 150.0
SIZE = Size(
    "sole.points",
    '[["0 mm", "6 mm"], ["3 mm", "6 mm", -0.4], ["9 mm", "3 mm", 0.4], ["15 mm", "0 mm"], ["18 mm", "0 mm"]]',
    'profile = "ogee.dxf" (or .svg), or points = [[0, 6], [3, 6, -0.4], [9, 3], [18, 0]]',
    KEY,
)

Place = Annotated[float, Span("mm", -1000, 1000)]
Bulge = Annotated[float, Span("number", -1, 1)]


class Table(SoleTable):
    """A sole as it is drawn."""

    profile: Annotated[str, FileName()] = Field(
        description="drawing beside the spec, .dxf or .svg: the sole (or the moulding beneath it) seen from "
        "the heel, the rabbet face on the left; give this or points"
    )
    profile_unit: Literal["own", "mm", "cm", "m", "in", "ft"] = Field(
        description="length of the drawing's unit, where the drawing does not say or says it wrong"
    )
    fit: Annotated[float, Span("mm", 0.001, 0.5)] = Field(
        description="how far arcs may stray from a curve of the drawing that they stand for (spline, ellipse)"
    )
    points: tuple[Annotated[tuple[Place, Place, Bulge], Least(2)], ...] = Field(
        min_length=2,
        description="corners [across, up] in their order; a third number is the bulge of the way to the next "
        "one: the tangent of a quarter of its arc's angle, negative when clockwise",
    )
    width: Annotated[float, Span("mm", NARROWEST_MM, WIDEST_MM)] = Field(
        description="width of the profile as drawn, upright: it follows from the drawing"
    )


def _points(known: Known) -> tuple[Corner, ...]:
    try:
        drawn = drawing(known)
    except ProfileError as error:
        where = f"{known.text(KEY)}: {error.place}: " if error.place else f"{known.text(KEY)}: "
        raise ImpossibleError(Problem((KEY,), where + error.problem, error.cure)) from error
    if drawn is None:
        raise NotKnownError("sole.points")
    return drawn.corners


def _why_points(known: Known) -> str:
    drawn = drawing(known)
    assert drawn is not None
    arcs = f"; {drawn.fitted} arcs stand for its curves" if drawn.fitted else ""
    return f"drawn in {known.text(KEY)}, in {drawn.unit}{arcs}"


def _width(known: Known) -> float:
    path = path_of(_level(known))
    width, height = path.end[0], path.bounds()[3]
    if not NARROWEST_MM <= width <= WIDEST_MM or height > HIGHEST_MM:
        raise ImpossibleError(
            Problem(
                (KEY, "sole.points"),
                f"the profile is {known.show(width)} wide and {known.show(height)} high, and a sole is from "
                f"{known.show(NARROWEST_MM)} to {known.show(WIDEST_MM)} wide and up to "
                f"{known.show(HIGHEST_MM)} high",
                'Check the unit it is drawn in, and give it as in profile_unit = "mm"'
                if KEY in known.files
                else "Check the unit of the points",
            )
        )
    return width


def _level(known: Known) -> tuple[Corner, ...]:
    """Return the corners as the sole lies. Raises NotKnownError for corners that are none."""
    corners: object = known.value("sole.points")
    assert isinstance(corners, tuple)
    if len(corners) < 2:
        raise NotKnownError("sole.points")
    return set_level(corners)


RULES = (
    Rule("sole.fit", lambda known: FIT_MM, "a tenth of the grain of fine sandpaper"),
    Rule("sole.profile_unit", lambda known: OWN, "the drawing's own"),
    Rule("sole.profile", lambda known: "", "the profile is given by its points"),
    Rule("sole.points", _points, _why_points),
    Rule("sole.width", _width, "from the left end of the profile to its right"),
    RELIEF,
    Rule("sole.tolerance", lambda known: 0.1, "less shows no light between gauge and sole", practice=True),
)


def _misplaced(known: Known) -> Iterator[Problem]:
    """Yield the faults of keys that say the same twice, and of those that say nothing beside the others."""
    if "sole.points" in known.given and KEY in known.files:
        yield Problem((KEY, "sole.points"), "profile and points are both given", "Keep one of the two")
    of_drawing = [key for key in ("sole.profile_unit", "sole.fit") if key in known.given]
    if of_drawing and "sole.points" in known.given and KEY not in known.files:
        names = " and ".join(key.removeprefix("sole.") for key in of_drawing)
        yield Problem(
            tuple(of_drawing),
            f"{names} would say how a drawing is read, and the profile is given by its points",
            f"Take {'both' if of_drawing[1:] else 'it'} out: points are in the file's unit or their own",
        )
    if "sole.width" in known.given:
        yield Problem(
            ("sole.width",),
            "the width follows from the profile and cannot be given",
            "Take this line out, and draw the profile as wide as it shall be",
        )


def _corners(known: Known) -> Iterator[Problem]:
    corners = known.value("sole.points")
    assert isinstance(corners, tuple)
    if not 2 <= len(corners) <= MOST_SEGMENTS + 1:
        yield Problem(
            ("sole.points",),
            f"this is no profile: corners given: {len(corners)}",
            f"Give 2 to {MOST_SEGMENTS + 1} of them",
        )
    elif corners[-1][2] != 0:
        yield Problem(
            ("sole.points",),
            f"the last corner has a bulge, {corners[-1][2]:g}, and no way goes on from it",
            "Give the bulge with the corner that its arc begins at",
        )


PROBLEMS = (_misplaced, _corners)


def members(table: Table) -> tuple[Member, ...]:
    """Return the lines and arcs of the drawing, numbered from the rabbet face on."""
    segments = path_of(set_level(table.points))
    return tuple(
        Member(f"{'arc' if isinstance(segment, Arc) else 'line'} {place}", segment)
        for place, segment in enumerate(segments, start=1)
    )
