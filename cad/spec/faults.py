"""A fault of a file's table, at the line where it stands."""

from __future__ import annotations

from typing import Any

from cad.errors import Fault
from cad.spec.lines import KeyPath, dotted
from cad.spec.source import Source
from cad.spec.values import shown


def fault_at(source: Source, path: KeyPath, raw: Any, problem: str, cure: str) -> Fault:
    """Return a fault at the line of a key, or of the nearest table around it that the file has.

    `raw` is the value found there, None where it is not worth showing.
    """
    lines = (source.lines.get(path[:end], 0) for end in range(len(path), 0, -1))
    line = next((line for line in lines if line), 0)
    return Fault(source.file, line, dotted(path), "" if raw is None else shown(raw), problem, cure)
