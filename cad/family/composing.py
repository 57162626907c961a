"""Laying tables over one another, and remembering on which line of the family's file each key stands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from cad.spec.lines import KeyPath

ARC_OR_WIDTH: Mapping[KeyPath, KeyPath] = MappingProxyType(
    {("sole", "arc"): ("sole", "width"), ("sole", "width"): ("sole", "arc")}
)


@dataclass
class Composed:
    """The table of one plane as it grows, with the line of each of its keys.

    `either` has keys of which each gives the other, as arc and width do on a sole of one arc.
    """

    either: Mapping[KeyPath, KeyPath] = field(default_factory=dict)
    table: dict[str, Any] = field(default_factory=dict)
    lines: dict[KeyPath, int] = field(default_factory=dict)

    def put(self, path: KeyPath, value: Any, line: int) -> None:
        """Set one key. A value that follows from another gives way to it."""
        if path in self.either:
            self._drop(self.either[path])
        inner = self.table
        for depth, name in enumerate(path[:-1], start=1):
            found = inner.get(name)
            if not isinstance(found, dict):
                found = inner[name] = {}
            self.lines.setdefault(path[:depth], line)
            inner = found
        inner[path[-1]] = deepcopy(value)
        self.lines[path] = line

    def lay_over(self, table: Mapping[str, Any], lines: Mapping[KeyPath, int], home: KeyPath) -> None:
        """Set every key of a table that stands under `home` in the family's file."""
        for path, value in leaves(table):
            for depth in range(1, len(path)):
                if line := lines.get((*home, *path[:depth])):
                    self.lines.setdefault(path[:depth], line)
            self.put(path, value, lines.get((*home, *path), 0))

    def _drop(self, path: KeyPath) -> None:
        inner: Any = self.table
        for name in path[:-1]:
            inner = inner.get(name)
            if not isinstance(inner, dict):
                return
        inner.pop(path[-1], None)
        self.lines.pop(path, None)


def leaves(table: Mapping[str, Any], at: KeyPath = ()) -> Iterator[tuple[KeyPath, Any]]:
    """Yield every value of a table and of those within it, with its path; an empty table as a value."""
    for name, value in table.items():
        if isinstance(value, dict) and value:
            yield from leaves(value, (*at, name))
        else:
            yield (*at, name), value
