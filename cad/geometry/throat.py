"""The throat in the x–z plane: bed, front face, mouth, and the line of the iron's upper face."""

from __future__ import annotations

from dataclasses import dataclass

from cad.formulas import throat as forms
from cad.outline import Path, polygon


@dataclass(frozen=True)
class Throat:
    """Two lines leaning to the heel, and the depth w to which they are sawn from the rabbet face."""

    mouth_at: float  # xm
    mouth: float  # m
    bed_deg: float
    front_deg: float
    depth: float  # w
    iron: float  # thickness of the iron lying on the bed

    @property
    def spread(self) -> float:
        """How much the throat opens along x for each mm of height."""
        return forms.spread(self.bed_deg, self.front_deg)

    @property
    def gap(self) -> float:
        """Mouth gap in front of the edge, g."""
        return forms.mouth_gap_mm(self.mouth, self.iron, self.bed_deg)

    def front_x(self, z: float) -> float:
        """Return x of the front face at height z."""
        return self.mouth_at + z * forms.cot(self.front_deg)

    def bed_x(self, z: float) -> float:
        """Return x of the bed at height z."""
        return self.mouth_at + self.mouth + z * forms.cot(self.bed_deg)

    def iron_x(self, z: float) -> float:
        """Return x of the iron's upper face, where the cutting edge lies, at height z."""
        return self.mouth_at + self.gap + z * forms.cot(self.bed_deg)

    def opening(self, z: float) -> float:
        """Return the length of the throat along x at height z."""
        return forms.opening_mm(self.mouth, self.bed_deg, self.front_deg, z)

    def side_view(self, top: float) -> Path:
        """Return the x–z outline of the void from a little below the sole to height `top`."""
        # Below the sole the two lines close on each other: stay well above where they meet.
        low = -min(2.0, self.mouth / self.spread / 4)
        return polygon(
            [
                (self.front_x(low), low),
                (self.bed_x(low), low),
                (self.bed_x(top), top),
                (self.front_x(top), top),
            ]
        )
