"""Where passes along a block lie across it: rough ones in steps of depth, level floors, a ball's."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cad.formulas.routing import ball_step_mm
from cad.routing.model import Cutter
from cad.routing.section import FAR_MM, GRID_MM, Section, runs
from cad.routing.track import levels
from cad.spec.router import Router

Array = NDArray[np.float64]

LOCUS_MM = 0.02  # between two places at which a ball may pass
CHECKED = 48  # places between two passes of a ball at which the ridge is measured


@dataclass(frozen=True)
class Pass:
    """One pass along the block: where the cutter's lowest point goes, across and height, mm."""

    y: float
    z: float


Group = tuple[Pass, ...]  # passes side by side, with no wood between that must stay


def rough(section: Section, cutter: Cutter, router: Router) -> tuple[Group, ...]:
    """Return the passes that take a block down in steps, leaving wood for the round cutter."""
    tips = section.flat_tips(cutter, router.leave)
    lowest = float(tips[tips > FAR_MM].min())
    if lowest > -1e-6:
        return ()
    groups = []
    for level in levels(0.0, lowest, router.block_step):
        for first, last in runs(tips <= level + 1e-9):
            groups.append(_across(section, first, last, level, cutter, router))
    return tuple(groups)


def floors(section: Section, cutter: Cutter, router: Router) -> tuple[Group, ...]:
    """Return the passes that cut level floors clean, to the walls beside them."""
    tips = section.flat_tips(cutter)
    groups = []
    for floor in section.floors:
        z = floor.start[1]
        within = (section.grid >= floor.end[0]) & (section.grid <= floor.start[0])
        for first, last in runs(within & (tips <= z + 1e-6)):
            groups.append(_across(section, first, last, z, cutter, router))
    return tuple(groups)


def _across(section: Section, first: int, last: int, z: float, cutter: Cutter, router: Router) -> Group:
    low, high = float(section.grid[first]), float(section.grid[last])
    count = int(np.ceil((high - low) / (router.stepover * cutter.diameter) - 1e-9))
    return tuple(Pass(float(y), z) for y in np.linspace(low, high, count + 1))


def finishing(section: Section, cutter: Cutter, scallop: float) -> tuple[Group, ...]:
    """Return the passes of a ball that leave no ridge higher than `scallop` between two of them."""
    # On a slope the grid keeps the ball off by a step or two, which the ridges must leave room for.
    ridge = max(scallop - 2 * GRID_MM, scallop / 2)
    return tuple(
        tuple(Pass(float(y), float(z) - cutter.radius) for y, z in _chosen(centres, cutter.radius, ridge))
        for centres in _loci(section, cutter)
    )


def _loci(section: Section, cutter: Cutter) -> list[Array]:
    """Return the ways of a ball's centre across the block wherever it cuts, in places LOCUS_MM apart."""
    heights = section.ball_centres(cutter)
    found = []
    for first, last in runs(heights < cutter.radius - 1e-6):
        corners = np.column_stack((section.grid[first : last + 1], heights[first : last + 1]))
        lengths = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))))
        count = max(int(np.ceil(lengths[-1] / LOCUS_MM)), 1)
        at = np.linspace(0.0, lengths[-1], count + 1)
        found.append(np.column_stack([np.interp(at, lengths, corners[:, i]) for i in range(2)]))
    return found


def _chosen(centres: Array, radius: float, scallop: float) -> Array:
    """Return those of a ball's centres that are enough: from each the farthest with no ridge too high."""
    step = ball_step_mm(scallop, radius)
    chosen = [0]
    while chosen[-1] < len(centres) - 1:
        here = chosen[-1]
        far = min(here + int(step / LOCUS_MM) + 1, len(centres) - 1)
        while far > here + 1 and not _is_smooth(centres[here : far + 1], radius, scallop):
            far -= max((far - here) // 8, 1)
        chosen.append(far)
    return np.asarray(centres[chosen])


def _is_smooth(centres: Array, radius: float, scallop: float) -> bool:
    """Return whether a ball at the first and the last of some centres does for all between them.

    The ridge is where both balls' surfaces cross, on the lower side; it stands up from the surface that the
    ball would leave at all of the centres by the radius less its distance from the nearest of them.
    """
    first, last = centres[0], centres[-1]
    apart = float(np.hypot(*(last - first)))
    if apart >= 2 * radius:
        return False
    along = (last - first) / apart if apart else np.array([1.0, 0.0])
    down = np.array([along[1], -along[0]])  # to the right of the way across
    ridge = (first + last) / 2 + down * np.sqrt(radius**2 - (apart / 2) ** 2)
    between = centres[:: max(len(centres) // CHECKED, 1)]
    return bool(radius - np.hypot(*(between - ridge).T).min() <= scallop)
