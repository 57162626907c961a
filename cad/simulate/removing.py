"""One program run on the stock: what each move takes off, and what is wrong with how it does."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cad.simulate.bounds import beyond
from cad.simulate.cutting import TOUCH_MM, Cut, too_deep
from cad.simulate.finding import Finding
from cad.simulate.grid import Grid
from cad.simulate.job import Allowances, Stock
from cad.simulate.moves import Move
from cad.simulate.strokes import Pass, surface

NOISE_MM = 1e-5  # of heights kept in four bytes each
STROKES_TOLD = 64  # strokes from one word on progress to the next


@dataclass
class Wood:
    """The stock as it stands: the height of each cell, and which move of which program took it there.

    Changed in place as programs run: heights of 6 million cells are not copied for each move. `taken_by`
    counts the moves of all programs one after the other, and is -1 for wood that is not yet cut.
    """

    grid: Grid
    height: NDArray[np.float32]
    taken_by: NDArray[np.int32]

    @classmethod
    def whole(cls, grid: Grid) -> Wood:
        shape = (grid.rows, grid.columns)
        return cls(grid, np.zeros(shape, np.float32), np.full(shape, -1, np.int32))


@dataclass(frozen=True)
class Removed:
    """What one program took off the stock, and what is wrong with how it did."""

    mm3: float
    findings: tuple[Finding, ...]


def remove(
    wood: Wood,
    program: str,
    moves: Sequence[Move],
    one: Pass,
    stock: Stock,
    allowances: Allowances,
    tell: Callable[[float], None],
) -> Removed:
    """Run a program's moves, and the strokes that they are, on the wood, in place.

    `tell` is told the share done.
    """
    tool, grid = one.tool, wood.grid
    findings = list(beyond(program, moves, stock, allowances))
    taken, x, y = 0.0, grid.x, grid.y
    for number, stroke in enumerate(one.strokes):
        if number % STROKES_TOLD == 0:
            tell(number / len(one.strokes))
        window = grid.window(stroke.box(tool.radius_mm)) if stroke.lowest < 0 else None
        if window is None:
            continue
        across, up = x[None, window[1]], y[window[0], None]
        old = wood.height[window].astype(np.float64)
        new = np.maximum(surface(tool, stroke, across, up), -stock.thickness_mm)
        off = old - new
        if off.max() <= NOISE_MM:
            continue
        if off.max() > TOUCH_MM:
            move = moves[stroke.move]
            findings += Cut(program, move, tool, stroke, off, across, up, grid.cell_mm).wrong()
            findings += too_deep(program, move.line, tool, stroke, grid, wood.height)
        cut = off > NOISE_MM
        taken += float(off[cut].sum())
        wood.height[window] = np.where(cut, new, old)
        wood.taken_by[window][cut] = one.first_move + stroke.move
    tell(1.0)
    return Removed(taken * grid.cell_mm**2, tuple(findings))
