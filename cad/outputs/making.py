"""Doing what there is to do for a plane: parts and fixtures are built when asked for, files made of them.

Whatever is built or made is given a stand-in for the plan, so that what it depends on is known afterwards.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import TypeVar, overload

from cad.geometry import Plan
from cad.kernel.mesh import CHORD_MM
from cad.outputs.again import Outcome, Wish, put_down
from cad.outputs.cutting import cutting
from cad.outputs.files import OutFile, refuse_twins
from cad.outputs.folder import GoneError
from cad.outputs.formats import WHOLE, company, format_names, made_by, offered, unavailable
from cad.outputs.inputs import Built, Inputs, Job
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.outputs.reads import Notes, watched
from cad.outputs.standing import Standing, standing
from cad.outputs.tasks import (
    OFF_SHEET,
    Lot,
    Selection,
    Task,
    fixture_names,
    lots,
    part_names,
    selected,
    tasks,
    unplaced,
)
from cad.parts import Part, build_part
from fixtures.bench.model import Declined, Fixture
from fixtures.bench.workshop import build_fixture

Begin = Callable[[str], None]
Item = Part | Fixture | Declined
T = TypeVar("T")


@dataclass(frozen=True)
class Finished:
    """What came of a lot: by task its files and what they were made from, and how items came about."""

    done: Mapping[str, tuple[list[OutFile], Job]]
    built: Mapping[str, Built]


@dataclass(frozen=True)
class Work:
    """A lot to be done, here or in a process forked for it: `run` returns what can be pickled."""

    name: str
    run: Callable[[Begin], Finished]


Share = Callable[[Sequence[Work]], Iterable[Finished]]  # does works, in whatever order


class Bench:
    """The parts and fixtures of one plane, each built when it is first asked for."""

    def __init__(self, plan: Plan, begin: Begin) -> None:
        self.plan, self.meshes, self.begin = plan, Meshes(), begin
        self._builders: dict[str, Callable[[Plan], Item]] = {
            **{name: partial(build_part, name) for name in part_names()},
            **{name: partial(build_fixture, name) for name in fixture_names()},
        }
        self._items: dict[str, Item] = {}
        self._reads: dict[str, set[str]] = {}
        self._late = Notes(set())

    def item(self, name: str) -> Item:
        """Return a part or fixture. Raises KernelError when it cannot be built."""
        if name not in self._items:
            self.begin(name)
            self._reads[name] = set()
            notes = Notes(self._reads[name])
            self._items[name] = self._builders[name](watched(self.plan, notes))
            notes.to = self._late
        return self._items[name]

    def note_in(self, reads: set[str]) -> None:
        """Note from now on in `reads` what is read of the plan by way of items, whose set-ups may hold it."""
        self._late.to = reads

    def built(self, name: str) -> Built:
        """Return how a part or fixture came about."""
        item, reads = self.item(name), frozenset(self._reads[name])
        pieces = tuple(piece.name for piece in item.pieces) if isinstance(item, Fixture) else ()
        return Built(reads, pieces, item.reason if isinstance(item, Declined) else "")

    def all_built(self) -> dict[str, Built]:
        return {name: self.built(name) for name in self._items}


class _Asked(Sequence[T]):
    """A sequence that is made when somebody first looks into it."""

    def __init__(self, make: Callable[[], Iterable[T]]) -> None:
        self._make = make
        self._made: tuple[T, ...] | None = None

    def _all(self) -> tuple[T, ...]:
        if self._made is None:
            self._made = tuple(self._make())
        return self._made

    @overload
    def __getitem__(self, at: int) -> T: ...
    @overload
    def __getitem__(self, at: slice) -> Sequence[T]: ...
    def __getitem__(self, at: int | slice) -> T | Sequence[T]:
        return self._all()[at]

    def __len__(self) -> int:
        return len(self._all())


def do(task: Task, bench: Bench, wanted: Selection) -> tuple[list[OutFile], Job]:
    """Return the files of a task and what they were made from. Raises what format and builders raise."""
    reads: set[str] = set()
    uses: set[str] = set()
    bench.note_in(reads)
    product = _product(task, bench, wanted, reads, uses)
    if task.format == OFF_SHEET:
        reasons = cutting(product, bench.meshes).off_sheet
        return [], Job(frozenset(reads), frozenset(uses), off_sheet=reasons)
    files = list(made_by(task.format, task.kind, product, bench.meshes))
    return files, Job(frozenset(reads), frozenset(uses), tuple(file.path for file in files))


def _product(task: Task, bench: Bench, wanted: Selection, reads: set[str], uses: set[str]) -> Product:
    """Return what a task is about, nothing of it built before somebody asks for it."""

    def asked(names: Iterable[str], kind: type[T]) -> _Asked[T]:
        def make() -> Iterable[T]:
            uses.update(names)
            return [item for name in names if isinstance(item := _cut_down(bench.item(name)), kind)]

        return _Asked(make)

    def _cut_down(item: Item) -> Item:
        only = wanted.pieces(item.name)
        return _only(item, only) if only and isinstance(item, Fixture) else item

    alone = task.kind != WHOLE
    parts = [name for name in wanted.parts if not alone or name == task.item]
    fixtures = [name for name in wanted.fixtures if not alone or name == task.item]
    return Product(
        watched(bench.plan, Notes(reads)),
        asked(parts, Part),
        asked(fixtures, Fixture),
        asked(fixtures, Declined),
        whole=not alone and not wanted.only,
    )


def _only(fixture: Fixture, names: frozenset[str]) -> Fixture:
    return replace(fixture, pieces=tuple(piece for piece in fixture.pieces if piece.name in names))


def make(wish: Wish, begin: Begin, share: Share | None = None) -> Outcome:
    """Make what is wanted and does not stand, telling each step as it begins, and bring the folder to it.

    `share` spreads the work over processes; without it, or where pieces are named, all is done here, in turn.
    Raises CallError for a name that is nothing, KernelError when a solid cannot be built, OutputError when
    the folder cannot be written.
    """
    bench = Bench(wish.plan, begin)
    here = partial(_in_turn, begin)
    # Whose a named piece is, is found out by building. A process whose kernel has worked is not forked: the
    # copy would lack the threads that it meshes with.
    spread = share if share and not unplaced(wish.only) else here
    try:
        return _make(wish, bench, spread, standing(wish.plan, wish.to))
    except GoneError:
        # Somebody changed the folder since it was looked at: then nothing of it is relied on.
        return _make(wish, bench, here, Standing())


def _in_turn(begin: Begin, works: Sequence[Work]) -> Iterable[Finished]:
    return (work.run(begin) for work in works)


def _make(wish: Wish, bench: Bench, share: Share, before: Standing) -> Outcome:
    wanted = _selection(wish, bench, before)
    formats = {name: _kinds(name) for name in sorted(wish.formats or format_names())}
    all_tasks = list(tasks(formats, wanted))
    kept = [task.name for task in all_tasks if before.has_made(task.name)]
    todo = [task for task in all_tasks if not before.has_made(task.name)]
    works = [Work(lot.name, partial(_finish, lot, bench, wanted)) for lot in lots(todo, company)]
    done: dict[str, tuple[list[OutFile], Job]] = {}
    built = bench.all_built()
    for finished in share(works):
        done.update(finished.done)
        built.update(finished.built)
    files = [file for task in todo for file in done[task.name][0]]
    refuse_twins([*(file.path for file in files), *(path for name in kept for path in before.files(name))])
    fresh = Inputs(formats=formats, built=built, jobs={task.name: done[task.name][1] for task in todo})
    return put_down(wish, wanted, before, kept, fresh, files, CHORD_MM)


def _finish(lot: Lot, bench: Bench, wanted: Selection, begin: Begin) -> Finished:
    """Return what comes of a lot. Parts and fixtures are built where it is done, unless they are there."""
    bench.begin = begin
    done = {}
    for task in lot.tasks:
        if task.format != OFF_SHEET:
            begin(f"writing {lot.name} as {task.format}" if task.item else f"writing {lot.name}")
        done[task.name] = do(task, bench, wanted)
    return Finished(done, bench.all_built())


def _kinds(name: str) -> tuple[str, ...]:
    return () if unavailable(name) else offered(name)


def _selection(wish: Wish, bench: Bench, before: Standing) -> Selection:
    """Return what is wanted. Where pieces are named, fixtures are built until it is known whose they are."""
    if not unplaced(wish.only):
        return selected(wish.only, {})
    pieces = {
        name: (before.inputs.built[name] if before.has_built(name) else bench.built(name)).pieces
        for name in fixture_names()
    }
    return selected(wish.only, pieces)
