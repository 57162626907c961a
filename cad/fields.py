"""What a key of a spec may hold, and how it is worked out when the file leaves it out.

The models in cad/spec and cad/soles are written with these; the reader, the messages, the starter and the
docs all read the same models, so there is one table of keys and no second one to keep in step.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from annotated_types import Ge, GroupedMetadata, Gt, Le, Predicate
from pydantic import BaseModel, ConfigDict

from cad.units import INCH_MM, UnitName, format_limit, plain

Quantity = Literal["mm", "deg", "percent", "number"]


class Table(BaseModel):
    """A table of the spec: frozen, exact about types and closed to unknown keys."""

    # Validators are built when first used: a spec takes one, which holds those of all its tables.
    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False, defer_build=True)


@dataclass(frozen=True)
class Span(GroupedMetadata):
    """A number of some quantity from `low` (or above it, when `above`) to `high`."""

    quantity: Quantity
    low: float
    high: float
    above: bool = False

    def __iter__(self) -> Iterator[Any]:
        yield Gt(self.low) if self.above else Ge(self.low)
        yield Le(self.high)

    def allows(self, number: float) -> bool:
        return number <= self.high and (number > self.low if self.above else number >= self.low)

    def show(self, number: float, unit: UnitName) -> str:
        """Return a number of this quantity in words."""
        if self.quantity == "mm":
            return format_limit(number, unit)
        if self.quantity == "number":
            return plain(number, 4)
        return f"{plain(number)}{'°' if self.quantity == 'deg' else ' %'}"

    def limits(self, unit: UnitName) -> str:
        """Return the allowed range in words."""
        start = "above" if self.above else "from"
        return f"{start} {self.show(self.low, unit)} to {self.show(self.high, unit)}"


@dataclass(frozen=True)
class OneOf(GroupedMetadata):
    """A text out of a list, which is asked for when it is needed."""

    names: Callable[[], tuple[str, ...]]

    def __iter__(self) -> Iterator[Any]:
        yield Predicate(self.allows)

    def allows(self, text: str) -> bool:
        return text in self.names()


@dataclass(frozen=True)
class Word(GroupedMetadata):
    """A text of letters, digits, '-' and '_' that can name a file on any system."""

    longest: int

    def __iter__(self) -> Iterator[Any]:
        yield Predicate(self.allows)

    def allows(self, text: str) -> bool:
        return re.fullmatch(r"[A-Za-z0-9_-]+", text) is not None and len(text) <= self.longest


@dataclass(frozen=True)
class FileName(GroupedMetadata):
    """The name of a file beside the spec, folders parted by '/'; what it holds is read with the spec.

    A file must give a name; where a rule says that there is none, the value is empty.
    """

    longest: int = 200

    def __iter__(self) -> Iterator[Any]:
        return iter(())

    def allows(self, text: str) -> bool:
        return 0 < len(text) <= self.longest and text.isprintable()


@dataclass(frozen=True)
class Least(GroupedMetadata):
    """Of a list with a kind a place: how many places a file must fill; the others are 0 when left out."""

    count: int

    def __iter__(self) -> Iterator[Any]:
        return iter(())


class NotKnownError(Exception):
    """A value is asked for that is missing or faulty; what depends on it cannot be worked out either."""


@dataclass(frozen=True)
class Known:
    """The values found or worked out so far, by dotted key: mm, degrees, per cent, texts and tuples.

    `files` has what the files hold that are named by a key.
    """

    unit: UnitName
    values: Mapping[str, object]
    given: frozenset[str] = field(default_factory=frozenset)
    files: Mapping[str, bytes] = field(default_factory=dict)

    def plus(self, key: str, value: object) -> Known:
        return replace(self, values={**self.values, key: value})

    def __getitem__(self, key: str) -> float:
        """Return a number. Raises NotKnownError when there is none."""
        value = self.value(key)
        if not isinstance(value, float):
            raise TypeError(f"{key} is no number")
        return value

    def value(self, key: str) -> object:
        """Return a value of any kind. Raises NotKnownError when there is none."""
        if key not in self.values:
            raise NotKnownError(key)
        return self.values[key]

    def text(self, key: str) -> str:
        return str(self.value(key))

    def texts(self, key: str) -> tuple[str, ...]:
        value = self.value(key)
        return tuple(map(str, value)) if isinstance(value, tuple) else (str(value),)

    def numbers(self, key: str) -> tuple[float, ...]:
        value = self.value(key)
        return value if isinstance(value, tuple) else (self[key],)

    def show(self, mm: float) -> str:
        """Return a length in the file's own unit, for messages."""
        return format_limit(mm, self.unit)


PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Rule:
    """How a key gets its value when the file does not give it.

    `compute` may raise NotKnownError and ImpossibleError. `practice` marks what rests on the habits of the
    trade alone; the rest follows from geometry, a standard named in the reason, or is simply a tool's usual
    size.
    """

    key: str
    compute: Callable[[Known], object]
    reason: str | Callable[[Known], str]
    practice: bool = False

    def why(self, known: Known) -> str:
        words = self.reason if isinstance(self.reason, str) else self.reason(known)
        return f"{words} ({PRACTICE})" if self.practice else words


@dataclass(frozen=True)
class Problem:
    """Something impossible about values that are each in order: the keys to blame, the likeliest first."""

    keys: tuple[str, ...]
    problem: str
    cure: str


class ImpossibleError(Exception):
    """A rule finds that what it builds on is impossible, though each value is in order."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        super().__init__(problem.problem)


@dataclass(frozen=True)
class Origin:
    """Where a value comes from: given in the file, or worked out for a reason."""

    given: bool
    reason: str


def either(known: Known, mm: float, inches: float) -> float:
    """Return a customary length in mm: one figure for metric files, another for inch files."""
    return round(inches * INCH_MM, 9) if known.unit == "in" else float(mm)


def rounded(known: Known, value: float, mm: float, inches: float) -> float:
    """Return a length rounded to the nearest step of the file's own unit, halves up."""
    return _stepped(value, either(known, mm, inches), 0.5)


def rounded_up(known: Known, value: float, mm: float, inches: float) -> float:
    """Return a length rounded up to a step of the file's own unit."""
    return _stepped(value, either(known, mm, inches), 1 - 1e-9)


def rounded_down(known: Known, value: float, mm: float, inches: float) -> float:
    """Return a length rounded down to a step of the file's own unit."""
    return _stepped(value, either(known, mm, inches), 1e-9)


def _stepped(value: float, step: float, lift: float) -> float:
    # Rounding to 1e-9 mm removes the dust of binary fractions (0.1 · 3) and stays far below any tolerance.
    return round((value / step + lift) // 1 * step, 9)
