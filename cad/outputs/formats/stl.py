"""Binary STL in mm: parts where they sit in the plane, pieces laid on the print bed.

Written with numpy: a general mesh library takes most of a second to load, the file is five fields.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from cad.kernel.mesh import Mesh
from cad.outputs.files import OutFile
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product

HEAD = b"binary STL, mm, by planewright"  # must not begin with "solid", the mark of a text STL

_TRIANGLE = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])


def each(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield parts/*.stl and fixtures/*.stl."""
    for part in product.parts:
        data = stl_bytes(meshes.of(part.solid))
        yield OutFile(f"parts/{part.name}.stl", data, part.name, meshes.measure(part.solid))
    for piece in product.pieces():
        laid = meshes.laid(piece)
        data = stl_bytes(laid.mesh)
        yield OutFile(f"fixtures/{piece.name}.stl", data, piece.name, laid.measure, laid.matrix)


def stl_bytes(mesh: Mesh) -> bytes:
    """Return a binary STL: 80 bytes of header, the count, 50 bytes for each triangle, little endian.

    Triangles whose corners fall together in single precision are left out.
    """
    corners = (mesh.points.astype("<f4") + np.float32(0))[mesh.triangles]
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    kept = (a != b).any(axis=1) & (b != c).any(axis=1) & (c != a).any(axis=1)
    records = np.zeros(int(kept.sum()), dtype=_TRIANGLE)
    records["corners"] = corners[kept]
    records["normal"] = _normals(corners[kept].astype(np.float64))
    return b"".join((HEAD.ljust(80, b" "), struct.pack("<I", len(records)), records.tobytes()))


def _normals(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    turned = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(turned, axis=1, keepdims=True)
    # A sliver has no direction worth the name: STL allows a zero normal, to be worked out by the reader.
    return np.asarray(np.divide(turned, length, out=np.zeros_like(turned), where=length > 1e-12) + 0.0)
