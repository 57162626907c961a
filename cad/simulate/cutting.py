"""What is wrong with how a stroke meets wood: at full speed, with a still spindle, with the wrong cutter."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import atan2, degrees, hypot

import numpy as np
from numpy.typing import NDArray

from cad.simulate.finding import Finding, Kind, where
from cad.simulate.grid import Grid
from cad.simulate.job import Tool
from cad.simulate.moves import Move
from cad.simulate.strokes import Floats, Stroke, distance, surface

TOUCH_MM = 0.01  # less wood than this is the noise of rounded numbers
RIM_MM = 0.02  # how much narrower a cutter is taken for what it runs into at full speed
STEEPEST_RAMP = 0.18  # a slope of 10° for a cutter whose end does not cut; common practice, no source
RING_CELLS = 1.5  # how far round the cutter wood is looked for that stands beside it


@dataclass(frozen=True, eq=False)
class Cut:
    """A stroke that takes off wood: `off` is how much over each cell of a window, `x` and `y` its middles."""

    program: str
    move: Move
    tool: Tool
    stroke: Stroke
    off: Floats
    x: Floats
    y: Floats
    cell_mm: float

    def wrong(self) -> Iterator[Finding]:
        """Yield all that is wrong with it but its depth."""
        if self.move.rapid:
            yield from self._rapid()
            return
        if self.move.rpm <= 0:
            how = "still" if self.move.rpm == 0 else "turning backwards"
            yield self._found("spindle", f"cuts with the spindle {how}", "Write S and M3 before it", self.off)
        (ax, ay, az), (bx, by, bz) = self.stroke.a, self.stroke.b
        aside, down = hypot(bx - ax, by - ay), az - bz
        if self.tool.shape == "drill" and aside > TOUCH_MM:
            cure = "Lift it out before it goes aside"
            yield self._found("sideways", "a drill cuts sideways", cure, self.off)
        if not self.tool.cuts_centre and down > max(TOUCH_MM, STEEPEST_RAMP * aside):
            core = self._within(max(self.tool.radius_mm / 2, self.cell_mm))
            if core.max() > TOUCH_MM:
                steep = f"down at {degrees(atan2(down, aside)):.0f}°"
                how = steep if aside > TOUCH_MM else "straight down"
                words = f"goes {how} with a cutter that does not cut in its centre"
                cure = "Go down on a ramp of at most 10°, or in a bored hole"
                yield self._found("plunge", words, cure, core)

    def _rapid(self) -> Iterator[Finding]:
        inside = self._within(self.tool.radius_mm - RIM_MM)
        deepest = float(inside.max())
        if deepest > TOUCH_MM:
            words = f"G0 goes {deepest:.2f} mm deep through wood"
            cure = "Raise the cutter above the stock first, or use G1"
            yield self._found("rapid", words, cure, inside, round(deepest, 4))

    def _within(self, radius: float) -> Floats:
        """Return what is taken off no further than a radius from the stroke."""
        return np.where(distance(self.stroke, self.x, self.y) <= radius, self.off, 0.0)

    def _found(self, kind: Kind, words: str, cure: str, taken: Floats, amount: float = 0.0) -> Finding:
        """Return a finding where most is taken off."""
        row, column = np.unravel_index(int(taken.argmax()), taken.shape)
        place = (float(self.x[0, column]), float(self.y[row, 0]), self.stroke.lowest)
        words = f"{words}, at {where(place)}"
        return Finding(kind, self.program, self.move.line, words, cure, place, amount)


def too_deep(
    program: str, line: int, tool: Tool, stroke: Stroke, grid: Grid, height: NDArray[np.float32]
) -> Iterator[Finding]:
    """Yield a finding where wood stands beside the cutter above its flutes; `height` is the wood's."""
    if tool.flute_mm >= -stroke.lowest:
        return
    ring = RING_CELLS * grid.cell_mm
    wider = replace(tool, shape="flat", angle_deg=0.0, diameter_mm=tool.diameter_mm + 2 * ring)
    window = grid.window(stroke.box(wider.radius_mm))
    if window is None:
        return
    tip = surface(wider, stroke, grid.x[None, window[1]], grid.y[window[0], None])
    stands = float((height[window] - tip).max())
    if stands > tool.flute_mm + TOUCH_MM:
        place = min(stroke.a, stroke.b, key=lambda end: end[2])
        words = f"wood stands {stands:.2f} mm up the cutter, which cuts {tool.flute_mm:g} mm high"
        cure = "Take a cutter with longer flutes, or cut the wood beside it away first"
        amount = round(stands - tool.flute_mm, 4)
        yield Finding("flute", program, line, f"{words}, at {where(place)}", cure, place, amount)
