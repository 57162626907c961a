"""The stack of a table-saw sled: base, boards under the rabbet face, and the blade through both."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

RAIL_FREE_MM = 1.0  # the rail hangs at least this far above the base; common practice, no source
REACH_SHARE = 0.3  # of its diameter that a blade stands above the table at most; common practice, no source


@dataclass(frozen=True)
class SledStack:
    """Heights on the saw's table, mm: all boards are of one sheet, and the rail hangs beside the packing."""

    sheet: float  # thickness of the sheet
    rail: float  # how far the rail stands proud of the rabbet face: the plate's thickness
    depth: float  # of the throat

    @property
    def boards(self) -> int:
        """Boards under the rabbet face: enough for the rail to hang free over the base."""
        return ceil((self.rail + RAIL_FREE_MM) / self.sheet - 1e-9)

    @property
    def packing(self) -> float:
        return self.boards * self.sheet

    @property
    def blade_height(self) -> float:
        """How far the blade stands above the table: base, packing and the depth of the throat."""
        return self.sheet + self.packing + self.depth
