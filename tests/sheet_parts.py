"""The parts built a second time, from nothing but the figures printed on their sheets."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping
from math import cos, radians, sin, sqrt, tan

from cadquery import Edge, Solid, Vector, Wire

from cad.kernel.shapes import cut, level_at, prism, section_at, side_at
from cad.outline import Arc, Line, Path, Point, arc_through, polygon

Figures = Mapping[str, float]
FAR = 300.0


def body(n: Figures, form: str) -> Solid:
    """Build the body from the figures of its own sheet and of the sole's."""
    r, w, rho = n["radius"], n["width"], radians(n["relief"])
    sagitta = r - sqrt(max(r * r - w * w / 4, 0.0))
    edge, blind = (sagitta if form == "round" else 0.0), n["thickness"] - n["rabbet"]
    middle = (w / 2, 0.0) if form == "round" else (w / 2, sagitta)
    corners = [
        (w, edge),
        (blind, edge + (blind - w) / tan(rho)),
        (blind, n["height"]),
        (-n["rabbet"], n["height"]),
        (-n["rabbet"], n["shoulder"]),
        (0.0, n["shoulder"]),
        (0.0, edge),
    ]
    sole = arc_through((0.0, edge), middle, (w, edge))
    outline = Path((sole, *(Line(p, q) for p, q in itertools.pairwise(corners))))
    block = prism(outline, section_at(0), (n["length"], 0, 0))
    low, high = -0.5, n["height"] + 5

    def x(at: float, deg: float, z: float) -> float:
        return at + z / tan(radians(deg))

    front, bed = n["mouth_at"], n["mouth_at"] + n["mouth"]
    throat = polygon(
        [
            (x(front, n["front"], low), low),
            (x(bed, n["bed"], low), low),
            (x(bed, n["bed"], high), high),
            (x(front, n["front"], high), high),
        ]
    )
    void = prism(throat, side_at(-FAR), (0, FAR + w, 0))
    return cut(block, void, part="body", feature="throat")


def cheek_plate(n: Figures, form: str) -> Solid:
    """Build the plate with its inner face at y = 0 and its lower edge at z = 0."""
    t, h = n["thickness"], n["height"]
    section = polygon([(0, 0), (0, h), (-t, h), (-t, t / tan(radians(n["relief"])))])
    board = prism(section, section_at(0), (n["length"], 0, 0))
    heel, toe = radians(n["heel_edge"]), radians(180 - n["toe_edge"])
    x, z, r = n["eye_x"], n["eye_z"], n["eye_radius"]
    heel_high = (x + r * sin(heel), z - r * cos(heel))
    toe_high = (x - r * sin(toe), z + r * cos(toe))

    def down(p: Point, way: float) -> Point:
        return (p[0] - (p[1] + 1) / tan(way), -1.0)

    notch = Path(
        (
            Line(down(toe_high, toe), down(heel_high, heel)),
            Line(down(heel_high, heel), heel_high),
            Arc(heel_high, toe_high, (x, z), ccw=True),
            Line(toe_high, down(toe_high, toe)),
        )
    )
    return cut(board, prism(notch, side_at(-FAR), (0, 2 * FAR, 0)), part="plate", feature="escapement")


def wedge(n: Figures, form: str) -> Solid:
    """Build the wedge, tip at 0, the iron's face along the first axis."""
    taper = tan(radians(n["angle"]))
    strike = n["length"]
    corner = (strike + n["head"] / tan(radians(n["strike_angle"])), n["head"])

    def front(u: float) -> Point:
        return (u, corner[1] + (u - corner[0]) * taper)

    slope = tan(radians(90 - n["tip_angle"]))
    run = (front(0)[1] - n["nose"]) / (slope - taper)
    shoulder, waist, neck = front(run), front(n["bead_end"]), front(n["cove_end"])
    outline = Path(
        (
            Line((0.0, 0.0), (strike, 0.0)),
            Line((strike, 0.0), corner),
            _bulge(corner, waist, n["bead_radius"], outwards=True),
            _bulge(waist, neck, n["cove_radius"], outwards=False),
            Line(neck, shoulder),
            Line(shoulder, (0.0, n["nose"])),
            Line((0.0, n["nose"]), (0.0, 0.0)),
        )
    )
    return prism(outline, side_at(0), (0, n["width"], 0))


def iron(n: Figures, form: str) -> Solid:
    """Build the iron flat: u along x, v along y, upper face at z = 0; the bevel swept back under the edge."""
    a, b, w, t = n["edge_across"], n["edge_along"], n["width"], n["thickness"]
    dip = b * (1 - sqrt(max(1 - (w / 2 / a) ** 2, 0.0)))
    low, middle = (dip, 0.0) if form == "round" else (0.0, dip)
    centre = b if form == "round" else middle - b
    crown = n["crown_radius"]
    top = n["length"] - (crown - sqrt(crown * crown - w * w / 4))
    back = t / tan(radians(n["bevel"]))
    ellipse = Edge.makeEllipse(
        max(a, b),
        min(a, b),
        pnt=Vector(centre, w / 2, 0),
        dir=Vector(0, 0, 1),
        xdir=Vector(1, 0, 0) if b > a else Vector(0, 1, 0),
    )
    whole = Solid.extrudeLinear(Wire.assembleEdges([ellipse]), [], Vector(-back, 0, t) * -1)
    blank = _slab(
        Path(
            (
                Line((-20.0, 0.0), (top, 0.0)),
                arc_through((top, 0.0), (n["length"], w / 2), (top, w)),
                Line((top, w), (-20.0, w)),
                Line((-20.0, w), (-20.0, 0.0)),
            )
        ),
        t,
    )
    if form == "hollow":
        return cut(blank, whole, _beyond(low, back, w, t), part="iron", feature="edge")
    ahead = polygon([(-20, -1), (centre + back, -1), (centre + back, w + 1), (-20, w + 1)])
    waste = cut(_slab(ahead, t), whole, _sheared_end(centre, back, w, t), part="iron", feature="ahead")
    return cut(blank, waste, part="iron", feature="edge")


def _slab(path: Path, t: float) -> Solid:
    return prism(path, level_at(-t), (0, 0, t))


def _sheared_end(centre: float, back: float, w: float, t: float) -> Solid:
    """Return what lies behind the ellipse's long axis at the upper face and behind its sheared copy below."""
    outline = polygon([(centre, 0.0), (centre + FAR, 0.0), (centre + FAR, -t), (centre + back, -t)])
    return prism(outline, side_at(-5), (0, w + 10, 0))


def _beyond(low: float, back: float, w: float, t: float) -> Solid:
    """Return what lies ahead of the corners of a hollow iron's edge, down the bevel."""
    outline = polygon([(low - 60, 0.0), (low - 60, -t), (low + back, -t), (low, 0.0)])
    return prism(outline, side_at(-5), (0, w + 10, 0))


def _bulge(start: Point, end: Point, radius: float, outwards: bool) -> Arc:
    """Return the lesser arc of a radius over a chord of the wedge's head, run from the head to the tip."""
    half = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5 / 2
    rise = radius - sqrt(radius * radius - half * half)
    way = ((end[0] - start[0]) / (2 * half), (end[1] - start[1]) / (2 * half))
    out = (way[1], -way[0]) if outwards else (-way[1], way[0])
    middle = ((start[0] + end[0]) / 2 + out[0] * rise, (start[1] + end[1]) / 2 + out[1] * rise)
    return arc_through(start, middle, end)


BUILDERS: dict[str, Callable[[Figures, str], Solid]] = {
    "body": body,
    "cheek_plate": cheek_plate,
    "wedge": wedge,
    "iron": iron,
}
