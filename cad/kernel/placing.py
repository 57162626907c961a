"""Laying a piece down: from where it stands on its work to where it lies on a print bed or a sheet."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from cadquery import Face, Location, Plane, Vector
from numpy.typing import NDArray

from cad.errors import KernelError
from cad.kernel.mesh import CHORD_MM, Mesh

Array = NDArray[np.float64]


def laid_down(mesh: Mesh, face: Face, name: str) -> Location:
    """Return the move that lays a piece on one of its flat faces, ready to print or cut.

    `mesh` is the piece where it stands and `face` the flat face to lie on. Afterwards the face is on z = 0,
    the rectangle around the piece starts at x = y = 0 and its long side runs along x. That rectangle is the
    least among those with a side along a straight edge of the face.

    Raises KernelError when part of the piece stands below the face.
    """
    normal = _unit(np.array(face.normalAt().toTuple()))
    level = float(np.array(face.Center().toTuple()) @ normal)
    below = float((mesh.points @ normal).max()) - level
    if below > CHORD_MM:
        raise KernelError(
            name, "bed face", f"the piece reaches {below:.3f} mm below the face it should lie on"
        )
    frames = [_long_side_first(x, -normal, mesh.points) for x in _ways(face, normal)]
    best = min(frames, key=lambda frame: _rank(frame, mesh.points))
    low = (mesh.points @ best.T).min(axis=0)
    origin = best.T @ np.array([low[0], low[1], -level])
    plane = Plane(Vector(*origin), Vector(*best[0]), Vector(*best[2]))
    return Location(plane).inverse


def turned_to_fit(points: Array, bed: tuple[float, float]) -> Array | None:
    """Return the turn about z, a 4 × 4 matrix, with which a piece laid down fits the bed, or None.

    As it lies is tried first, then a quarter turn, then every degree: long pieces fit a bed from corner to
    corner. Points (n, 3) and bed sides in mm.
    """
    turns = [0.0, 90.0, *np.arange(1.0, 180.0)]
    angles = np.radians(turns)
    wide = np.ptp(points[:, :1] * np.cos(angles) - points[:, 1:2] * np.sin(angles), axis=0)
    deep = np.ptp(points[:, :1] * np.sin(angles) + points[:, 1:2] * np.cos(angles), axis=0)
    fitting = np.flatnonzero((wide <= bed[0] + 1e-6) & (deep <= bed[1] + 1e-6))
    return _about_z(float(turns[fitting[0]])) if len(fitting) else None


def _about_z(turn_deg: float) -> Array:
    angle = np.radians(turn_deg)
    matrix = np.eye(4)
    matrix[:2, :2] = [[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]]
    return np.round(matrix, 12) + 0.0


def matrix_of(location: Location) -> Array:
    """Return the 4 × 4 matrix of a location: lengths in mm, points as columns."""
    move = location.wrapped.Transformation()
    rows = [[move.Value(i, j) for j in range(1, 5)] for i in range(1, 4)]
    return np.array([*rows, [0.0, 0.0, 0.0, 1.0]])


def _ways(face: Face, normal: Array) -> Iterator[Array]:
    """Yield the directions of the straight edges around the face, and one fixed direction besides."""
    for edge in face.outerWire().Edges():
        if edge.geomType() == "LINE":
            yield _unit(np.array((edge.endPoint() - edge.startPoint()).toTuple()))
    yield _unit(np.cross(normal, np.eye(3)[int(np.argmin(np.abs(normal)))]))


def _long_side_first(x: Array, z: Array, points: Array) -> Array:
    """Return the frame, as rows, with z up and the longer side of the piece along its first axis."""
    y = np.cross(z, x)
    if np.ptp(points @ x) < np.ptp(points @ y) - 1e-6:
        x = y
    x = x if _leads(x) else -x
    return np.array([x, np.cross(z, x), z])


def _leads(x: Array) -> bool:
    """Return whether the first component of note is positive: one of a direction's two senses."""
    return bool(next((c for c in x if abs(c) > 1e-6), 1.0) > 0)


def _rank(frame: Array, points: Array) -> tuple[float, ...]:
    sizes = np.ptp(points @ frame[:2].T, axis=0)
    # Directions that do as well as each other are told apart by where they point.
    return (round(float(sizes[0] * sizes[1]), 2), *(-round(float(c), 6) for c in frame[0]))


def _unit(v: Array) -> Array:
    return np.asarray(v / np.linalg.norm(v))
