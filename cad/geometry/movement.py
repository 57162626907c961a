"""How a plane's own sizes change with the moisture of its wood.

Source of the formula: Wood Handbook, FPL-GTR-190, eq. 13-2, with the coefficients of table 13-5.
"""

from __future__ import annotations

from dataclasses import dataclass

from cad.formulas.wood import SPECIES, change_mm
from cad.geometry.plan import Plan


@dataclass(frozen=True)
class Change:
    """Growth of one size in mm against its size when made: at the driest and at the dampest of the range."""

    what: str
    size: float
    dry: float
    damp: float


@dataclass(frozen=True)
class Movement:
    """The movement of one plane over its range of moisture."""

    plan: Plan

    @property
    def across(self) -> float:
        """Change coefficient across the plane, per cent of moisture."""
        wood = self.plan.spec.wood
        return SPECIES[wood.species].coefficient(wood.grain)

    @property
    def up(self) -> float:
        """Change coefficient along the plane's height: the other of the two."""
        wood = self.plan.spec.wood
        return SPECIES[wood.species].coefficient("flat" if wood.grain == "quartered" else "quartered")

    @property
    def thickness(self) -> Change:
        return self._change("Full thickness", self.plan.section.thickness, self.across)

    @property
    def throat(self) -> Change:
        return self._change("Width of sole and throat", self.plan.throat.depth, self.across)

    @property
    def height(self) -> Change:
        return self._change("Height", self.plan.section.height, self.up)

    @property
    def binding(self) -> float:
        """How much narrower the throat is in the driest month than when made, mm; never negative."""
        return max(-self.throat.dry, 0.0)

    @property
    def turned_apart(self) -> float:
        """How far plate and body would pull apart along their glue line, over the range, were the plate's
        growth rings turned the other way: its height · |C_T − C_R| · ΔM, mm."""
        section, species = self.plan.section, SPECIES[self.plan.spec.wood.species]
        low, high = self.plan.spec.wood.moisture_range
        glued = section.shoulder - section.sole.plate_edge
        return abs(change_mm(glued, species.tangential - species.radial, low, high))

    def _change(self, what: str, size: float, coefficient: float) -> Change:
        wood = self.plan.spec.wood
        dry, damp = (change_mm(size, coefficient, wood.moisture_now, m) for m in wood.moisture_range)
        return Change(what, size, dry, damp)
