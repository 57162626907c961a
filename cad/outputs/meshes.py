"""What several formats want of one solid, made once: its triangles, its measures, its place on the bed."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from typing import TypeVar, cast

import numpy as np
from cadquery import Location, Solid

from cad.geometry.cuts import NotFlat, Planform
from cad.kernel.lettered import unlettered
from cad.kernel.measure import extent, flat_face_at, volume_mm3
from cad.kernel.mesh import Mesh, tessellate
from cad.kernel.placing import laid_down, matrix_of
from cad.kernel.planform import as_cut, planform
from cad.outputs.files import Corner, Matrix, Measure
from fixtures.bench.model import Piece


@dataclass(frozen=True, eq=False)
class Laid:
    """A piece as it lies on the print bed or the sheet."""

    location: Location  # from where it stands on the work
    matrix: Matrix  # the same
    mesh: Mesh
    measure: Measure


Made = TypeVar("Made")


class Meshes:
    """The triangles of solids, kept for as long as one set of files is being made."""

    def __init__(self) -> None:
        self._meshes: dict[Solid, Mesh] = {}
        self._laid: dict[Solid, Laid] = {}
        self._measures: dict[Solid, Measure] = {}
        self._planforms: dict[Solid, Planform | NotFlat] = {}
        self._kept: dict[Hashable, object] = {}

    def of(self, solid: Solid) -> Mesh:
        """Return the solid's triangles where it stands, in mm."""
        if solid not in self._meshes:
            self._meshes[solid] = tessellate(solid)
        return self._meshes[solid]

    def kept(self, key: Hashable, make: Callable[[], Made]) -> Made:
        """Return what several formats want, made once for all that it depends on: the key."""
        if key not in self._kept:
            self._kept[key] = make()
        return cast(Made, self._kept[key])

    def measure(self, *solids: Solid) -> Measure:
        """Return the volume of solids together and the box around them where they stand, by the kernel."""
        for solid in solids:
            if solid not in self._measures:
                self._measures[solid] = _measured(volume_mm3(solid), solid)
        return around([self._measures[solid] for solid in solids])

    def laid(self, piece: Piece) -> Laid:
        """Return the piece laid on its bed face. Raises KernelError when it cannot lie there."""
        if piece.solid not in self._laid:
            self._laid[piece.solid] = self._lay(piece)
        return self._laid[piece.solid]

    def planform(self, piece: Piece) -> Planform | NotFlat:
        """Return what to cut for a piece laid on its bed face, or why it is no plate.

        Raises KernelError when it cannot lie there or an edge of it cannot be drawn.
        """
        if piece.solid not in self._planforms:
            self._planforms[piece.solid] = self._read(piece)
        return self._planforms[piece.solid]

    def _read(self, piece: Piece) -> Planform | NotFlat:
        location, sawn = self.laid(piece).location, piece.sawn
        found = planform(piece.solid.moved(location), piece.name)
        if sawn is None or isinstance(found, NotFlat):
            return found
        before = planform(sawn.before.moved(location), piece.name)
        waste = planform(sawn.waste.moved(location), piece.name)
        if isinstance(before, NotFlat):
            return before
        return waste if isinstance(waste, NotFlat) else as_cut(found, before, waste)

    def _lay(self, piece: Piece) -> Laid:
        mesh, bed = self.of(piece.solid), piece.bed_face
        face = flat_face_at(unlettered(piece.solid), bed.point, bed.normal, piece.name)
        location = laid_down(mesh, face, piece.name)
        matrix = matrix_of(location)
        # To 1e-9 mm: what lies on the bed lies at 0, not at the noise of a turn.
        moved = mesh.moved(matrix)
        level = Mesh(np.round(moved.points, 9) + 0.0, moved.triangles)
        rows = tuple((r[0], r[1], r[2], r[3]) for r in (np.round(matrix, 12) + 0.0).tolist())
        volume = self.measure(piece.solid).volume_mm3
        return Laid(location, rows, level, _measured(volume, piece.solid.moved(location)))


def around(measures: Sequence[Measure]) -> Measure:
    """Return the sum of volumes and the box around all boxes."""
    low = np.min([measure.low for measure in measures], axis=0)
    high = np.max([measure.high for measure in measures], axis=0)
    return Measure(round(sum(m.volume_mm3 for m in measures), 6), _tidy(low.tolist()), _tidy(high.tolist()))


def _measured(volume_mm3: float, solid: Solid) -> Measure:
    low, high = extent(solid)
    return Measure(round(volume_mm3, 6), _tidy(low), _tidy(high))


def _tidy(corner: Sequence[float]) -> Corner:
    x, y, z = (round(c, 6) + 0.0 for c in corner)
    return (x, y, z)
