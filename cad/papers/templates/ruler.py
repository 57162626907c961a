"""The rulers by which a print is checked: 100 mm, and 4 in beside it where the spec is in inches."""

from __future__ import annotations

from collections.abc import Iterator

from cad.outline import Point
from cad.papers.templates.ink import FINE, LEAST_TEXT_MM, Art, Words, joined, line
from cad.units import INCH_MM, UnitName

LONG_MM = 100
INCHES = 4
TICKS_MM = {10: 4.0, 5: 2.8, 1: 1.8}  # how long a tick is at every so many mm
SIXTEENTHS = {16: 4.0, 8: 3.2, 4: 2.4, 2: 1.8}  # and at every so many sixteenths of an inch
GAP_MM = 0.8  # between a tick and its number
DEEP_MM = 4.0 + GAP_MM + LEAST_TEXT_MM * 1.4  # from the ruler's line to beyond its numbers


def ruler(unit: UnitName) -> Art:
    """Return a ruler along x from 0, millimetres above its line and, for inches, these below it."""
    parts = [line(FINE, (0.0, 0.0), (_length(unit), 0.0)), *_millimetres()]
    return joined([*parts, *(_inches() if unit == "in" else ())])


def heights(unit: UnitName) -> tuple[float, float]:
    """Return how far a ruler reaches below and above its line."""
    return (DEEP_MM if unit == "in" else 0.0, DEEP_MM)


def must_measure(unit: UnitName) -> str:
    """Return what the rulers must measure, in words."""
    return "100 mm (and 4 in)" if unit == "in" else "100 mm"


def _length(unit: UnitName) -> float:
    return INCHES * INCH_MM if unit == "in" else float(LONG_MM)


def _millimetres() -> Iterator[Art]:
    for mm in range(LONG_MM + 1):
        tall = next(tall for every, tall in TICKS_MM.items() if mm % every == 0)
        yield line(FINE, (float(mm), 0.0), (float(mm), tall))
        if mm % 10 == 0:
            yield _number(str(mm), "mm" if mm == LONG_MM else "", (float(mm), 4.0 + GAP_MM), 1)


def _inches() -> Iterator[Art]:
    for part in range(0, INCHES * 16 + 1, 2):
        x = part * INCH_MM / 16
        tall = next(tall for every, tall in SIXTEENTHS.items() if part % every == 0)
        yield line(FINE, (x, 0.0), (x, -tall))
        if part % 16 == 0:
            number = part // 16
            yield _number(str(number), "in" if number == INCHES else "", (x, -4.0 - GAP_MM), -1)


def _number(text: str, unit: str, foot: Point, way: int) -> Art:
    """Return a number centred on its tick, and the unit after the last of them."""
    x, y = foot[0], foot[1] + way * LEAST_TEXT_MM / 2
    number = Words(text, (x, y), align="middle")
    return Art((), (number, Words(unit, (number.box[2] + 1.2, y))) if unit else (number,))
