"""How wood moves: the species table and the change of a dimension with moisture.

Source: USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-190: shrinkage from green to ovendry in
table 4-3, dimensional change coefficients within 6 to 14 % moisture in table 13-5, and equation 13-2. The two
shrinkages of sugar maple are from memory; apple, red maple and honeylocust have coefficients only.
"""

from __future__ import annotations

from dataclasses import dataclass

COEFFICIENTS_HOLD_PERCENT = (6.0, 14.0)
FIBRE_SATURATION_PERCENT = 30.0  # above it wood no longer moves; the handbook's average, from memory


@dataclass(frozen=True)
class Species:
    """One wood: change per unit of length and per cent of moisture, and total shrinkage in per cent."""

    name: str
    radial: float
    tangential: float
    radial_shrinkage: float | None = None
    tangential_shrinkage: float | None = None

    def coefficient(self, grain: str) -> float:
        """Return the change coefficient across the body: radial when "quartered", tangential when "flat"."""
        return self.radial if grain == "quartered" else self.tangential


_TABLE = (
    Species("American beech", 0.00190, 0.00431, 5.5, 11.9),
    Species("sugar maple", 0.00165, 0.00353, 4.8, 9.9),
    Species("yellow birch", 0.00256, 0.00338, 7.3, 9.5),
    Species("black cherry", 0.00126, 0.00248, 3.7, 7.1),
    Species("white oak", 0.00180, 0.00365, 5.6, 10.5),
    Species("pecan hickory", 0.00169, 0.00315, 4.9, 8.9),
    Species("black walnut", 0.00190, 0.00274, 5.5, 7.8),
    Species("apple", 0.00205, 0.00376),
    Species("red maple", 0.00137, 0.00289),
    Species("white ash", 0.00169, 0.00274, 4.9, 7.8),
    Species("honeylocust", 0.00144, 0.00230),
    Species("persimmon", 0.00278, 0.00403, 7.9, 11.2),
)

SPECIES = {species.name: species for species in _TABLE}


def change_mm(dimension: float, coefficient: float, from_percent: float, to_percent: float) -> float:
    """Return how much a dimension grows between two moisture contents: ΔD = D · C · ΔM (equation 13-2).

    >>> round(change_mm(232, 0.00245, 8, 11), 1)
    1.7
    """
    return dimension * coefficient * (to_percent - from_percent)
