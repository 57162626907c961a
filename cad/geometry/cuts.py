"""A flat plate as what is to be cut: plane paths and depths, without a solid. Needs no kernel."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

from cad.outline import Arc, Path, Point, mapped

Kind = Literal["engrave", "drill", "pocket", "inside", "outside", "sawn"]
KINDS: tuple[Kind, ...] = ("engrave", "drill", "pocket", "inside", "outside", "sawn")  # in order of cutting


@dataclass(frozen=True)
class Operation:
    """One cut, mm: a closed path seen from above, counter-clockwise, and how deep it goes from the top.

    - "outside": round the plate; "inside": a piece falls out of it; both go through.
    - "pocket": the path bounds a floor; `holes` are what stays standing in it.
    - "drill": the path is a whole circle (`diameter_mm`); bored or cut with a flat bottom unless `through`.
    - "engrave": the outline of letters, `holes` their counters.
    - "sawn": taken off later by another tool; shown to measure by, not cut on the router.
    """

    kind: Kind
    depth_mm: float
    path: Path
    holes: tuple[Path, ...] = ()
    through: bool = False

    @property
    def diameter_mm(self) -> float:
        """Diameter of the circle on which the path begins; 0 for a path that begins with a line."""
        first = self.path.segments[0]
        return 2 * first.radius if isinstance(first, Arc) else 0.0

    def moved(self, move: Callable[[Point], Point]) -> Operation:
        """Return the operation moved in the plane by a rigid motion that keeps the sense of turning."""
        return replace(self, path=mapped(self.path, move), holes=tuple(mapped(h, move) for h in self.holes))


@dataclass(frozen=True)
class Planform:
    """A plate: its thickness and its cuts, in the order of cutting. x and y start at 0."""

    name: str
    thickness_mm: float
    operations: tuple[Operation, ...]

    @property
    def outline(self) -> Path:
        """The plate's own outline."""
        return next(cut.path for cut in self.operations if cut.kind == "outside")

    @property
    def size(self) -> Point:
        """Length along x and width along y of the rectangle around the plate."""
        low_x, low_y, high_x, high_y = self.outline.bounds()
        return (high_x - low_x, high_y - low_y)


@dataclass(frozen=True)
class NotFlat:
    """Why a piece is no plate that can be cut from one side of a sheet."""

    name: str
    reason: str
