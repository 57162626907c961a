"""The triangles of a page in one blob: corners on a grid of 65 536 steps along each side of their box.

On 300 mm that is a grid of 0.005 mm, finer than the triangles themselves stand off the true surface.
"""

from __future__ import annotations

import base64
import gzip
from typing import Any

import numpy as np
from cadquery import Solid
from numpy.typing import NDArray

from cad.kernel.mesh import Mesh

STEPS = 65535  # of the grid, all that two bytes hold
LEVEL = 6


class Packer:
    """Numbers meshes as they are handed in, each solid once, and packs them."""

    def __init__(self) -> None:
        self._numbers: dict[Solid, int] = {}
        self._heads: list[dict[str, Any]] = []
        self._blobs: list[bytes] = []

    def add(self, solid: Solid, mesh: Mesh) -> int:
        """Return the number of the solid's mesh."""
        if solid not in self._numbers:
            self._numbers[solid] = len(self._heads)
            self._pack(mesh)
        return self._numbers[solid]

    def packed(self) -> dict[str, Any]:
        """Return the head of each mesh and the blob of all, as base64 of gzip.

        Each mesh holds its corners (three two-byte numbers each) and then its triangles (three numbers each,
        of two bytes or, where there are too many corners, four), both filled up to a multiple of four bytes.
        """
        blob = gzip.compress(b"".join(self._blobs), LEVEL, mtime=0)
        return {"meshes": self._heads, "geometry": base64.b64encode(blob).decode("ascii")}

    def _pack(self, mesh: Mesh) -> None:
        low = mesh.points.min(axis=0)
        step = np.maximum(np.ptp(mesh.points, axis=0), 1e-6) / STEPS
        grid = np.rint((mesh.points - low) / step).astype("<u2")
        wide = len(grid) > STEPS
        self._heads.append(
            {
                "corners": len(grid),
                "triangles": len(mesh.triangles),
                "wide": wide,
                "low": [round(float(c), 6) for c in low],
                "step": [float(f"{c:.9g}") for c in step],
            }
        )
        self._blobs += [_filled(grid), _filled(mesh.triangles.astype("<u4" if wide else "<u2"))]


def _filled(array: NDArray[Any]) -> bytes:
    data = array.tobytes()
    return data + b"\0" * (-len(data) % 4)
