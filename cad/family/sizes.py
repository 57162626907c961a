"""The sizes of a family, radii or widths: a list, or a first one and a step."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from cad.errors import Fault
from cad.fields import Span
from cad.spec.faults import fault_at
from cad.spec.lines import KeyPath
from cad.spec.source import Source
from cad.spec.starter import value_text
from cad.spec.values import ValueFaultError, read_value
from cad.units import UnitName

LENGTH = Span("mm", 0.01, 500)  # whether a plane can have such a size is for its own spec to say
MOST = 99  # sizes: their numbers have two digits
RULE = ("first", "step", "count", "last")
LISTS = {"radii": "sole.radius", "widths": "sole.width"}  # which key of a spec a list gives the sizes of
HOW = (
    'Give radii = ["1/4 in", "3/8 in", …] (of mouldings widths), or first = "1/4 in", step = "1/8 in" and '
    "count = 9 (or last)"
)


@dataclass(frozen=True)
class Size:
    """One radius or width in mm, as a spec would hold it, and the key that it comes from."""

    mm: float
    written: Any
    key: KeyPath


class SizesError(Exception):
    """The sizes cannot be had: carries the faults."""

    def __init__(self, *faults: Fault) -> None:
        self.faults = faults
        super().__init__("\n".join(map(str, faults)))


def sizes(source: Source, table: Mapping[str, Any], unit: UnitName) -> tuple[Size, ...]:
    """Return the sizes of a [family] table, from the smallest. Raises SizesError."""
    rule = [key for key in RULE if key in table]
    lists = [key for key in LISTS if key in table]
    if len(lists) + bool(rule) != 1:
        problem = "the sizes are given twice over" if rule or lists else "the family has no sizes"
        raise SizesError(fault_at(source, ("family", *(rule or lists)[:1]), None, problem, HOW))
    found = tuple(_listed(source, lists[0], table, unit) if lists else _ruled(source, table, unit))
    if len(found) > MOST:
        key = found[0].key
        raise SizesError(
            fault_at(source, key, None, f"it comes to {len(found)} sizes", f"Make it {MOST} at the most")
        )
    for one, two in pairwise(found):
        if two.mm <= one.mm + 1e-9:
            problem = f"the {lists[0] if lists else 'sizes'} do not rise: the second of two is not the larger"
            raise SizesError(fault_at(source, two.key, two.written, problem, "Write them from the smallest"))
    return found


def _listed(source: Source, name: str, table: Mapping[str, Any], unit: UnitName) -> Iterator[Size]:
    key, raw = ("family", name), table[name]
    if not isinstance(raw, list) or not raw:
        raise SizesError(fault_at(source, key, raw, f"this is no list of {name}", HOW))
    for item in raw:
        yield Size(_length(source, key, item, unit), item, key)


def _ruled(source: Source, table: Mapping[str, Any], unit: UnitName) -> Iterator[Size]:
    if not {"first", "step"} <= table.keys() or ("count" in table) == ("last" in table):
        raise SizesError(
            fault_at(source, ("family", "first"), None, "the rule for the sizes is not complete", HOW)
        )
    first, step = (_length(source, ("family", key), table[key], unit) for key in ("first", "step"))
    for at in range(_count(source, table, unit, first, step)):
        mm = round(first + at * step, 9)
        text = value_text(LENGTH, mm, unit)
        yield Size(mm, text.strip('"') if text.startswith('"') else float(text), ("family", "step"))


def _count(source: Source, table: Mapping[str, Any], unit: UnitName, first: float, step: float) -> int:
    if "count" in table:
        count = table["count"]
        if type(count) is not int or not 1 <= count <= MOST:
            key = ("family", "count")
            raise SizesError(
                fault_at(
                    source, key, count, "this is no number of sizes", f"Write a whole number, 1 to {MOST}"
                )
            )
        return count
    key = ("family", "last")
    steps = (_length(source, key, table["last"], unit) - first) / step
    if steps < -1e-9 or abs(steps - round(steps)) > 1e-6:
        problem = "the last size is not a whole number of steps from the first"
        raise SizesError(fault_at(source, key, table["last"], problem, "Change last or step, or give count"))
    return min(round(steps), MOST) + 1


def _length(source: Source, key: KeyPath, raw: Any, unit: UnitName) -> float:
    try:
        value = read_value(LENGTH, raw, unit)
    except ValueFaultError as error:
        raise SizesError(fault_at(source, key, raw, error.problem, error.cure)) from error
    assert isinstance(value, float)  # what a Span is read as
    return value
