"""Standard sizes of drills and bits for bored holes.

Source: diameters of ANSI/ASME B94.11M (inch) and ISO 235 (metric) twist drills, from memory, thinned to what
shops stock. Above 1 in (25 mm) the sizes are those of bits for wood, which follow no standard: common
practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

INCH_MM = 25.4
LARGEST_MM = 80.0  # larger bits for wood are not stocked; common practice, no source


@dataclass(frozen=True)
class Drill:
    """A drill or bit by the name it is sold under, and its diameter in mm."""

    name: str
    mm: float


@cache
def drills() -> tuple[Drill, ...]:
    """Return every size: by 1/64 in up to 1 in, then by 1/16; by 0.5 mm up to 13 mm, then by 1 mm."""
    inches = [Fraction(n, 64) for n in range(4, 65)] + [Fraction(n, 16) for n in range(17, 51)]
    metric = [n / 2 for n in range(2, 27)] + [float(n) for n in range(14, 81)]
    sizes = [Drill(f"{_mixed(size)} in", float(size) * INCH_MM) for size in inches]
    sizes += [Drill(f"{size:g} mm", size) for size in metric]
    return tuple(sorted(sizes, key=lambda drill: drill.mm))


def nearest_drill(diameter_mm: float) -> Drill | None:
    """Return the size nearest to a diameter, the smaller of two as near; None well beyond the largest.

    >>> nearest_drill(19.05).name
    '3/4 in'
    """
    if diameter_mm > LARGEST_MM + 0.5 or diameter_mm < 0.75:
        return None
    return min(drills(), key=lambda drill: (round(abs(drill.mm - diameter_mm), 9), drill.mm))


def _mixed(size: Fraction) -> str:
    """Return inches as a maker reads them: 1/4, 1, 1 3/16."""
    whole, rest = divmod(size.numerator, size.denominator)
    part = f"{rest}/{size.denominator}" if rest else ""
    return " ".join(word for word in (str(whole) if whole else "", part) if word)
