"""One check: a value held against its limit, in words that a maker can act on."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import Literal

from cad.fields import PRACTICE

Level = Literal["note", "warn", "fail"]
Unit = Literal["mm", "deg", "percent"]
Bound = Literal["at least", "at most"]

LEVELS: tuple[Level, ...] = ("fail", "warn", "note")  # the worst first
NO_CURE = "Nothing to change"
GEOMETRY = "follows from the geometry"


@dataclass(frozen=True)
class Check:
    """A value, its limit and what they mean.

    `holds` says whether the value keeps to the limit. `level` is how bad it is when it does not; a check that
    holds is a note, so that counting levels never counts it as trouble. `limit` is the limit broken, or the
    strictest one while the check holds. `source` names what published the limit, or says that it is common
    practice.
    """

    id: str
    holds: bool
    level: Level
    value: float
    unit: Unit
    bound: Bound
    limit: float
    source: str
    why: str
    cure: str


def at_least(
    name: str,
    value: float,
    unit: Unit = "mm",
    *,
    why: str,
    cure: str,
    fail: float | None = None,
    warn: float | None = None,
    note: float | None = None,
    source: str = PRACTICE,
) -> Check:
    """Return the check that a value does not fall below its limits, one for each level that has one."""
    return _held(name, value, unit, "at least", (fail, warn, note), source, why, cure)


def at_most(
    name: str,
    value: float,
    unit: Unit = "mm",
    *,
    why: str,
    cure: str,
    fail: float | None = None,
    warn: float | None = None,
    note: float | None = None,
    source: str = PRACTICE,
) -> Check:
    """Return the check that a value does not rise above its limits, one for each level that has one."""
    return _held(name, value, unit, "at most", (fail, warn, note), source, why, cure)


# The sine and its kin leave dust in the last digits, and a value set to its very limit must keep to it.
_DUST = 1e-9


def _held(
    name: str,
    value: float,
    unit: Unit,
    bound: Bound,
    limits: tuple[float | None, float | None, float | None],
    source: str,
    why: str,
    cure: str,
) -> Check:
    if not isfinite(value):
        raise ValueError(f"{name}: {value} is no number to check")
    graded = [(level, limit) for level, limit in zip(LEVELS, limits, strict=True) if limit is not None]
    for level, limit in graded:
        if (limit - value if bound == "at least" else value - limit) > _DUST:
            return Check(name, False, level, value, unit, bound, limit, source, why, cure)
    return Check(name, True, "note", value, unit, bound, graded[-1][1], source, why, NO_CURE)
