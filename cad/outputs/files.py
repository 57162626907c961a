"""A file before it is written: its place in the output folder, its bytes, and what they hold."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from cad.errors import OutputError

Corner = tuple[float, float, float]
Matrix = tuple[tuple[float, float, float, float], ...]


@dataclass(frozen=True)
class Measure:
    """What was measured from the solids in a file: volume in mm³, bounding box in the file's own frame."""

    volume_mm3: float
    low: Corner
    high: Corner
    unit: Literal["mm", "m"] = "mm"  # of the bounding box, and of the file


@dataclass(frozen=True)
class OutFile:
    """One file of the output.

    `path` is relative, with forward slashes; `part` names the part, piece or profile it shows, if one.
    `placement` is the 4 × 4 matrix, in mm, that took the piece from its work to where the file has it.
    `fixture` names the fixture that a piece belongs to, with a hash that equal ones of other planes share.
    """

    path: str
    data: bytes
    part: str = ""
    measure: Measure | None = None
    placement: Matrix | None = None
    fixture: tuple[str, str] | None = None


def refuse_twins(paths: Iterable[str]) -> None:
    """Raise OutputError when two files would share a path."""
    twice = sorted(path for path, count in Counter(paths).items() if count > 1)
    if twice:
        raise OutputError(f"two pieces would be written to one file: {', '.join(twice)}")
