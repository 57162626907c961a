"""What a simulation needs besides the text of the programs: stock, tools, what must remain, what may be left.

The frame is the program's own: x and y from the zero that the operator sets at a corner of the stock, z up
from the stock's top, so that wood lies at -thickness ≤ z ≤ 0 and the bed below it. All in mm.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import radians, tan
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Corner = Literal["front left", "front right", "back left", "back right"]  # front: least y; left: least x
Shape = Literal["flat", "ball", "v", "drill"]
Ring = tuple[tuple[float, float], ...]

SHARES: Mapping[Corner, tuple[int, int]] = {
    "front left": (0, 0),
    "front right": (1, 0),
    "back left": (0, 1),
    "back right": (1, 1),
}


@dataclass(frozen=True)
class Stock:
    """A board or block held on the bed, its length along x. `zero` is the corner at which x = y = 0."""

    length_mm: float
    width_mm: float
    thickness_mm: float
    zero: Corner = "front left"

    def __post_init__(self) -> None:
        if min(self.length_mm, self.width_mm, self.thickness_mm) <= 0:
            raise ValueError(f"stock needs a length, a width and a thickness above 0, not {self}")

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Return least x, least y, greatest x, greatest y."""
        right, back = SHARES[self.zero]
        x, y = -right * self.length_mm, -back * self.width_mm
        return (x, y, x + self.length_mm, y + self.width_mm)


@dataclass(frozen=True)
class Tool:
    """A cutter that points down. Its tip, which is what a program moves, is the lowest point on its axis.

    `flute_mm` is how far up from the tip it cuts; `cuts_centre` says whether its end cuts right to the axis,
    so that it may be plunged. `angle_deg` is the included angle of a v cutter or of a drill's point; the
    latter is 118° on common twist drills (common practice, no source) and 180° on one with a flat end.
    """

    name: str
    shape: Shape
    diameter_mm: float
    flute_mm: float
    cuts_centre: bool = True
    angle_deg: float = 0.0

    def __post_init__(self) -> None:
        if min(self.diameter_mm, self.flute_mm) <= 0:
            raise ValueError(f"{self.name}: diameter and flute length must be above 0")
        pointed = self.shape in ("v", "drill")
        if pointed and not 0 < self.angle_deg <= 180:
            raise ValueError(f"{self.name}: a {self.shape} cutter needs the angle of its point, up to 180°")
        if not pointed and self.angle_deg:
            raise ValueError(f"{self.name}: a {self.shape} cutter has no angle at its point")

    @property
    def radius_mm(self) -> float:
        return self.diameter_mm / 2

    @property
    def rise(self) -> float:
        """Return how much a point rises for each mm from the axis: 0 for a flat or a ball end."""
        return 1 / tan(radians(self.angle_deg / 2)) if self.angle_deg else 0.0


@dataclass(frozen=True, eq=False)
class Part:
    """What must remain: triangles of the finished part where it lies in the stock, outward ones.

    `points` has shape (n, 3) in mm, `triangles` shape (m, 3), counter-clockwise seen from outside. What
    another face hangs over is not asked for. Wood beside a part is waste, but the part's walls must be cut.
    """

    name: str
    points: NDArray[np.float64]
    triangles: NDArray[np.int64]


@dataclass(frozen=True)
class Spared:
    """Where wood may be left on purpose, up to z = `top_mm`: a tab, letters cut later, a holding end.

    `ring` is a closed outline seen from above, without its first point again. Nothing may be gouged there.
    """

    why: str
    ring: Ring
    top_mm: float = 0.0


@dataclass(frozen=True)
class Allowances:
    """What a program may do without being wrong, in mm.

    - `gouge_mm`: how deep it may cut into a part; `left_mm`: what it may leave on a part;
    - `scallop_mm`: how high the ridges between passes may stand on faces that are neither level nor plumb, 0
      where there are no such passes; measured on triangles, which stand off the true face by up to `mesh_mm`;
    - `into_bed_mm`: how far below the stock a cut through it may go;
    - `beyond_mm`: how far outside the stock the cutter's axis may pass.
    """

    gouge_mm: float = 0.05
    left_mm: float = 0.05
    scallop_mm: float = 0.0
    mesh_mm: float = 0.01
    into_bed_mm: float = 0.0
    beyond_mm: float = 0.0
    spared: tuple[Spared, ...] = ()

    @property
    def ridge_mm(self) -> float:
        """Return how high wood may stand on sloped faces."""
        return self.scallop_mm + 1.5 * self.mesh_mm if self.scallop_mm else self.left_mm


@dataclass(frozen=True)
class Run:
    """One program: its text, and the tool that is in the spindle while it runs.

    `block_delete` is the operator's switch by which lines that begin with a slash are passed over.
    """

    name: str
    text: str
    tool: Tool
    block_delete: bool = False


@dataclass(frozen=True)
class Job:
    """Programs run one after the other on one piece of stock, and the parts that they must leave of it.

    With no parts, nothing is said about gouges and wood left: for a program of which only the text is known.
    """

    stock: Stock
    runs: tuple[Run, ...]
    parts: tuple[Part, ...] = ()
    allowances: Allowances = Allowances()
    name: str = ""
