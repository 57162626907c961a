"""The dimensions of each part measured back from its STEP file, under the names that its sheets print."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import atan2, degrees, hypot
from pathlib import Path

from cadquery import Face, Solid, Vector, importers
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface

from cad.kernel.measure import Plane, extent, is_plane, plane_of
from cad.kernel.step import Body, single

Figures = Mapping[str, float]
LEVEL = 1e-6


def from_step(name: str, solid: Solid, folder: Path) -> Solid:
    """Return a solid as it is read back from the STEP file written of it."""
    path = folder / f"{name}.step"
    path.write_bytes(single(Body(name, solid, (0.5, 0.5, 0.5))))
    (found,) = importers.importStep(str(path)).solids().vals()
    assert isinstance(found, Solid)
    return found


def body(solid: Solid) -> Figures:
    (x0, y0, z0), (x1, y1, z1) = extent(solid)
    planes = _planes(solid)
    side = (
        1.0 if _shoulder(planes).point[1] < 0 else -1.0
    )  # the rail stands out where y is negative, or mirrored
    plate, rabbet, throat, _ = sorted({round(side * p.point[1], 6) for p in planes if _along(p, 1)})
    feet = sorted((_foot_x(p), _slope_deg(p)) for p in planes if _leans(p, 0, 2))
    (front_x, front), (bed_x, bed) = feet[0], feet[-1]
    return {
        "length": x1 - x0,
        "height": z1 - z0,
        "thickness": y1 - y0,
        "rabbet": rabbet - plate,
        "shoulder": _shoulder(planes).point[2] - z0,
        "width": throat - rabbet,
        "mouth_at": front_x - x0,
        "mouth": bed_x - front_x,
        "bed": bed,
        "front": front,
        "relief": _relief_deg(planes),
        "radius": _cylinders(solid)[0].Radius(),
    }


def cheek_plate(solid: Solid) -> Figures:
    (x0, y0, z0), (x1, y1, z1) = extent(solid)
    planes = _planes(solid)
    (eye,) = _cylinders(solid)
    feet = sorted((_foot_x(p), _slope_deg(p)) for p in planes if _leans(p, 0, 2))
    return {
        "length": x1 - x0,
        "height": z1 - z0,
        "thickness": y1 - y0,
        "relief": _relief_deg(planes),
        "heel_edge": feet[-1][1],
        "toe_edge": 180 - feet[0][1],
        "eye_x": eye.Axis().Location().X() - x0,
        "eye_z": eye.Axis().Location().Z() - z0,
        "eye_radius": eye.Radius(),
    }


def wedge(solid: Solid) -> Figures:
    low, high = extent(solid)
    points, cylinders = _in_side_view(solid)
    tip, strike = sorted(p for p in points if abs(p[1]) < LEVEL)
    nose, shoulder, neck, waist, corner = sorted(p for p in points if p[1] > LEVEL)
    if corner[0] < waist[0]:  # the strike face leans back
        waist, corner = corner, waist
    return {
        "length": strike[0] - tip[0],
        "width": high[1] - low[1],
        "head": corner[1],
        "nose": nose[1],
        "strike_angle": _heading(strike, corner),
        "tip_angle": 90 - _heading(nose, shoulder),
        "angle": _heading(shoulder, neck),
        "cove_end": neck[0] - tip[0],
        "bead_end": waist[0] - tip[0],
        "bead_radius": next(r for r, ends in cylinders if _holds(ends, corner)),
        "cove_radius": next(r for r, ends in cylinders if _holds(ends, neck)),
    }


def iron(solid: Solid) -> Figures:
    top = _upper_face(solid)
    along = _up(top.normal)
    flat = solid.rotate((0, 0, 0), (0, 1, 0), degrees(atan2(along.z, along.x)))
    (x0, y0, z0), (x1, y1, z1) = extent(flat)
    surfaces = [BRepAdaptor_Surface(face.wrapped) for face in flat.Faces()]
    (bevel,) = (s.Direction() for s in surfaces if s.GetType().name == "GeomAbs_SurfaceOfExtrusion")
    curves = [BRepAdaptor_Curve(edge.wrapped) for edge in flat.Edges()]
    ellipse = next(c.Ellipse() for c in curves if c.GetType().name == "GeomAbs_Ellipse")
    axis = ellipse.XAxis().Direction()
    radii = (ellipse.MajorRadius(), ellipse.MinorRadius())
    lengthwise, across = radii if abs(axis.X()) > 0.5 else radii[::-1]
    return {
        "length": x1 - x0,
        "width": y1 - y0,
        "thickness": z1 - z0,
        "bevel": degrees(atan2(abs(bevel.Z()), abs(bevel.X()))),
        "crown_radius": _cylinders(flat)[0].Radius(),
        "edge_along": lengthwise,
        "edge_across": across,
    }


MEASURES: dict[str, Callable[[Solid], Figures]] = {
    "body": body,
    "cheek_plate": cheek_plate,
    "wedge": wedge,
    "iron": iron,
}


def _planes(solid: Solid) -> list[Plane]:
    return [plane_of(face) for face in solid.Faces() if is_plane(face)]


def _along(plane: Plane, axis: int) -> bool:
    return abs(abs(plane.normal[axis]) - 1) < LEVEL


def _leans(plane: Plane, one: int, two: int) -> bool:
    return abs(plane.normal[one]) > LEVEL and abs(plane.normal[two]) > LEVEL


def _shoulder(planes: list[Plane]) -> Plane:
    return next(p for p in planes if p.normal[2] < -1 + LEVEL)


def _foot_x(plane: Plane) -> float:
    """Return x of a leaning plane at z = 0."""
    return plane.point[0] + plane.point[2] * plane.normal[2] / plane.normal[0]


def _slope_deg(plane: Plane) -> float:
    return degrees(atan2(abs(plane.normal[0]), abs(plane.normal[2])))


def _relief_deg(planes: list[Plane]) -> float:
    return next(degrees(atan2(abs(p.normal[2]), abs(p.normal[1]))) for p in planes if _leans(p, 1, 2))


def _cylinders(solid: Solid) -> list[object]:
    surfaces = [BRepAdaptor_Surface(face.wrapped) for face in solid.Faces()]
    return [s.Cylinder() for s in surfaces if s.GetType().name == "GeomAbs_Cylinder"]


def _upper_face(solid: Solid) -> Plane:
    """Return the largest flat face that stands square to the plane's side view, facing the toe."""
    faces = [face for face in solid.Faces() if is_plane(face) and abs(plane_of(face).normal[1]) < LEVEL]
    return plane_of(max(faces, key=lambda face: (round(face.Area(), 3), -plane_of(face).normal[0])))


