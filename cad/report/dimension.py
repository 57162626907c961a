"""One dimension as it is reported: a value, its kind, and where it comes from."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Literal

from cad.units import INCH_MM, UnitName, format_length, plain

Kind = Literal["mm", "deg", "percent", "number", "text"]
Item = float | str
SMALL_MM = 1.6  # below 1/16 in, thousandths of an inch say more than 1/64 and a rest
OTHER_UNIT: dict[UnitName, UnitName] = {"mm": "in", "in": "mm"}


@dataclass(frozen=True)
class Dimension:
    """A value of one kind, or a tuple of such values; given in the file, or worked out for a reason."""

    kind: Kind
    value: Item | tuple[Item, ...]
    given: bool
    reason: str

    @property
    def items(self) -> tuple[Item, ...]:
        return self.value if isinstance(self.value, tuple) else (self.value,)

    def shown(self, unit: UnitName) -> str:
        """Return the value in words, lengths in the given unit."""
        if isinstance(self.value, tuple) and self.kind == "mm":
            return f"{' x '.join(plain(_in_unit(item, unit)) for item in self.items)} {unit}"
        return ", ".join(_words(self.kind, item, unit) for item in self.items)

    def shown_in_other(self, unit: UnitName) -> str:
        """Return lengths in the unit that is not the given one; nothing for other kinds."""
        return self.shown(OTHER_UNIT[unit]) if self.kind == "mm" else ""


def _words(kind: Kind, item: Item, unit: UnitName) -> str:
    if isinstance(item, str):
        return item
    if kind == "mm":
        small = unit == "in" and 0 < abs(item) < SMALL_MM
        return f"{_in_unit(item, unit):.3f} in" if small else format_length(item, unit)
    if kind == "deg":
        return f"{plain(item)}°"
    return f"{plain(item)} %" if kind == "percent" else plain(item, 4)


def _in_unit(item: Item, unit: UnitName) -> float:
    return float(item) / (INCH_MM if unit == "in" else 1)


Worked = tuple[str, Dimension]


def _worked(kind: Kind, key: str, value: float, reason: str) -> Worked:
    return key, Dimension(kind, value, False, reason)


Maker = Callable[[str, float, str], Worked]
mm: Maker = partial(_worked, "mm")
deg: Maker = partial(_worked, "deg")
percent: Maker = partial(_worked, "percent")
number: Maker = partial(_worked, "number")
