"""Lengths as they are written in a shop, to millimetres and back.

An inch is 25.4 mm exactly (international yard and pound agreement, 1959). Values are read as fractions, so
that "2 1/2 in" is 63.5 mm to the last digit.
"""

from __future__ import annotations

import re
from fractions import Fraction
from math import copysign, isfinite
from typing import Literal

UnitName = Literal["mm", "in"]

INCH_MM = 25.4
MM_PER_UNIT = {
    "mm": Fraction(1),
    "in": Fraction(254, 10),
    "inch": Fraction(254, 10),
    "inches": Fraction(254, 10),
    '"': Fraction(254, 10),
}
UNITS_ALLOWED = 'mm, in, inch, inches or "'
LONGEST = 40  # characters: no length of a workshop needs more, and a longer one is a slip or mischief
SIXTY_FOURTHS = 64
BEYOND_ANY_LENGTH = 1e12
WORTH_SAYING_MM = 0.005  # a remainder that rounds to 0.00 mm is not worth a line

_SHAPE = re.compile(
    r"""(?P<sign>[-+]?)\s*
    (?: (?:(?P<whole>\d+)(?:\s+|-))? (?P<top>\d+)\s*/\s*(?P<bottom>\d+)
      | (?P<decimal>\d+(?:\.\d*)?|\.\d+) )
    \s*(?P<unit>[^\d\s.,/+-].*)?""",
    re.VERBOSE | re.ASCII,
)


class LengthError(ValueError):
    """A length that cannot be read: what is wrong with it and how to write it."""

    def __init__(self, problem: str, cure: str) -> None:
        self.problem, self.cure = problem, cure
        super().__init__(f"{problem}. {cure}")


def parse_length(text: str) -> float:
    """Return the length a text names, in mm; a sign is kept for the caller to judge.

    Raises LengthError when the number or its unit cannot be read.

    >>> parse_length("2 1/2 in"), parse_length("3-1/4 in"), parse_length('3/8"'), parse_length("9.5 mm")
    (63.5, 82.55, 9.525, 9.5)
    """
    return float(_exact_mm(text))


def _exact_mm(text: str) -> Fraction:
    stripped = text.strip()
    if len(stripped) > LONGEST:
        raise LengthError("the text is too long to be a length", _how_to_write())
    found = _SHAPE.fullmatch(stripped)
    if found is None:
        if re.fullmatch(r"[-+]?\d+,\d+.*", stripped):
            raise LengthError("a comma is no decimal point here", 'Write a point, as in "9.5 mm"')
        raise LengthError("the text is not a length", _how_to_write())
    unit = (found["unit"] or "").strip()
    if not unit:
        raise LengthError(
            "the length has no unit", f'Add one ({UNITS_ALLOWED}), as in "{stripped} mm" or "{stripped} in"'
        )
    if unit not in MM_PER_UNIT:
        raise LengthError(f"{unit!r} is no unit known here", f"Use one of {UNITS_ALLOWED}")
    number = _number(found) * MM_PER_UNIT[unit]
    return -number if found["sign"] == "-" else number


def _number(found: re.Match[str]) -> Fraction:
    if found["decimal"] is not None:
        return Fraction(found["decimal"])
    top, bottom = int(found["top"]), int(found["bottom"])
    if bottom == 0:
        raise LengthError("the fraction divides by zero", "Write a fraction such as 3/8")
    if found["whole"] is None:
        return Fraction(top, bottom)
    if top >= bottom:
        raise LengthError("the fraction after the whole number is not less than one", "Write it as 3 1/4")
    return int(found["whole"]) + Fraction(top, bottom)


def _how_to_write() -> str:
    return 'Write a number and a unit, as in "9.5 mm", "3/8 in", "3 1/4 in" or "0.375 in"'


def to_mm(number: float, unit: UnitName) -> float:
    """Return a bare number of the given unit in mm, keeping decimal inches exact (0.1 in is 2.54 mm)."""
    if unit == "mm":
        return float(number)
    if not isfinite(number) or abs(number) > BEYOND_ANY_LENGTH:  # a fraction of these has no float
        return number * INCH_MM
    return float(Fraction(repr(float(number))) * MM_PER_UNIT[unit])


def plain(number: float, places: int = 2) -> str:
    """Return a number with at most `places` decimals, halves rounded away from zero, and no idle zeros.

    >>> plain(9.5), plain(9.525), plain(-0.001)
    ('9.5', '9.53', '0')
    """
    # The hair added keeps halves going up as on paper: 9.525 is stored a little low.
    text = f"{number + copysign(10.0 ** -(places + 6), number):.{places}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def format_mm(mm: float) -> str:
    """Return a length in mm with at most two decimals.

    >>> format_mm(9.525), format_mm(16.0)
    ('9.53 mm', '16 mm')
    """
    return f"{plain(mm)} mm"


def format_in(mm: float) -> str:
    """Return a length in inches to the nearest 1/64, with what is left over noted in mm.

    >>> format_in(63.5), format_in(16.0), format_in(3.175)
    ('2 1/2 in', '5/8 in + 0.13 mm', '1/8 in')
    """
    parts = round(abs(mm) / INCH_MM * SIXTY_FOURTHS)
    whole, rest = divmod(parts, SIXTY_FOURTHS)
    fraction = Fraction(rest, SIXTY_FOURTHS)
    words = [str(whole)] if whole or not rest else []
    words += [f"{fraction.numerator}/{fraction.denominator}"] if rest else []
    minus = "-" if mm < 0 and parts else ""
    left = abs(mm) - parts * INCH_MM / SIXTY_FOURTHS
    if mm < 0:
        left = -left
    note = f" {'+' if left > 0 else '-'} {plain(abs(left))} mm" if abs(left) >= WORTH_SAYING_MM else ""
    return f"{minus}{' '.join(words)} in{note}"


def format_length(mm: float, unit: UnitName) -> str:
    """Return a length in the unit a spec is written in."""
    return format_in(mm) if unit == "in" else format_mm(mm)


def format_limit(mm: float, unit: UnitName) -> str:
    """Return a length for a message, where a limit need not fall on a mark of the rule.

    >>> format_limit(1.0, "in"), format_limit(1.0, "mm")
    ('0.039 in (1 mm)', '1 mm')
    """
    return f"{plain(mm / INCH_MM, 3)} in ({format_mm(mm)})" if unit == "in" else format_mm(mm)


def format_both(mm: float, unit: UnitName) -> str:
    """Return a length in both units, the spec's own first.

    >>> format_both(9.525, "in"), format_both(12.7, "mm")
    ('3/8 in (9.53 mm)', '12.7 mm (1/2 in)')
    """
    first, second = format_mm(mm), format_in(mm)
    return f"{second} ({first})" if unit == "in" else f"{first} ({second})"
