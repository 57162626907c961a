"""Words for what to change: a key and a value that would do, written as the spec file would hold them."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor, radians, sin

from cad.soles.arc import ArcTable
from cad.spec import Spec
from cad.units import INCH_MM, UnitName, plain

_FINE_MM = 2.0  # below this a tenth of a millimetre, or a 1/64 in, is too coarse a step
_HAIR = 1e-7


def more(spec: Spec, key: str, mm: float) -> str:
    """Return the words that set a length to at least `mm`, rounded up to a step of the file's unit."""
    return f'{key} = "{_length(mm, spec.unit, up=True)}" or more'


def less(spec: Spec, key: str, mm: float) -> str:
    """Return the words that set a length to at most `mm`, rounded down to a step of the file's unit."""
    return f'{key} = "{_length(mm, spec.unit, up=False)}" or less'


def more_plain(key: str, number: float) -> str:
    """Return the words that set an angle or a percentage to at least `number`, rounded up to a half."""
    return f"{key} = {plain(ceil(number * 2 - _HAIR) / 2)} or more"


def less_plain(key: str, number: float) -> str:
    """Return the words that set an angle or a percentage to at most `number`, rounded down to a half."""
    return f"{key} = {plain(floor(number * 2 + _HAIR) / 2)} or less"


def narrower(spec: Spec, turned_deg: float) -> str:
    """Return the words that let an arc turn no further than this: by its width when the file gives it.

    Nothing for a sole of another form, which turns as its own keys have it, nor for an arc that its spring
    alone turns so far.
    """
    turned_deg -= abs(spec.sole.spring)
    if not isinstance(spec.sole, ArcTable) or turned_deg <= 0:
        return ""
    if spec.origins["sole.width"].given:
        return less(spec, "sole.width", 2 * spec.sole.radius * sin(radians(turned_deg)))
    return less_plain("sole.arc", 2 * turned_deg)


def wider(spec: Spec, turned_deg: float) -> str:
    """Return the words that let an arc turn at least this far; nothing for a sole of another form."""
    if not isinstance(spec.sole, ArcTable):
        return ""
    if spec.origins["sole.width"].given:
        return more(spec, "sole.width", 2 * spec.sole.radius * sin(radians(turned_deg)))
    return more_plain("sole.arc", 2 * turned_deg)


def change(*ways: str, then: str = "") -> str:
    """Return a sentence that offers one way or several, and what else there is to say.

    >>> change("sole.arc = 60 or less", "iron.bevel = 25 or less")
    'Set sole.arc = 60 or less, or iron.bevel = 25 or less'
    """
    said = f"Set {', or '.join(way for way in ways if way)}" if any(ways) else ""
    return ". ".join(part for part in (said, then) if part)


def _length(mm: float, unit: UnitName, up: bool) -> str:
    if unit == "in" and mm >= _FINE_MM:
        parts = _stepped(mm, INCH_MM / 64, up)
        whole, rest = divmod(parts, 64)
        fraction = Fraction(rest, 64)
        return " ".join([str(whole)] * (whole > 0) + [str(fraction)] * (rest > 0)) + " in"
    step = 0.1 if mm >= _FINE_MM else 0.01
    return f"{plain(_stepped(mm, step, up) * step)} mm"


def _stepped(mm: float, step: float, up: bool) -> int:
    return ceil(mm / step - _HAIR) if up else floor(mm / step + _HAIR)
