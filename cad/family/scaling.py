"""Values that change with the size: given at the smallest and the largest size, straight between them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from cad.errors import Fault
from cad.family.composing import leaves
from cad.fields import Span
from cad.spec.faults import fault_at
from cad.spec.keys import Kind
from cad.spec.lines import KeyPath
from cad.spec.source import Source
from cad.spec.starter import value_text
from cad.spec.values import ValueFaultError, nearest, read_value
from cad.units import INCH_MM, UnitName

STEP_MM = 0.5  # to which lengths between the two ends are rounded, in a file in mm
STEP_IN = INCH_MM / 32  # and in one in inches
STEP_OTHER = 0.5  # degrees, per cent
HOW = "Write [value at the smallest size, value at the largest]"


@dataclass(frozen=True)
class Scale:
    """One key and its values at both ends, in mm, degrees or per cent."""

    path: KeyPath
    kind: Span
    low: float
    high: float

    def at(self, share: float, unit: UnitName) -> Any:
        """Return the value, as a spec would hold it, at a share of the way from the smallest size (0) to
        the largest (1): exact at the ends, rounded to the shop's steps between."""
        value = self.low + (self.high - self.low) * share
        if 0 < share < 1:
            step = STEP_OTHER if self.kind.quantity != "mm" else STEP_IN if unit == "in" else STEP_MM
            value = round(value / step) * step
        text = value_text(self.kind, value, unit)
        return text.strip('"') if text.startswith('"') else float(text)


def scales(
    source: Source, table: Any, kinds: Mapping[str, Kind], sized_by: KeyPath, unit: UnitName
) -> tuple[list[Scale], list[Fault]]:
    """Return the scaled keys of [family.scale], and what is wrong with others.

    `kinds` are a spec's keys, and `sized_by` is the one that the family itself gives.
    """
    if not isinstance(table, dict):
        return [], [fault_at(source, ("family", "scale"), table, "this is no table of keys", HOW)]
    found: list[Scale] = []
    faults: list[Fault] = []
    for path, raw in leaves(table):
        key = ("family", "scale", *path)
        kind = kinds.get(".".join(path))
        if kind is None:
            hint = nearest(".".join(path), tuple(kinds))
            faults.append(fault_at(source, key, raw, "there is no such key in a spec", hint or HOW))
        elif not isinstance(kind, Span) or path == sized_by:
            faults.append(fault_at(source, key, raw, "this key has no value that could be scaled", HOW))
        elif not isinstance(raw, list) or len(raw) != 2:
            faults.append(fault_at(source, key, raw, "this is no pair of values", HOW))
        else:
            try:
                low, high = (read_value(kind, item, unit) for item in raw)
            except ValueFaultError as error:
                faults.append(fault_at(source, key, raw, error.problem, error.cure))
            else:
                assert isinstance(low, float) and isinstance(high, float)  # what a Span is read as
                found.append(Scale(path, kind, low, high))
    return found, faults
