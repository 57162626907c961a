"""A second reading of STEP that shares nothing with the kernel: steputils parses, this file integrates.

ISO 10303-21 gives the syntax (read by steputils), ISO 10303-42 the geometry: faces bounded by oriented loops
of edges, each counter-clockwise about its face's outward normal. Every face here is swept along a straight
line (a plane, a cylinder, a surface of linear extrusion), and for those the divergence theorem leaves a sum
along the loops alone, so that volume and centroid need no surface at all, only edges.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from math import pi
from pathlib import Path
from typing import Any

import numpy as np
from steputils import p21

SEGMENTS = 1500  # of a whole turn, per edge: leaves 1e-6 of an arc's sagitta

Vector = np.ndarray


@dataclass(frozen=True)
class Face:
    """A face: kind of surface, the way it is swept, its axis or its plane's normal, and its loops (n, 3)."""

    kind: str
    along: Vector
    axis: tuple[Vector, Vector] | None  # of a plane: point and normal, of a cylinder: point and direction
    radius: float | None
    loops: tuple[Vector, ...]

    def moments(self, way: Vector) -> tuple[float, float]:
        """Return ∮ (r·w)(w·n) dA and ∮ (r·w)²/2 (w·n) dA over the face, for a unit vector w."""
        d = float(self.along @ way)
        volume = first = 0.0
        for loop in self.loops:
            near, far = loop, np.roll(loop, -1, axis=0)
            across = np.cross(far - near, self.along) @ way
            # Simpson's rule is exact on a straight edge, where the integrands are cubic at most.
            for points, share in ((near, 1 / 6), ((near + far) / 2, 4 / 6), (far, 1 / 6)):
                v = points @ self.along
                b = (points - v[:, None] * self.along) @ way
                volume -= share * float(np.sum((b * v + d * v**2 / 2) * across))
                first -= share * float(np.sum((b**2 * v + b * d * v**2 + d**2 * v**3 / 3) * across)) / 2
        return volume, first

    @cached_property
    def area(self) -> float:
        """Return the area of a plane or a cylinder, mm²."""
        assert self.axis is not None
        total = 0.0
        for loop in self.loops:
            near, far = loop, np.roll(loop, -1, axis=0)
            middle, step = (near + far) / 2, far - near
            point, direction = self.axis
            if self.kind == "PLANE":
                tangent = np.cross(self.along, direction)
                run = step @ tangent
            else:
                out = middle - point
                out -= (out @ direction)[:, None] * direction
                out /= np.linalg.norm(out, axis=1)[:, None]
                run = np.einsum("ij,ij->i", np.cross(direction, out), step)
            total += float(np.sum((middle @ self.along) * run))
        return abs(total)


@dataclass(frozen=True)
class Solid:
    """A solid as the file has it: the name of its product, its colour, its faces and its corners, (n, 3)."""

    name: str
    colour: tuple[float, float, float]
    faces: tuple[Face, ...]
    corners: Vector

    @cached_property
    def volume(self) -> float:
        return sum(face.moments(np.array([0.0, 0.0, 1.0]))[0] for face in self.faces)

    @cached_property
    def centroid(self) -> Vector:
        first = [sum(face.moments(way)[1] for face in self.faces) for way in np.eye(3)]
        return np.array(first) / self.volume

    @cached_property
    def area(self) -> float:
        return sum(face.area for face in self.faces)


def read(path: Path) -> tuple[Solid, ...]:
    """Return the solids of a STEP file in the order of the file."""
    return tuple(_Reader(p21.readfile(str(path))).solids())


