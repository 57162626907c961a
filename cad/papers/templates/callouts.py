"""Words in a column beside a shape, each with a leader to what it names."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cad.outline import Point
from cad.papers.templates.ink import ROW_MM, Art, joined, leader


@dataclass(frozen=True)
class Callout:
    """What is named, and its words; `side` says on which side they must stand where that matters."""

    to: Point
    text: str
    side: int = 0


def column(callouts: Sequence[Callout], x: float, side: int) -> Art:
    """Return words right of x (side 1) or left of it (side -1), as level with what they name as they can be.

    They keep the order of what they name from the top down, so that no two leaders cross.
    """
    ordered = sorted(callouts, key=lambda one: (-one.to[1], one.to[0] * side))
    heights = _spread([one.to[1] for one in ordered])
    return joined(
        leader(one.text, (x, y), one.to, "left" if side > 0 else "right")
        for one, y in zip(ordered, heights, strict=True)
    )


def _spread(heights: Sequence[float]) -> list[float]:
    """Return descending heights moved apart to at least a row, each cluster about the middle of its own."""
    clusters: list[list[float]] = []
    for height in heights:
        clusters.append([height])
        while len(clusters) > 1 and _bottom(clusters[-2]) - _top(clusters[-1]) < ROW_MM:
            last = clusters.pop()
            clusters[-1] += last
    return [_top(cluster) - i * ROW_MM for cluster in clusters for i in range(len(cluster))]


def _middle(cluster: list[float]) -> float:
    return sum(cluster) / len(cluster)


def _top(cluster: list[float]) -> float:
    return _middle(cluster) + (len(cluster) - 1) / 2 * ROW_MM


def _bottom(cluster: list[float]) -> float:
    return _middle(cluster) - (len(cluster) - 1) / 2 * ROW_MM
