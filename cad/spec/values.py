"""One value as it stands in the file, to one value of the model; every way it can be wrong, in words."""

from __future__ import annotations

from math import isfinite
from typing import Any

from cad.fields import FileName, OneOf, Span, Word
from cad.spec.keys import Kind, Several
from cad.units import LengthError, UnitName, parse_length, to_mm

LONGEST_SHOWN = 60

_TYPES = {
    bool: "true or false",
    str: "a text",
    int: "a number",
    float: "a number",
    list: "a list",
    dict: "a table",
}


class ValueFaultError(Exception):
    """A value that its key cannot hold: what is wrong with it and the cure."""

    def __init__(self, problem: str, cure: str) -> None:
        self.problem, self.cure = problem, cure
        super().__init__(f"{problem}. {cure}")


def read_value(kind: Kind, raw: Any, unit: UnitName | None) -> object:
    """Return a raw TOML value in mm, degrees or per cent, as a text, or as a tuple of these.

    `unit` is that of bare lengths. Raises ValueFaultError.
    """
    if isinstance(kind, Span):
        return _number(kind, raw, unit or "mm")
    if isinstance(kind, Several):
        return _several(kind, raw, unit)
    return _text(kind, raw)


def needs_unit(kind: Kind, raw: Any) -> bool:
    """Return whether a value is or holds a bare length, which means nothing while the unit is unknown."""
    if isinstance(kind, Several):
        items = raw if isinstance(raw, list) else []
        return any(needs_unit(inner, item) for inner in kind.items for item in items)
    return isinstance(kind, Span) and kind.quantity == "mm" and not isinstance(raw, str)


def shown(raw: Any) -> str:
    """Return a raw value as the file might write it, on one line and cut where it is long."""
    try:
        text = _written(raw)
    except (ValueError, RecursionError):  # a whole number of too many digits, or lists within lists
        return "…"
    return text if len(text) <= LONGEST_SHOWN else f"{text[: LONGEST_SHOWN - 1]}…"


def _written(raw: Any) -> str:
    if isinstance(raw, str):
        import json  # JSON's strings are TOML's basic strings; only a faulty spec pays for loading it

        # What would move the cursor or turn the line about is spelled out.
        return "".join(
            c if c.isprintable() else json.dumps(c)[1:-1] for c in json.dumps(raw, ensure_ascii=False)
        )
    if isinstance(raw, bool):
        return "true" if raw else "false"
    if isinstance(raw, list):
        return f"[{', '.join(map(_written, raw))}]"
    if isinstance(raw, dict):
        return f"{{{', '.join(f'{key} = {_written(value)}' for key, value in raw.items())}}}"
    return repr(raw) if isinstance(raw, int | float) else str(raw)


def nearest(name: str, known: tuple[str, ...]) -> str:
    """Return the words "Did you mean …? " where a known name is near, else nothing."""
    by_lower = {one.lower(): one for one in known}
    from difflib import get_close_matches  # only a faulty spec pays for loading it

    close = get_close_matches(name[:LONGEST_SHOWN].lower(), by_lower, n=1, cutoff=0.6)
    return f'Did you mean "{by_lower[close[0]]}"? ' if close else ""


def type_name(raw: Any) -> str:
    """Return what a raw value is, in words."""
    return _TYPES.get(type(raw), "a date or time")


def check_span(kind: Span, number: float, unit: UnitName) -> None:
    """Raise ValueFaultError when a number (mm, degrees, per cent) is outside its range."""
    limits = f"It must be {kind.limits(unit)}"
    if not isfinite(number):
        raise ValueFaultError("the number is not a finite one", limits)
    if kind.allows(number):
        return
    if number < 0 and kind.quantity == "mm":
        raise ValueFaultError("the length is negative", limits)
    low = number <= kind.low
    raise ValueFaultError(f"the value is too {'small' if low else 'large'}", limits)


def _number(kind: Span, raw: Any, unit: UnitName) -> float:
    number = _length(raw, unit, kind) if kind.quantity == "mm" else _bare(raw, kind, unit)
    check_span(kind, number, unit)
    return number


def _length(raw: Any, unit: UnitName, kind: Span) -> float:
    if not isinstance(raw, str):
        return to_mm(_bare(raw, kind, unit), unit)
    try:
        return parse_length(raw)
    except LengthError as error:
        raise ValueFaultError(error.problem, error.cure) from error


def _bare(raw: Any, kind: Span, unit: UnitName) -> float:
    limits = f"It must be {kind.limits(unit)}"
    if type(raw) not in (int, float):
        wanted = {
            "mm": f'a length: a text such as "9.5 mm" or "3/8 in", or a number in {unit}',
            "deg": "an angle: a bare number in degrees",
            "percent": "a bare number in per cent",
            "number": "a bare number",
        }[kind.quantity]
        raise ValueFaultError(f"{type_name(raw)} stands where {wanted} belongs", limits)
    try:
        return float(raw)
    except OverflowError as error:
        raise ValueFaultError("the value is too large", limits) from error


def _text(kind: OneOf | Word | FileName, raw: Any) -> str:
    allowed = _allowed(kind)
    if not isinstance(raw, str):
        raise ValueFaultError(f"{type_name(raw)} stands where a text in quotes belongs", allowed)
    if not isinstance(kind, OneOf):
        if not kind.allows(raw):
            problem = "the name is empty" if not raw else "the name cannot name files"
            raise ValueFaultError(problem, allowed)
        return raw
    names = kind.names()
    if raw not in names:
        raise ValueFaultError("this is none of the values known", f"{nearest(raw, names)}{allowed}")
    return raw


def _allowed(kind: OneOf | Word | FileName) -> str:
    if isinstance(kind, FileName):
        return 'Give the name of a file beside the spec, as in "ogee.dxf"'
    if isinstance(kind, Word):
        return f"Use 1 to {kind.longest} letters (A to Z, a to z), digits, '-' and '_'"
    return "It must be one of " + ", ".join(f'"{name}"' for name in kind.names())


def _several(kind: Several, raw: Any, unit: UnitName | None) -> tuple[object, ...]:
    most = len(kind.items)
    count = f"{most} values" if kind.least == most else f"{kind.least} to {most} values"
    count = "at least one value" if kind.repeats else count
    if not isinstance(raw, list):
        raise ValueFaultError(f"{type_name(raw)} stands where a list belongs", f"Write [ … ] with {count}")
    if kind.repeats:
        _check_free_list(kind, raw)
    elif not kind.least <= len(raw) <= most:
        raise ValueFaultError(f"the list holds {len(raw)} values", f"Write {count}")
    else:
        raw = [*raw, *[0] * (most - len(raw))]
    items = kind.items * len(raw) if kind.repeats else kind.items
    found = []
    for place, (inner, item) in enumerate(zip(items, raw, strict=True), start=1):
        try:
            found.append(read_value(inner, item, unit))
        except ValueFaultError as error:
            raise ValueFaultError(f"in place {place}, {shown(item)}: {error.problem}", error.cure) from error
    return tuple(found)


def _check_free_list(kind: Several, raw: list[Any]) -> None:
    if not raw:
        raise ValueFaultError("the list is empty", "Give at least one value")
    if isinstance(kind.items[0], Span):
        return  # two measurements may well come out alike
    twice = [item for place, item in enumerate(raw) if item in raw[:place]]
    if twice:
        raise ValueFaultError(f"{shown(twice[0])} stands in the list twice", "Keep one of them")