class _Reader:
    def __init__(self, file: Any) -> None:
        self._data = file.data[0]

    def _named(self, name: str) -> Iterator[Any]:
        simple = (one for one in self._data.instances.values() if p21.is_simple_entity_instance(one))
        return (one for one in simple if one.entity.name == name)

    def _simple(self, reference: Any) -> Any:
        return self._data.instances[reference].entity

    def solids(self) -> Iterator[Solid]:
        for brep in self._named("MANIFOLD_SOLID_BREP"):
            faces = tuple(self._faces(self._simple(brep.entity.params[1])))
            corners = np.array(sorted({tuple(p) for face in faces for loop in face.loops for p in loop}))
            yield Solid(self._product(brep.ref), self._colour(brep.ref), faces, corners)

    def _faces(self, shell: Any) -> Iterator[Face]:
        for reference in shell.params[1]:
            _, bounds, surface, _ = self._simple(reference).params
            loops = tuple(self._loop(self._simple(bound)) for bound in bounds)
            yield self._face(self._simple(surface), loops)

    def _face(self, surface: Any, loops: tuple[Vector, ...]) -> Face:
        kind = surface.name
        if kind == "SURFACE_OF_LINEAR_EXTRUSION":
            vector = self._simple(surface.params[2])
            return Face(kind, self._direction(vector.params[1]), None, None, loops)
        origin, axis, across = self._placement(surface.params[1])
        if kind == "PLANE":
            return Face(kind, across, (origin, axis), None, loops)
        assert kind == "CYLINDRICAL_SURFACE", f"{kind}: no straight line sweeps this surface"
        return Face(kind, axis, (origin, axis), float(surface.params[2]), loops)

    def _loop(self, bound: Any) -> Vector:
        edges = [self._oriented(self._simple(edge)) for edge in self._simple(bound.params[1]).params[1]]
        points = np.vstack([edge[:-1] for edge in edges])
        return points if _true(bound.params[2]) else points[::-1]

    def _oriented(self, edge: Any) -> Vector:
        _, start, end, curve, same = self._simple(edge.params[3]).params
        points = self._curve(self._simple(curve), self._vertex(start), self._vertex(end), _true(same))
        return points if _true(edge.params[4]) else points[::-1]

    def _curve(self, curve: Any, start: Vector, end: Vector, same: bool) -> Vector:
        """Return points along a curve from start to end, both among them."""
        if curve.name == "LINE":
            return np.array([start, end])
        origin, axis, major = self._placement(curve.params[1])
        assert curve.name in ("CIRCLE", "ELLIPSE"), curve.name
        a, b = float(curve.params[2]), float(curve.params[-1])
        minor = np.cross(axis, major)

        def angle(point: Vector) -> float:
            return float(np.arctan2((point - origin) @ minor / b, (point - origin) @ major / a))

        turn = (angle(end) - angle(start)) % (2 * pi)
        if np.allclose(start, end, atol=1e-7):
            turn = 2 * pi
        if not same:
            turn -= 2 * pi if turn < 2 * pi else 0
            turn = -2 * pi if np.allclose(start, end, atol=1e-7) else turn
        at = angle(start) + turn * np.linspace(0, 1, SEGMENTS)
        points = origin + a * np.cos(at)[:, None] * major + b * np.sin(at)[:, None] * minor
        assert np.allclose(points[-1], end, atol=1e-4), "an edge ends where its curve does not pass"
        return points

    def _vertex(self, reference: Any) -> Vector:
        return self._point(self._simple(reference).params[1])

    def _point(self, reference: Any) -> Vector:
        return np.array([float(c) for c in self._simple(reference).params[1]])

    def _direction(self, reference: Any) -> Vector:
        way = self._point(reference)
        return way / np.linalg.norm(way)

    def _placement(self, reference: Any) -> tuple[Vector, Vector, Vector]:
        """Return origin, axis and reference direction, made square to the axis (ISO 10303-42)."""
        _, origin, axis, across = self._simple(reference).params
        z, x = self._direction(axis), self._direction(across)
        x = x - (x @ z) * z
        return self._point(origin), z, x / np.linalg.norm(x)

    def _product(self, brep: Any) -> str:
        """Return the name of the product whose shape holds a solid: shape, definition, formation, product."""
        shapes = self._named("ADVANCED_BREP_SHAPE_REPRESENTATION")
        holding = next(one.ref for one in shapes if brep in one.entity.params[1])
        shown = next(
            one.entity.params[0]
            for one in self._named("SHAPE_DEFINITION_REPRESENTATION")
            if one.entity.params[1] == holding
        )
        definition = self._simple(self._simple(shown).params[2])
        formation = self._simple(definition.params[2])
        return str(self._simple(formation.params[2]).params[0])

    def _colour(self, brep: Any) -> tuple[float, float, float]:
        styled = next(one.entity for one in self._named("STYLED_ITEM") if one.entity.params[2] == brep)
        (found,) = set(self._colours_under(styled.params[1]))
        return found

    def _colours_under(self, value: Any) -> Iterator[tuple[float, float, float]]:
        if p21.is_parameter_list(value):
            for one in value:
                yield from self._colours_under(one)
        elif p21.is_reference(value) and p21.is_simple_entity_instance(self._data.instances[value]):
            entity = self._simple(value)
            if entity.name == "COLOUR_RGB":
                yield tuple(float(c) for c in entity.params[1:4])
            elif "STYLE" in entity.name:
                yield from self._colours_under(entity.params)


def _true(value: Any) -> bool:
    return str(getattr(value, "value", value)).strip(".") == "T"
