"""One program run on the stock: what each move takes off, and what is wrong with how it does."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import hypot
from operator import itemgetter

import numpy as np
from numpy.typing import NDArray

from cad.simulate.finding import Finding, Kind, Place, where
from cad.simulate.grid import Grid, Window
from cad.simulate.job import Allowances, Stock, Tool
from cad.simulate.moves import Move
from cad.simulate.strokes import Floats, Pass, Stroke, distance, surface

NOISE_MM = 1e-5  # of heights kept in four bytes each
TOUCH_MM = 0.01  # less wood than this is the noise of rounded numbers
RIM_MM = 0.02  # how much narrower a cutter is taken for what it runs into at full speed
STEEPEST_RAMP = 0.18  # a slope of 10° for a cutter whose end does not cut; common practice, no source


@dataclass
class Wood:
    """The stock as it stands: the height of each cell, and which move of which program took it there.

    Changed in place as programs run: heights of 6 million cells are not copied for each move.
    """

    grid: Grid
    height: NDArray[np.float32]
    taken_by: NDArray[np.int32]  # index into all moves of all programs, -1 for wood not yet cut

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
    tool, pieces = one.tool, one.strokes
    findings = list(_beyond(program, moves, tool, stock, allowances))
    taken = 0.0
    x, y = wood.grid.x, wood.grid.y
    for number, stroke in enumerate(pieces):
        if number % 64 == 0:
            tell(number / len(pieces))
        window = wood.grid.window(stroke.box(tool.radius_mm)) if stroke.lowest < 0 else None
        if window is None:
            continue
        across, up = x[None, window[1]], y[window[0], None]
        old = wood.height[window].astype(np.float64)
        new = np.maximum(surface(tool, stroke, across, up), -stock.thickness_mm)
        off = old - new
        deepest = off.max()
        if deepest <= NOISE_MM:
            continue
        move = moves[stroke.move]
        if deepest > TOUCH_MM:
            findings += _wrong_cuts(program, move, tool, stroke, off, across, up, wood.grid.cell_mm)
            findings += _too_deep(program, move, tool, stroke, wood, stock)
        cut = off > NOISE_MM
        taken += float(off[cut].sum())
        wood.height[window] = np.where(cut, new, old)
        wood.taken_by[window][cut] = one.first_move + stroke.move
    tell(1.0)
    return Removed(taken * wood.grid.cell_mm**2, tuple(findings))


def _wrong_cuts(
    program: str, move: Move, tool: Tool, stroke: Stroke, off: Floats, x: Floats, y: Floats, cell_mm: float
) -> Iterator[Finding]:
    """Yield what is wrong with a stroke that meets wood: `off` is how much it takes off over each cell."""

    def found(kind: Kind, words: str, cure: str, taken: Floats, amount: float = 0.0) -> Finding:
        row, column = np.unravel_index(int(taken.argmax()), taken.shape)
        place = (float(x[0, column]), float(y[row, 0]), stroke.lowest)
        return Finding(kind, program, move.line, f"{words}, at {where(place)}", cure, place, amount)

    if move.rapid:
        inside = np.where(distance(stroke, x, y) <= tool.radius_mm - RIM_MM, off, 0.0)
        if inside.max() > TOUCH_MM:
            words = f"G0 goes {inside.max():.2f} mm deep through wood"
            yield found(
                "rapid",
                words,
                "Raise the cutter above the stock first, or use G1",
                inside,
                round(float(inside.max()), 4),
            )
        return
    if move.rpm <= 0:
        words = "cuts with the spindle still" if move.rpm == 0 else "cuts with the spindle turning backwards"
        yield found("spindle", words, "Write S and M3 before it", off)
    aside = hypot(stroke.b[0] - stroke.a[0], stroke.b[1] - stroke.a[1])
    if tool.shape == "drill" and aside > TOUCH_MM:
        yield found("sideways", "a drill cuts sideways", "Lift it out before it goes aside", off)
    down = stroke.a[2] - stroke.b[2]
    if not tool.cuts_centre and down > TOUCH_MM and down > STEEPEST_RAMP * aside:
        core = np.where(distance(stroke, x, y) <= max(tool.radius_mm / 2, cell_mm), off, 0.0)
        if core.max() > TOUCH_MM:
            words = "goes straight down with a cutter that does not cut in its centre"
            yield found("plunge", words, "Go down on a ramp of at most 10°, or in a bored hole", core)


def _too_deep(
    program: str, move: Move, tool: Tool, stroke: Stroke, wood: Wood, stock: Stock
) -> Iterator[Finding]:
    """Yield a finding where wood stands at the cutter above its flutes."""
    if tool.flute_mm >= min(-stroke.lowest, stock.thickness_mm):
        return
    wider = replace(tool, shape="flat", angle_deg=0.0, diameter_mm=tool.diameter_mm + 3 * wood.grid.cell_mm)
    window = wood.grid.window(stroke.box(wider.radius_mm))
    assert window is not None  # it has been cut in
    standing = wood.height[window] - _level(wider, stroke, wood.grid, window)
    over = float(standing.max()) - tool.flute_mm
    if over > TOUCH_MM:
        place: Place = stroke.a if stroke.a[2] <= stroke.b[2] else stroke.b
        words = (
            f"wood stands {over + tool.flute_mm:.2f} mm up the cutter, which cuts {tool.flute_mm:g} mm high"
        )
        cure = "Take a cutter with longer flutes, or cut the wood beside it away first"
        yield Finding("flute", program, move.line, f"{words}, at {where(place)}", cure, place, round(over, 4))


def _level(tool: Tool, stroke: Stroke, grid: Grid, window: Window) -> Floats:
    return surface(tool, stroke, grid.x[None, window[1]], grid.y[window[0], None])


def _beyond(
    program: str, moves: Sequence[Move], tool: Tool, stock: Stock, allowances: Allowances
) -> Iterator[Finding]:
    """Yield the moves that leave the stock or go too deep below it."""
    low_x, low_y, high_x, high_y = stock.bounds
    lowest = -stock.thickness_mm - allowances.into_bed_mm

    def out(place: Place) -> float:
        return max(low_x - place[0], place[0] - high_x, low_y - place[1], place[1] - high_y)

    for move in moves:
        points = move.points(0.05)
        place = max(points, key=out)
        amount = out(place) - allowances.beyond_mm
        if amount > TOUCH_MM:
            words = f"goes {out(place):.2f} mm outside the stock, to {where(place)}"
            cure = "Check zero, units and the size of the stock"
            yield Finding("outside", program, move.line, words, cure, place, round(amount, 4))
        place = min(points, key=itemgetter(2))
        if lowest - place[2] > TOUCH_MM:
            words = f"goes {-stock.thickness_mm - place[2]:.2f} mm below the stock, at {where(place)}"
            cure = f"Go no deeper than z {lowest:g}"
            yield Finding("bed", program, move.line, words, cure, place, round(lowest - place[2], 4))
