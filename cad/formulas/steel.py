"""Tool steels for irons: hardening, tempering, hardness against temper, and the colours of temper.

Temperatures are kept in degrees Fahrenheit, as the sources print them. Each figure names its source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

DENSITY_G_CM3 = 7.85  # of plain and low-alloy steel; textbook value

DATA_SHEET = "a steel maker's data sheet"
DATA_SHEETS = "steel makers' data sheets"
MEMORY = "from memory"
COLOURS_SOURCE = "Colvin and Juthe, The Working of Steel (1922), table 26; sources differ by ± 15 °F"

Fahrenheit = tuple[float, float]  # from, to


@dataclass(frozen=True)
class Temper:
    """What is left of the hardness after tempering, HRC; a range where the source gives one."""

    fahrenheit: float | None  # None: as quenched
    hrc: tuple[float, float]


@dataclass(frozen=True)
class Steel:
    """One tool steel: standard, hardening and tempering ranges in °F, quench, hardness, and their sources."""

    name: str
    standard: str
    makeup: str
    harden_f: Fahrenheit
    harden_source: str
    quench: str
    soak: str
    soak_source: str
    temper_f: Fahrenheit  # for edge tools
    temper_source: str
    hardness: tuple[Temper, ...]
    hardness_source: str
    aim_f: float  # tempering for a plane iron; common practice, no source

    def hrc(self, fahrenheit: float) -> tuple[float, float]:
        """Return the hardness after a temper, read off the table by straight lines between its rows.

        Raises ValueError outside the table.
        """
        rows = [(row.fahrenheit, row.hrc) for row in self.hardness if row.fahrenheit is not None]
        for (cool, one), (hot, two) in pairwise(rows):
            if cool <= fahrenheit <= hot:
                share = (fahrenheit - cool) / (hot - cool)
                low, high = (a + share * (b - a) for a, b in zip(one, two, strict=True))
                return low, high
        raise ValueError(f"{self.name}: no hardness is tabled for a temper at {fahrenheit:g} °F")


@dataclass(frozen=True)
class Colour:
    """A colour that the oxide on bright steel takes within a range of °F."""

    name: str
    fahrenheit: Fahrenheit


def _rows(quenched: tuple[float, float], *tempers: tuple[float, float, float]) -> tuple[Temper, ...]:
    return (Temper(None, quenched), *(Temper(f, (low, high)) for f, low, high in tempers))


_O1 = Steel(
    name="O1",
    standard="ASTM A681, alloy tool steels",
    makeup="oil-hardening tool steel",
    harden_f=(1450, 1500),
    harden_source=DATA_SHEETS,
    quench="oil",
    soak="20 to 30 minutes at heat for each inch (25 mm) of thickness",
    soak_source=DATA_SHEETS,
    temper_f=(300, 450),
    temper_source=DATA_SHEETS,
    hardness=_rows(
        (65, 65),
        (300, 63, 63),
        (350, 62.5, 62.5),
        (400, 62, 62),
        (500, 60, 60),
        (600, 57, 57),
        (700, 53, 53),
        (800, 50, 50),
    ),
    hardness_source=f"{DATA_SHEET}, hardened from 1475 °F in oil",
    aim_f=400,
)
_W1 = Steel(
    name="W1",
    standard="ASTM A686, carbon tool steels",
    makeup="water-hardening tool steel, plain carbon",
    harden_f=(1400, 1550),
    harden_source=MEMORY,
    quench="water or brine",
    soak="10 to 30 minutes at heat",
    soak_source=MEMORY,
    temper_f=(350, 650),
    temper_source=MEMORY,
    hardness=_rows(
        (65, 67),
        (350, 62, 64),
        (400, 61, 63),
        (500, 57, 60),
        (600, 53, 56),
    ),
    hardness_source=f"{MEMORY}, about 1 % carbon: trust the steel maker's sheet before this",
    aim_f=400,
)

STEELS: Mapping[str, Steel] = {steel.name: steel for steel in (_O1, _W1)}

COLOURS = (
    Colour("yellow", (430, 450)),
    Colour("straw", (460, 478)),
    Colour("brown", (500, 500)),
    Colour("purple", (530, 550)),
    Colour("blue", (560, 600)),
)


def celsius(fahrenheit: float) -> float:
    """Return a temperature in °C: (F − 32) · 5/9, exact by definition.

    >>> round(celsius(1475), 1)
    801.7
    """
    return (fahrenheit - 32) * 5 / 9


def mass_g(volume_mm3: float) -> float:
    """Return the mass of a volume of steel in grams.

    >>> round(mass_g(16 * 3.2 * 165), 1)
    66.3
    """
    return volume_mm3 / 1000 * DENSITY_G_CM3
