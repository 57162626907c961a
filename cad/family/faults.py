"""What is wrong with single planes of a family, each fault told once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from cad.errors import Fault

MOST_NAMED = 3


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
