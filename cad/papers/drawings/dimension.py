"""A dimension as it is printed: its value, its text in the spec's unit, and the text read back.

Lengths in mm are printed to a hundredth. Lengths in inches are printed as fractions to 1/64, and what the
fraction leaves over is added in mm where it exceeds 0.1 mm or a two-thousandth of the length: a small part is
spoilt by less. ISO 129-1 has the unit stated once on the sheet, not with each figure.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from cad.units import INCH_MM, SIXTY_FOURTHS, UnitName, plain

Quantity = Literal["mm", "deg"]

LEFT_OVER_MM = 0.1  # a fraction further off than this says by how much
LEFT_OVER_SHARE = 1 / 2000  # of the length, for the same
MM_PLACES, DEG_PLACES = 2, 2
MINUS = "\N{MINUS SIGN}"
LEAST_MM = 0.005  # what is left over is itself rounded to a hundredth


@dataclass(frozen=True)
class Dimension:
    """One printed dimension. `text` is what stands on the sheet, `beneath` the other unit or nothing."""

    key: str
    value: float  # mm or degrees, as modelled
    quantity: Quantity
    text: str
    beneath: str = ""


@dataclass(frozen=True)
class Wording:
    """How dimensions are written: the unit, and whether the other one stands beneath."""

    unit: UnitName
    both: bool = False
    share: float = LEFT_OVER_SHARE

    def length(self, key: str, mm: float, sign: str = "") -> Dimension:
        """Return a length; `sign` is what stands before it: R, ⌀, 4 × ⌀ (ISO 129-1)."""
        other: UnitName = "mm" if self.unit == "in" else "in"
        beneath = f"[{length_text(mm, other, share=1.0)}]" if self.both else ""
        return Dimension(key, mm, "mm", sign + length_text(mm, self.unit, self.share), beneath)

    def angle(self, key: str, deg: float) -> Dimension:
        """Return an angle."""
        return Dimension(key, deg, "deg", f"{plain(deg, DEG_PLACES)}°")


def rough(wording: Wording) -> Wording:
    """Return the same wording for what is made from the model itself: only what exceeds 0.1 mm is added."""
    return replace(wording, share=1.0)


def length_text(mm: float, unit: UnitName, share: float = LEFT_OVER_SHARE) -> str:
    """Return a length without its unit.

    >>> length_text(9.5251, "mm"), length_text(9.525, "in"), length_text(15.675, "in")
    ('9.53', '3/8', '39/64 +0.2 mm')
    """
    if unit == "mm":
        return plain(mm, MM_PLACES)
    parts = round(mm / INCH_MM * SIXTY_FOURTHS)
    whole, rest = divmod(parts, SIXTY_FOURTHS)
    words = [str(whole)] if whole or not rest else []
    words += [str(Fraction(rest, SIXTY_FOURTHS))] if rest else []
    left = mm - parts * INCH_MM / SIXTY_FOURTHS
    if abs(left) > max(min(LEFT_OVER_MM, share * mm), LEAST_MM):
        words.append(f"{'+' if left > 0 else MINUS}{plain(abs(left), MM_PLACES)} mm")
    return " ".join(words)


def read_back(text: str, unit: UnitName) -> float:
    """Return the value a printed text stands for, in mm or degrees. Raises ValueError when it is none.

    >>> round(read_back("39/64 +0.2 mm", "in"), 6), read_back("R16", "mm"), read_back("50°", "mm")
    (15.678125, 16.0, 50.0)
    """
    bare = text.rpartition("× ")[2].lstrip("R⌀")
    if bare.endswith("°"):
        return float(bare[:-1])
    if unit == "mm":
        return float(bare)
    total = Fraction(0)
    words = bare.split()
    left = Fraction(words[-2].replace(MINUS, "-")) if words[-1] == "mm" else Fraction(0)
    for word in words[:-2] if words[-1] == "mm" else words:
        total += Fraction(word)
    return float(total * Fraction(254, 10) + left)


def rounding(dimension: Dimension, unit: UnitName, share: float = LEFT_OVER_SHARE) -> float:
    """Return how far a printed dimension may stand off its value, in mm or degrees."""
    if dimension.quantity == "deg":
        return 0.5 * 10.0**-DEG_PLACES
    if unit == "mm" or dimension.text.endswith("mm"):
        return 0.5 * 10.0**-MM_PLACES
    return max(min(LEFT_OVER_MM, share * dimension.value), LEAST_MM)
