"""Every error this tool raises on purpose. One place, cad/cli, turns them into words and exit statuses.

PlanewrightError
├── SpecError      the spec or the call is wrong (exit 2); carries one Fault for each thing wrong
├── ProfileError   a drawn profile cannot be used: where in its file, what is wrong and the cure (exit 2)
├── OffsetError    a curve has no parallel at the distance asked for
├── KernelError    the CAD kernel could not build a feature of a part
├── ProgramError   a program for the router failed when it was run on paper; `faults` are its findings
├── OutputError    a file could not be written or read (exit 2)
└── CallError      the command was called with something it cannot use (exit 2)
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


def printable(words: str) -> str:
    """Return words that came out of somebody's file as a terminal may show them: controls are spelled out.

    >>> printable("a\x1b[2Jb")
    'a\\x1b[2Jb'
    """
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in words)


class PlanewrightError(Exception):
    """Root of the tool's own errors. `blames_the_call` tells a wrong call from a failure of ours."""

    blames_the_call = False


@dataclass(frozen=True)
class Fault:
    """One thing wrong with an input: where, what was found, what is wrong with it and the cure.

    `line` counts from 1; 0 means the fault belongs to the file as a whole.
    """

    file: str
    line: int
    key: str
    value: str
    problem: str
    cure: str

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        found = f" = {self.value}" if self.value else ""
        key = f"{self.key}{found}: " if self.key else ""
        return printable(f"{place}: {key}{self.problem}. {self.cure}")


class SpecError(PlanewrightError):
    """A spec that cannot be used; `faults` lists everything wrong with it, in the order of its lines."""

    blames_the_call = True

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(faults, key=lambda fault: (fault.file, fault.line)))
        super().__init__("\n".join(map(str, self.faults)))


class ProfileError(PlanewrightError):
    """A drawn profile that cannot be used: where in its file, what is wrong with it and the cure."""

    blames_the_call = True

    def __init__(self, place: str, problem: str, cure: str) -> None:
        self.place, self.problem, self.cure = printable(place), printable(problem), cure
        where = f"{self.place}: " if place else ""
        super().__init__(f"{where}{self.problem}. {cure}")


class OffsetError(PlanewrightError):
    """A curve that has no parallel `by_mm` away: it would fold over itself, near the point `at`."""

    def __init__(self, by_mm: float, problem: str, at: tuple[float, float]) -> None:
        self.by_mm, self.problem, self.at = by_mm, problem, at
        super().__init__(f"no parallel {by_mm:g} mm away: {problem}")


class KernelError(PlanewrightError):
    """The kernel failed on one feature of one part."""

    def __init__(self, part: str, feature: str, problem: str) -> None:
        self.part, self.feature, self.problem = part, feature, problem
        super().__init__(f"{part}: {feature}: {problem}")


class ProgramError(PlanewrightError):
    """Programs for the router that would spoil wood or break a cutter; `faults` says each in words."""

    def __init__(self, faults: Iterable[str]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join((*self.faults, "Nothing was written: these programs must not be run.")))


class OutputError(PlanewrightError):
    """A file or folder could not be written or read back."""

    blames_the_call = True


class CallError(PlanewrightError):
    """The command was called with something it cannot use."""

    blames_the_call = True
