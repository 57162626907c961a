"""One step of the work as data, and its turning into blocks of a sheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.papers.sheet.amounts import Amounts
from cad.papers.sheet.document import (
    Block,
    Caution,
    Notice,
    Picture,
    Pictures,
    Points,
    Section,
    Table,
    Words,
)
from fixtures.bench.model import Declined, Fixture

Row = tuple[str, str]
Test = tuple[str, str, str]  # what, by what gauge, how much is allowed

PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Step:
    """A step: what to do, with which numbers and fixtures, what to check, and what can hurt.

    `work` and `stage` say which wood it is done on, as a fixture does; `fixtures` are called for by name.
    """

    title: str
    stage: Stage
    do: tuple[str, ...]
    numbers: tuple[Row, ...] = ()
    tests: tuple[Test, ...] = ()
    tables: tuple[Table, ...] = ()
    cautions: tuple[str, ...] = ()
    notices: tuple[str, ...] = ()
    fixtures: tuple[str, ...] = ()
    work: Literal["body", "cheek_plate", "wedge", "iron"] = "body"
    asides: tuple[str, ...] = ()


@dataclass(frozen=True)
class Bench:
    """What a step is worked out from: the plan, and the fixtures that were made for it or declined."""

    plan: Plan
    fixtures: Mapping[str, Fixture]
    declined: Mapping[str, Declined]

    @property
    def amounts(self) -> Amounts:
        return Amounts(self.plan.spec.unit)

    def length(self, mm: float) -> str:
        return self.amounts.length(mm)

    def has(self, name: str) -> bool:
        return name in self.fixtures


def placed(steps: Sequence[Step], fixtures: Mapping[str, Fixture]) -> dict[str, int]:
    """Return for each fixture that no step calls for the step it belongs to, by its work and stage."""
    called = {name for step in steps for name in step.fixtures}
    return {name: _home(steps, one) for name, one in fixtures.items() if name not in called}


def _home(steps: Sequence[Step], fixture: Fixture) -> int:
    same = [i for i, s in enumerate(steps) if s.work == fixture.work and s.stage == fixture.stage]
    near = [i for i, s in enumerate(steps) if s.work == fixture.work and fixture.work != "body"]
    return (same or near or [len(steps) - 1])[-1]


def section(
    number: int, step: Step, bench: Bench, more: Sequence[str], pictures: Mapping[str, Picture]
) -> Section:
    """Return a step under its heading; `more` are fixtures it did not call for."""
    names = [name for name in (*step.fixtures, *more) if bench.has(name)]
    return Section(f"{number}. {step.title}", tuple(_blocks(step, names, more, bench, pictures)), level=2)


def _blocks(
    step: Step, names: Sequence[str], more: Sequence[str], bench: Bench, pictures: Mapping[str, Picture]
) -> Iterator[Block]:
    yield Words(f"Work: {_work_words(step)}.", small=True)
    yield from _cautions(step, names, bench)
    if step.notices:
        yield Notice(step.notices)
    yield Pictures(
        tuple(pictures[name] for name in names if name in pictures), beside=(Points(step.do, numbered=True),)
    )
    if names:
        yield Words(_fixture_words(names, bench), small=True)
    for name in more:
        if bench.has(name) and bench.fixtures[name].notes:
            yield Points(bench.fixtures[name].notes)
    if step.numbers:
        yield Table((), step.numbers, (3.4, 3))
    yield from step.tables
    if step.tests:
        yield Table(("Check", "With", "Allowed"), step.tests, (3.2, 3, 2.4))
    for name in step.fixtures:
        if name in bench.declined:
            yield Words(f"No {spoken(name)} for this plane: {bench.declined[name].reason}.", small=True)
    for aside in step.asides:
        yield Words(aside, small=True)


def _cautions(step: Step, names: Sequence[str], bench: Bench) -> Iterator[Caution]:
    """Yield the step's own cautions and its fixtures', each fixture's by itself where there are several."""
    own = {name: bench.fixtures[name].cautions for name in names if bench.fixtures[name].cautions}
    apart = len(own) > 1
    together = (
        step.cautions if apart else (*step.cautions, *(item for items in own.values() for item in items))
    )
    if together:
        yield Caution(tuple(dict.fromkeys(together)))
    if apart:
        yield from (Caution(items, spoken(name)) for name, items in own.items())


def _work_words(step: Step) -> str:
    """Return which wood a step is done on, and how far that has come."""
    if step.work != "body":
        return step.work.replace("_", " ")
    return "the blank" if step.stage is Stage.BLANK else f"the body, {step.stage}"


def _fixture_words(names: Sequence[str], bench: Bench) -> str:
    parts = []
    for name in names:
        pieces = bench.fixtures[name].pieces
        made = " and ".join(dict.fromkeys(piece.made for piece in pieces))
        count = f"{len(pieces)} pieces" if len(pieces) > 1 else "one piece"
        parts.append(f"{spoken(name)} ({count}, {made}; set-up in fixtures/{name}.txt)")
    return f"Fixtures: {'; '.join(parts)}."


def spoken(name: str) -> str:
    """Return a fixture's name in words."""
    return name.replace("_", " ")
