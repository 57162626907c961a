"""What the files of an output folder were made from, as its manifest remembers it.

A *job* makes files in one go: those of one format for one part or fixture, or those of one format for the
plane. Of each job, and of the building of each part and fixture, it is remembered which values of the plan
were read; of each job besides which parts and fixtures it asked for. Loads no kernel.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Any

Paths = frozenset[str]


@dataclass(frozen=True)
class Built:
    """How a part or fixture was built: values read, names of a fixture's pieces, or why it was not."""

    reads: Paths
    pieces: tuple[str, ...] = ()
    declined: str = ""


@dataclass(frozen=True)
class Job:
    """How files were made: the values read of the plan, the parts and fixtures asked for, the files.

    `off_sheet` says of cut pieces why they are on no sheet: that is a file's worth of work, and no file.
    """

    reads: Paths
    uses: Paths
    files: tuple[str, ...] = ()
    off_sheet: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Inputs:
    """All that a folder was made from.

    `values` has the fingerprint of each value read, `formats` the kinds of file that each format makes (see
    `cad.outputs.formats`), none for one that the machine could not make.
    """

    values: Mapping[str, str] = field(default_factory=dict)
    formats: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    built: Mapping[str, Built] = field(default_factory=dict)
    jobs: Mapping[str, Job] = field(default_factory=dict)


def all_reads(built: Mapping[str, Built], jobs: Mapping[str, Job]) -> Paths:
    """Return the path of every value that was read."""
    return frozenset().union(*(one.reads for one in built.values()), *(job.reads for job in jobs.values()))


def merged(old: Inputs, new: Inputs) -> Inputs:
    """Return what two runs of one spec remember together. A job that lost a file to another is forgotten."""
    taken = {path: name for name, job in new.jobs.items() for path in job.files}
    standing = {
        name: job
        for name, job in old.jobs.items()
        if all(taken.get(path, name) == name for path in job.files)
    }
    return Inputs(
        {**old.values, **new.values},
        {**old.formats, **new.formats},
        {**old.built, **new.built},
        {**standing, **new.jobs},
    )


def as_table(inputs: Inputs) -> dict[str, Any]:
    """Return the inputs ready for JSON. Paths are numbered: each is read by many jobs."""
    paths = sorted(all_reads(inputs.built, inputs.jobs))
    number = {path: i for i, path in enumerate(paths)}
    return {
        "values": [[path, inputs.values[path]] for path in paths],
        "formats": {name: list(kinds) for name, kinds in inputs.formats.items()},
        "built": {
            name: {"reads": _numbers(one.reads, number), "pieces": list(one.pieces), "declined": one.declined}
            for name, one in inputs.built.items()
        },
        "jobs": {
            name: {
                "reads": _numbers(job.reads, number),
                "uses": " ".join(sorted(job.uses)),
                "files": list(job.files),
                "off_sheet": dict(job.off_sheet),
            }
            for name, job in inputs.jobs.items()
        },
    }


def from_table(table: Mapping[str, Any]) -> Inputs:
    """Return the inputs that `as_table` made a table of."""
    paths = [path for path, _ in table["values"]]
    return Inputs(
        dict(table["values"]),
        {name: tuple(kinds) for name, kinds in table["formats"].items()},
        {
            name: Built(_paths(one["reads"], paths), tuple(one["pieces"]), one["declined"])
            for name, one in table["built"].items()
        },
        {
            name: Job(
                _paths(one["reads"], paths),
                frozenset(one["uses"].split()),
                tuple(one["files"]),
                one["off_sheet"],
            )
            for name, one in table["jobs"].items()
        },
    )


def _numbers(paths: Collection[str], number: Mapping[str, int]) -> str:
    return " ".join(map(str, sorted(number[path] for path in paths)))


def _paths(numbers: str, paths: list[str]) -> Paths:
    return frozenset(paths[int(number)] for number in numbers.split())
