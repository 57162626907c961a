"""Which errors of the shop matter: how far throat and iron come out other than planned, and what it does.

Every source of error is taken to lie anywhere within its accuracy, either way, and by itself (a rectangular
distribution, JCGM 100:2008, 4.3.7). Wedge and iron's edge are made to the plan; the throat is what the shop
makes of it. What was measured at the bench is known, and varies no more.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import sqrt
from random import Random
from typing import Literal

from cad.geometry.plan import Plan
from cad.geometry.seating import Flank, GroundEdge

Unit = Literal["mm", "deg"]
Values = Sequence[float]

SAMPLES = 3000
SEED = 1  # any will do: the same spec gives the same figures
STEPS = 32  # of one error alone, for its share
DUST = 1e-18  # mm²: a variance below this is none
TAIL = 0.05  # left out at either end of the usual range


@dataclass(frozen=True)
class Source:
    """One source of error: what it is of, its planned value, and how far it may be off either way."""

    of: str
    unit: Unit
    planned: float
    within: float


@dataclass(frozen=True)
class Outcome:
    """What errors do to one size, mm.

    `planned` is its value without error. `low` and `high` hold nine tenths of what comes out, `least` and
    `most` all of it, with the corners where every error is at its limit. `shares` says how much of the
    variance each source makes, each varied alone: they add up to 1 unless nothing varies.
    """

    id: str
    what: str
    planned: float
    mean: float
    spread: float  # standard deviation
    low: float
    high: float
    least: float
    most: float
    shares: Mapping[str, float]


@dataclass(frozen=True)
class Study:
    """The sources of error and what they come to."""

    sources: tuple[Source, ...]
    outcomes: tuple[Outcome, ...]


OUTCOMES = (
    ("mouth.gap", "mouth gap"),
    ("wedge.stand_off", "light at the wedge, against iron or front face: at its head, or (negative) its tip"),
    ("wedge.sink", "how much deeper the wedge sits"),
    ("edge.off_sole", "edge off the sole at the worse of its ends, square to it"),
)


def sources(plan: Plan) -> tuple[Source, ...]:
    """Return the five sources of error, with no error left in what was measured."""
    accuracy, throat, known = plan.spec.shop.accuracy, plan.throat, plan.planned.measured.found

    def within(name: str, allowed: float) -> float:
        return 0.0 if name in known else allowed

    return (
        Source("throat.bed", "deg", throat.bed_deg, within("bed", accuracy.angle)),
        Source("throat.front", "deg", throat.front_deg, within("front", accuracy.angle)),
        Source("throat.mouth", "mm", throat.mouth, within("mouth", accuracy.length)),
        Source("throat.depth", "mm", throat.depth, within("throat_depth", accuracy.length)),
        Source("iron.thickness", "mm", throat.iron, within("iron_thickness", accuracy.iron)),
    )


def study(plan: Plan) -> Study:
    """Return what the shop's accuracy does to a plane."""
    found = sources(plan)
    sizes = sizes_of(plan)
    planned = sizes([source.planned for source in found])
    lot = Random(SEED)
    drawn = [
        sizes([source.planned + source.within * lot.uniform(-1, 1) for source in found])
        for _ in range(SAMPLES)
    ]
    limits = [(source.planned - source.within, source.planned + source.within) for source in found]
    corners = [planned, *(sizes(values) for values in product(*limits))]
    alone = [_alone(sizes, found, place) for place in range(len(found))]
    outcomes = []
    for i, (name, what) in enumerate(OUTCOMES):
        shares = _shares([row[i] for row in alone])
        ranges = _ranges([row[i] for row in drawn], [row[i] for row in corners])
        named = {source.of: share for source, share in zip(found, shares, strict=True)}
        outcomes.append(Outcome(name, what, planned[i], *ranges, named))
    return Study(found, tuple(outcomes))


Sizes = tuple[float, float, float, float]


def sizes_of(plan: Plan) -> Callable[[Values], Sizes]:
    """Return the function from bed, front, mouth, depth and iron to the sizes of OUTCOMES, in their order."""
    flank, edge = Flank(plan.wedge), GroundEdge(plan.sole, plan.throat.bed_deg)

    def sizes(values: Values) -> Sizes:
        bed, front, mouth, depth, iron = values
        throat = replace(plan.throat, bed_deg=bed, front_deg=front, mouth=mouth, depth=depth, iron=iron)
        seat = flank.seat(replace(plan.wedge, throat=throat))
        # The iron stands against the throat's blind wall: a depth that is off moves its edge aside.
        left, right = edge.off_sole(bed, depth - plan.throat.depth)
        return throat.gap, seat.stand_off, seat.sink, max(abs(left), abs(right))

    return sizes


def _alone(sizes: Callable[[Values], Sizes], found: Sequence[Source], place: int) -> list[float]:
    """Return the variance of each size while one source alone varies, in even steps over its range."""
    values = [source.planned for source in found]
    rows = []
    for step in range(STEPS):
        values[place] = found[place].planned + found[place].within * ((2 * step + 1) / STEPS - 1)
        rows.append(sizes(values))
    return [_variance(column) for column in zip(*rows, strict=True)]


def _shares(variances: Sequence[float]) -> list[float]:
    whole = sum(variances)
    return [one / whole if whole > DUST else 0.0 for one in variances]


def _variance(numbers: Sequence[float]) -> float:
    mean = sum(numbers) / len(numbers)
    return sum((one - mean) ** 2 for one in numbers) / len(numbers)


def _ranges(
    drawn: Sequence[float], corners: Sequence[float]
) -> tuple[float, float, float, float, float, float]:
    """Return mean, standard deviation, the usual range and the whole of it."""
    ordered = sorted(drawn)
    tail = int(TAIL * len(ordered))
    return (
        sum(drawn) / len(drawn),
        sqrt(_variance(drawn)),
        ordered[tail],
        ordered[-1 - tail],
        min(ordered[0], *corners),
        max(ordered[-1], *corners),
    )
