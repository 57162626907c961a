"""A section seen from above, on a fine grid across: its top, and how low each cutter may go over it.

Across (y) counts from the left side of the block, height (z) from its top; both in mm.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from cad.outline import Line, Path
from cad.routing.model import Cutter
from cad.routing.offsets import grown, polygons, region

Array = NDArray[np.float64]

GRID_MM = 0.005
LEVEL_MM = 1e-6
FAR_MM = -1e6  # the height beside the block


@dataclass(frozen=True, eq=False)
class Section:
    """The section of a block with its upper left corner at 0, 0."""

    path: Path

    @cached_property
    def area(self) -> Polygon:
        return region(self.path)

    @cached_property
    def size(self) -> tuple[float, float]:
        """Width and height of the block."""
        low_y, low_z, high_y, high_z = self.path.bounds()
        return (high_y - low_y, high_z - low_z)

    @cached_property
    def grid(self) -> Array:
        """Places across, from one side of the block to the other."""
        count = round(self.size[0] / GRID_MM) + 1
        return np.linspace(0.0, self.size[0], count)

    @cached_property
    def top(self) -> Array:
        """Height of the wood that must stay at each place."""
        return self.tops(self.area)

    @property
    def floors(self) -> Iterable[Line]:
        """The level faces that look up, below the top of the block."""
        for one in self.path:
            if not isinstance(one, Line) or abs(one.end[1] - one.start[1]) > LEVEL_MM:
                continue
            if one.end[0] < one.start[0] and one.start[1] < -LEVEL_MM:
                yield one

    def tops(self, area: BaseGeometry) -> Array:
        """Return the greatest height of an area at each place of the grid."""
        heights = np.full(len(self.grid), FAR_MM)
        for part in polygons(area):
            ring = np.asarray(part.exterior.coords)
            for (y0, z0), (y1, z1) in pairwise(ring):
                (left, at_left), (right, at_right) = sorted(((y0, z0), (y1, z1)))
                first, last = np.searchsorted(self.grid, (left - 1e-9, right + 1e-9))
                if first < last:
                    line = np.interp(self.grid[first:last], (left, right), (at_left, at_right))
                    heights[first:last] = np.maximum(heights[first:last], line)
        return heights

    def under(self, heights: Array) -> BaseGeometry:
        """Return the area between heights at the places of the grid and the foot of the block."""
        width, height = self.size
        foot = [(width, -height), (0.0, -height)]
        # One place of four is enough here: with all of them shapely would take many times as long.
        over = np.maximum(heights, -height)
        top = np.column_stack((self.grid, over))[:-1:4]
        return Polygon(np.concatenate((top, [(width, over[-1])], foot))).buffer(0)

    def flat_tips(self, cutter: Cutter, leave: float = 0.0) -> Array:
        """Return how low a flat end may go at each place, leaving so much wood all over."""
        top = self.tops(grown(self.area, leave)) if leave else self.top
        # One step of the grid wider than the cutter: a wall lies anywhere between two places.
        reach = int(np.ceil(cutter.radius / GRID_MM)) + 1
        beside = np.full(reach, FAR_MM)
        spread = np.concatenate((beside, top, beside))
        return np.asarray(np.lib.stride_tricks.sliding_window_view(spread, 2 * reach + 1).max(axis=1))

    def ball_centres(self, cutter: Cutter) -> Array:
        """Return how low the centre of a round end may go at each place.

        As high as at the places beside it, if they are higher: it drops sheer beside what hangs over.
        """
        spread = np.pad(self.tops(grown(self.area, cutter.radius)), 1, mode="edge")
        return np.maximum(np.maximum(spread[:-2], spread[1:-1]), spread[2:])


def runs(mask: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Return the first and last index of each stretch where a mask holds."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], mask, [False])).astype(np.int8)))
    return [(int(a), int(b) - 1) for a, b in zip(edges[::2], edges[1::2], strict=True)]