def _up(normal: tuple[float, float, float]) -> Vector:
    along = Vector(0, 1, 0).cross(Vector(*normal))
    return along if along.z > 0 else along * -1


def _in_side_view(
    solid: Solid,
) -> tuple[list[tuple[float, float]], list[tuple[float, list[tuple[float, float]]]]]:
    """Return a wedge's corners along and off the iron's face, and each round face's radius and corners."""
    base = _upper_face(solid)
    along, off = _up(base.normal), Vector(*base.normal) * -1

    def flat(face_or_solid: Face | Solid) -> list[tuple[float, float]]:
        away = [Vector(*v.toTuple()) - Vector(*base.point) for v in face_or_solid.Vertices()]
        return sorted({(round(p.dot(along), 6) + 0.0, round(p.dot(off), 6) + 0.0) for p in away})

    rounds = [(face, BRepAdaptor_Surface(face.wrapped)) for face in solid.Faces()]
    cylinders = [
        (s.Cylinder().Radius(), flat(f)) for f, s in rounds if s.GetType().name == "GeomAbs_Cylinder"
    ]
    return flat(solid), cylinders


def _holds(ends: list[tuple[float, float]], point: tuple[float, float]) -> bool:
    return any(hypot(p[0] - point[0], p[1] - point[1]) < 1e-4 for p in ends)


def _heading(p: tuple[float, float], q: tuple[float, float]) -> float:
    return degrees(atan2(q[1] - p[1], q[0] - p[0]))
