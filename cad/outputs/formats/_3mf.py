"""3MF in mm: parts as they sit in the plane, printed pieces on the bed; names, colours and places kept.

Written by lib3mf, the reference implementation of the format: it loads in some 30 ms, writes a piece in a
few more, fixes the dates in its archive and lets the ids be set. (A module's name cannot begin with a
digit; `cad.outputs.formats` leaves the underscore out.)
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any
from uuid import NAMESPACE_URL, uuid5

import numpy as np
from numpy.typing import NDArray

from cad.kernel.mesh import Mesh
from cad.kernel.placing import turned_to_fit
from cad.outputs.files import Corner, Matrix, Measure, OutFile
from cad.outputs.formats.step import PIECE_COLOURS
from cad.outputs.meshes import Laid, Meshes
from cad.outputs.product import Product
from cad.parts import Colour

Array = NDArray[np.float64]


def each(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield parts/*.3mf and, for what is printed, fixtures/*.3mf."""
    bed = product.plan.spec.shop.printer.volume[:2]
    for part in product.parts:
        mesh, measure = meshes.of(part.solid), meshes.measure(part.solid)
        place = _centred(measure, bed)
        data = threemf_bytes(part.name, mesh, part.colour, place)
        yield OutFile(f"parts/{part.name}.3mf", data, part.name, _moved(measure, place), _rows(place))
    for piece in product.pieces():
        if piece.made == "printed":
            laid = meshes.laid(piece)
            fitting = turned_to_fit(laid.mesh.points, bed)
            turn = np.eye(4) if fitting is None else fitting
            measure = _turned(laid, turn)
            shift = _centred(measure, bed)
            data = threemf_bytes(piece.name, laid.mesh, PIECE_COLOURS[piece.made], shift @ turn)
            placement = _rows(shift @ turn @ np.array(laid.matrix))
            yield OutFile(f"fixtures/{piece.name}.3mf", data, piece.name, _moved(measure, shift), placement)


def threemf_bytes(name: str, mesh: Mesh, colour: Colour, place: Array) -> bytes:
    """Return a 3MF of one named and coloured mesh, set down by a 4 × 4 matrix (mm, points as columns).

    Coordinates are single precision, as lib3mf keeps them: corners that fall together become one.
    """
    lib, wrapper = _library()
    model = wrapper.CreateModel()
    model.SetUnit(lib.ModelUnit.MilliMeter)
    model.SetLanguage("en")
    materials = model.AddBaseMaterialGroup()
    material = materials.AddMaterial(name, wrapper.FloatRGBAToColor(*colour, 1.0))
    item = model.AddMeshObject()
    item.SetName(name)
    points, triangles = _single(mesh)
    item.SetGeometry(
        (lib.Position * len(points)).from_buffer(points),
        (lib.Triangle * len(triangles)).from_buffer(triangles),
    )
    item.SetObjectLevelProperty(materials.GetResourceID(), material)
    built = model.AddBuildItem(item, _transform(lib, place))
    # The library would draw ids by lot; made from the name they are the same in every run.
    item.SetUUID(_id(name, "object"))
    built.SetUUID(_id(name, "item"))
    model.SetBuildUUID(_id(name, "build"))
    return bytes(model.QueryWriter("3mf").WriteToBuffer())


@cache
def _library() -> tuple[Any, Any]:
    """Return lib3mf and its one wrapper, loaded only when a 3MF is wanted."""
    import lib3mf

    return lib3mf, lib3mf.get_wrapper()


def _single(mesh: Mesh) -> tuple[NDArray[np.float32], NDArray[np.uint32]]:
    """Return points and triangles in single precision, without triangles that vanish by it."""
    single = mesh.points.astype(np.float32) + np.float32(0)
    points, inverse = np.unique(single, axis=0, return_inverse=True)
    joined = inverse.reshape(-1)[mesh.triangles].astype(np.uint32)
    a, b, c = joined.T
    return np.ascontiguousarray(points), np.ascontiguousarray(joined[(a != b) & (b != c) & (c != a)])


def _transform(lib: Any, place: Array) -> Any:
    """Return a matrix as lib3mf has it: four rows, of which the last is the shift (row vectors)."""
    transform = lib.Transform()
    for i in range(4):
        for j in range(3):
            transform.Fields[i][j] = float(place[j, i])
    return transform


def _turned(laid: Laid, turn: Array) -> Measure:
    """Return the measures of a piece turned about z: as the kernel has them, or as its triangles have."""
    if (turn == np.eye(4)).all():
        return laid.measure
    points = laid.mesh.moved(turn).points
    return replace(laid.measure, low=_corner(points.min(axis=0)), high=_corner(points.max(axis=0)))


def _centred(measure: Measure, bed: tuple[float, float]) -> Array:
    """Return the shift that sets a box down in the middle of the bed, whose corner is x = y = 0."""
    low, high = np.array(measure.low), np.array(measure.high)
    middle = (low + high) / 2
    shift = np.eye(4)
    shift[:3, 3] = np.round([bed[0] / 2 - middle[0], bed[1] / 2 - middle[1], -low[2]], 6) + 0.0
    return shift


def _moved(measure: Measure, shift: Array) -> Measure:
    low, high = (_corner(np.array(corner) + shift[:3, 3]) for corner in (measure.low, measure.high))
    return replace(measure, low=low, high=high)


def _corner(point: Array) -> Corner:
    x, y, z = (np.round(point, 6) + 0.0).tolist()
    return (x, y, z)


def _rows(matrix: Array) -> Matrix:
    return tuple((r[0], r[1], r[2], r[3]) for r in (np.round(matrix, 12) + 0.0).tolist())


def _id(name: str, what: str) -> str:
    return str(uuid5(NAMESPACE_URL, f"planewright:{name}:{what}"))
