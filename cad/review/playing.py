"""Programs for the router as the page plays them: the way of the cutter, and the outlines of what remains."""

from __future__ import annotations

import base64
import gzip
import json
from collections.abc import Iterable
from typing import Any

import numpy as np

from cad.simulate.job import Job, Tool
from cad.simulate.running import Ran, Simulated
from cad.simulate.wanted import facets, wall_lines

CHORD_MM = 0.05  # of arcs in the picture
STEPS_MM = 100  # to the millimetre


def played(every: Iterable[Simulated]) -> str:
    """Return all programs as the page unpacks them: JSON as base64 of gzip; nothing when there are none.

    Coordinates are whole hundredths of a mm. Of each move: how many points it has after its start, its line,
    its time in seconds, and whether it is rapid. All in the frame of `cad.simulate.job`.
    """
    stocks = [_stock(one) for one in every]
    if not stocks:
        return ""
    words = json.dumps(stocks, separators=(",", ":"), sort_keys=True).encode()
    return base64.b64encode(gzip.compress(words, 9, mtime=0)).decode("ascii")


def _stock(done: Simulated) -> dict[str, Any]:
    job, stock = done.job, done.job.stock
    low_x, low_y, _, _ = stock.bounds
    return {
        "title": job.name.replace("_", " "),
        "low": [low_x, low_y],
        "size": [stock.length_mm, stock.width_mm, stock.thickness_mm],
        "outlines": sorted(_outlines(job)),
        "gouge": round(done.gouge_mm, 3),
        "left": round(max(done.left_mm, 0.0), 3),
        "ridge": round(done.ridge_mm, 3),
        "scallop": job.allowances.scallop_mm,
        "runs": [_run(ran, run.tool) for ran, run in zip(done.runs, job.runs, strict=True)],
    }


def _run(ran: Ran, tool: Tool) -> dict[str, Any]:
    points = [place for move in ran.moves[:1] for place in (move.start,)]
    counts = []
    for move in ran.moves:
        way = move.points(CHORD_MM)[1:]
        points += way
        counts.append(len(way))
    return {
        "name": ran.name,
        "tool": {
            "words": tool.name,
            "ball": tool.shape == "ball",
            "radius": tool.radius_mm,
            "rise": round(tool.rise, 6),
        },
        "points": np.rint(np.array(points).ravel() * STEPS_MM).astype(int).tolist(),
        "counts": counts,
        "lines": [move.line for move in ran.moves],
        "seconds": [round(move.seconds, 3) for move in ran.moves],
        "rapid": [int(move.rapid) for move in ran.moves],
    }


def _outlines(job: Job) -> set[tuple[int, ...]]:
    """Return the walls of the parts seen from above, each line once, without what is too short to be seen."""
    lines = np.rint(wall_lines(facets(job.parts)) * STEPS_MM).astype(int)
    ends = {tuple(sorted((tuple(a), tuple(b)))) for a, b in lines.tolist()}
    return {(*a, *b) for a, b in ends if a != b}
