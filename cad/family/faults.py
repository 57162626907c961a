"""What is wrong with a family's file, with the line of each fault."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from cad.errors import Fault
from cad.spec.lines import KeyPath, dotted
from cad.spec.source import Source
from cad.spec.values import shown

MOST_NAMED = 3


def fault(source: Source, path: KeyPath, problem: str, cure: str, value: Any = None) -> Fault:
    """Return a fault at the line of a key, or of the nearest table around it that the file has."""
    lines = (source.lines.get(path[:end], 0) for end in range(len(path), 0, -1))
    line = next((line for line in lines if line), 0)
    return Fault(source.file, line, dotted(path), "" if value is None else shown(value), problem, cure)


def gathered(found: Iterable[tuple[str, Fault]], planes: int) -> list[Fault]:
    """Return faults of single planes, given with their labels, each told once with the planes it is in."""
    alike: dict[tuple[int, str, str], list[tuple[str, Fault]]] = {}
    for label, one in found:
        alike.setdefault((one.line, one.key, one.value), []).append((label, one))
    return [_told(group, planes) for group in alike.values()]


def _told(group: Sequence[tuple[str, Fault]], planes: int) -> Fault:
    labels = list(dict.fromkeys(label for label, _ in group))
    _, first = group[0]
    if len(labels) == planes > 1:
        where = "in every plane"
    else:
        more = len(labels) - MOST_NAMED
        names = [*labels[:MOST_NAMED], *([f"{more} more"] if more > 0 else [])]
        where = f"in plane {names[0]}" if len(names) == 1 else f"in planes {', '.join(names)}"
    return replace(first, problem=f"{where}: {first.problem}")
