"""Inch where mm was meant, or the other way round: told by the size of what is cut."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from cad.simulate.finding import Finding
from cad.simulate.job import Job
from cad.simulate.reading import Reading

TOO_LARGE = 6.0  # times the stock
TOO_SMALL = 1 / 15  # of the parts


def wrong_unit(program: str, reading: Reading, job: Job) -> Iterator[Finding]:
    """Yield a finding when a program cuts many times as large as its stock, or far smaller than the parts.

    A program that is too small is told only beside known parts: a small one on a large sheet may be meant.
    """
    ends = np.array([place for move in reading.moves for place in (move.start, move.end) if place[2] < 0])
    if not len(ends):
        return
    size, deep = float(np.ptp(ends[:, :2], axis=0).max()), float(-ends[:, 2].min())
    cuts = f"cuts {size:.1f} mm wide and {deep:.2f} mm deep"
    longest = max(job.stock.length_mm, job.stock.width_mm)
    if reading.inch and max(size / longest, deep / job.stock.thickness_mm) > TOO_LARGE:
        words = f"{cuts}: it says inches, but its numbers are plainly mm"
        yield Finding("unit", program, 0, words, "Write G21 in place of G20")
    elif job.parts and not reading.inch:
        points = np.concatenate([part.points for part in job.parts])
        wide, tall = float(np.ptp(points[:, :2], axis=0).max()), float(-points[:, 2].min())
        if size < wide * TOO_SMALL and deep < tall * TOO_SMALL:
            words = f"{cuts}: it says mm, but its numbers are plainly inches"
            yield Finding("unit", program, 0, words, "Write G20 in place of G21")
