"""What there is to do for a plane: which files of which format, for which of its parts and fixtures.

Loads no kernel: whether there is anything to do must be known before it is loaded.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from importlib.util import find_spec
from pkgutil import iter_modules

from cad.errors import CallError
from cad.outputs.formats import EACH, WHOLE

ASSEMBLY = "plane"  # the name that means the assembly of all parts
OFF_SHEET = "off_sheet"  # why cut pieces are on no sheet: found out as a format is made, but no file

Pieces = Mapping[str, Collection[str]]  # the names of a fixture's pieces, by the fixture's name


@dataclass(frozen=True)
class Selection:
    """Which parts and fixtures are wanted. `only` are the names asked for, none when all is wanted."""

    parts: tuple[str, ...]
    fixtures: tuple[str, ...]
    only: frozenset[str] = frozenset()

    def pieces(self, fixture: str) -> frozenset[str]:
        """Return the names of the pieces wanted of a fixture, none when it is wanted whole."""
        return frozenset() if fixture in self.only else self.only


@dataclass(frozen=True)
class Task:
    """Files to be made in one go: of one format, for one part or fixture or, with no item, for the plane."""

    format: str
    kind: str
    item: str = ""
    only: frozenset[str] = frozenset()  # of what belongs to it, these alone; none: all

    @property
    def name(self) -> str:
        """The name by which it is remembered: what was made of less is not taken for the whole."""
        words = [self.format, self.item or ASSEMBLY]
        return " ".join([*words, f"({','.join(sorted(self.only))})"] if self.only else words)


@dataclass(frozen=True)
class Lot:
    """Tasks for one and the same process: what they are made from is made once for all of them."""

    name: str
    tasks: tuple[Task, ...]


def part_names() -> list[str]:
    """Return the names of all parts. Loads none of them."""
    return _modules("cad.parts")


def fixture_names() -> list[str]:
    """Return the names of all fixtures. Loads none of them."""
    return _modules("fixtures")


def _modules(package: str) -> list[str]:
    spec = find_spec(package)
    places = spec.submodule_search_locations if spec else None
    return sorted(found.name for found in iter_modules(places) if not found.ispkg)


def unplaced(only: Iterable[str]) -> set[str]:
    """Return the names that are neither part nor fixture: they may be those of pieces."""
    return set(only) - {ASSEMBLY, *part_names(), *fixture_names()}


def selected(only: Collection[str], pieces: Pieces) -> Selection:
    """Return what is wanted when these names are given. Raises CallError for a name that is nothing.

    `pieces` must have those of all fixtures when one of the names may be a piece's.
    """
    parts, fixtures, named = part_names(), fixture_names(), set(only)
    if not named:
        return Selection(tuple(parts), tuple(fixtures))
    inner = [piece for found in pieces.values() for piece in found]
    known(sorted(unplaced(only)), [ASSEMBLY, *parts, *fixtures, *inner], "part, fixture or piece")
    return Selection(
        tuple(parts if ASSEMBLY in named else sorted(named.intersection(parts))),
        tuple(name for name in fixtures if name in named or named.intersection(pieces.get(name, ()))),
        frozenset(named),
    )


def tasks(formats: Mapping[str, Collection[str]], wanted: Selection) -> Iterator[Task]:
    """Yield all that is to be done, by format: `formats` has the kinds of file that each of them makes."""
    for name in sorted(formats):
        if EACH in formats[name]:
            yield from (Task(name, EACH, part) for part in wanted.parts)
            yield from _of_fixtures(name, wanted)
        if WHOLE in formats[name]:
            yield Task(name, WHOLE, only=wanted.only)
    yield from _of_fixtures(OFF_SHEET, wanted)


def lots(todo: Iterable[Task], company: Callable[[str], str]) -> list[Lot]:
    """Return the tasks in lots: for each part and fixture one, then those that want the plane as a whole.

    `company` names for each format the one that it makes the plane's files along with, itself where none.
    """
    found: dict[tuple[bool, str], list[Task]] = {}
    for task in todo:
        whole = not task.item
        found.setdefault((whole, company(task.format) if whole else task.item), []).append(task)
    # A part's or fixture's files need nothing else; by then much of what the plane's files need is built.
    ordered = sorted(found.items(), key=lambda one: one[0][0])
    return [Lot(f"{ASSEMBLY} as {key}" if whole else key, tuple(of)) for (whole, key), of in ordered]


def _of_fixtures(name: str, wanted: Selection) -> Iterator[Task]:
    return (Task(name, EACH, fixture, wanted.pieces(fixture)) for fixture in wanted.fixtures)


def known(names: Iterable[str], choices: Iterable[str], kind: str) -> None:
    """Raise CallError when one of the names is not among those to choose from."""
    there = sorted(set(choices))
    for name in names:
        if name not in there:
            near = get_close_matches(name, there, 1)
            meant = f"did you mean {near[0]}? " if near else ""
            raise CallError(f"there is no {kind} named {name!r}: {meant}there are {', '.join(there)}")
