"""Numbers as a maker reads them, in the unit of the spec. Their spaces do not break over a line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cad.formulas.steel import celsius
from cad.units import INCH_MM, UnitName, format_in, plain

SMALL_MM = 1.6  # below 1/16 in, thousandths of an inch say more than 1/64
NBSP = "\u00a0"


def tied(text: str) -> str:
    """Return a text whose spaces do not break."""
    return text.replace(" ", NBSP)


@dataclass(frozen=True)
class Amounts:
    """Writes lengths in one unit; inches always with mm beside them, since a fraction is seldom exact."""

    unit: UnitName

    def length(self, mm: float) -> str:
        """Return a length with its unit, inches as a fraction to the nearest 1/64.

        >>> Amounts("mm").length(82.0).split(), Amounts("in").length(130.175).split()
        (['82', 'mm'], ['5', '1/8', 'in', '(130.18', 'mm)'])
        """
        metric = tied(f"{plain(mm)} mm")
        return metric if self.unit == "mm" else f"{tied(_inches(mm))} ({metric})"

    def fine(self, mm: float) -> str:
        """Return a length whose hundredths matter: inches to the thousandth.

        >>> Amounts("in").fine(2.323).split()
        ['0.091', 'in', '(2.32', 'mm)']
        """
        metric = tied(f"{plain(mm)} mm")
        return metric if self.unit == "mm" else f"{tied(f'{mm / INCH_MM:.3f} in')} ({metric})"

    def size(self, *sides: float) -> str:
        """Return sides joined by ×, the unit once.

        >>> Amounts("in").size(25.4, 12.7).split()
        ['1', '×', '1/2', 'in', '(25.4', '×', '12.7', 'mm)']
        """
        metric = tied(f"{' × '.join(plain(side, 1) for side in sides)} mm")
        if self.unit == "mm":
            return metric
        inches = " × ".join(_inches(side).removesuffix(" in") for side in sides)
        return f"{tied(f'{inches} in')} ({metric})"

    def within(self, mm: float) -> str:
        """Return a tolerance either way."""
        return f"±{NBSP}{self.length(mm)}"

    def rows(self, what: str, values: Sequence[float]) -> tuple[tuple[str, ...], ...]:
        """Return a row of bare numbers in mm, under one in inches where inches come first."""
        metric = (f"{what}, mm", *(plain(value) for value in values))
        if self.unit == "mm":
            return (metric,)
        return ((f"{what}, in", *(f"{value / INCH_MM:.3f}" for value in values)), metric)


def _inches(mm: float) -> str:
    if 0 < abs(mm) < SMALL_MM:
        return f"{mm / INCH_MM:.3f} in"
    return f"{format_in(mm).partition(' in')[0]} in"


def degrees(value: float, places: int = 1) -> str:
    return f"{plain(value, places)}°"


def percent(value: float, places: int = 1) -> str:
    return tied(f"{plain(value, places)} %")


def heat(*fahrenheit: float) -> str:
    """Return one temperature or a range in °C and °F; °C rounded to whole degrees.

    >>> heat(1475).split(), heat(300, 450).split()
    (['802', '°C', '(1475', '°F)'], ['149–232', '°C', '(300–450', '°F)'])
    """
    low, high = min(fahrenheit), max(fahrenheit)
    if low == high:
        return f"{tied(f'{celsius(low):.0f} °C')} ({tied(f'{low:g} °F')})"
    return f"{tied(f'{celsius(low):.0f}–{celsius(high):.0f} °C')} ({tied(f'{low:g}–{high:g} °F')})"
