"""Making a folder again: what stands is kept, and where all of it stands the kernel is not even loaded."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from cad.geometry import Plan
from cad.outputs import manifest as manifests
from cad.outputs.files import OutFile
from cad.outputs.folder import write_folder
from cad.outputs.formats import format_names, unavailable
from cad.outputs.inputs import Inputs, all_reads
from cad.outputs.manifest import Manifest, manifest_of
from cad.outputs.reads import fingerprint
from cad.outputs.standing import Standing, standing
from cad.outputs.tasks import Selection, selected, tasks, unplaced
from cad.outputs.versions import versions


@dataclass(frozen=True)
class Wish:
    """What is wanted of a plane: parts, fixtures and pieces, and formats; all, where none is named."""

    plan: Plan
    to: Path
    only: frozenset[str] = frozenset()
    formats: frozenset[str] = frozenset()

    @property
    def is_partial(self) -> bool:
        """Whether files of an earlier output that are not wanted now are to be left as they are."""
        return bool(self.only or self.formats)


@dataclass(frozen=True)
class Outcome:
    """A folder as it is now: what was wanted, what its files were made from, how many were made and kept."""

    folder: Path
    wanted: Selection
    inputs: Inputs
    off_sheet: Mapping[str, str]
    made: int
    kept: int
    written: bool = True  # whether the folder had to be written anew

    @property
    def left_out(self) -> tuple[str, ...]:
        """The formats that this machine could not make."""
        return tuple(name for name, kinds in self.inputs.formats.items() if not kinds)


def unchanged(wish: Wish) -> Outcome | None:
    """Return the outcome when all that is wanted stands, None when something is to be made.

    Loads no kernel. Raises OutputError when the folder cannot be read, or belongs to another spec and only
    some of it is wanted.
    """
    before = standing(wish.plan, wish.to)
    formats = _known_formats(wish, before)
    wanted = _known_selection(wish, before)
    if formats is None or wanted is None:
        return None
    names = [task.name for task in tasks(formats, wanted)]
    if not all(map(before.has_made, names)):
        return None
    return put_down(wish, wanted, before, names, Inputs(formats=formats), (), before.chord_mm)


def _known_formats(wish: Wish, before: Standing) -> Mapping[str, tuple[str, ...]] | None:
    """Return which kinds of file each wanted format makes, None when only the kernel can tell."""
    kinds = before.inputs.formats
    wanted = sorted(wish.formats or format_names())
    if any(name not in kinds for name in wanted):
        return None
    # What the machine could not make then, it may be able to make by now.
    left_out = [name for name in wanted if not kinds[name]]
    if left_out and (wish.formats or not all(map(unavailable, left_out))):
        return None
    return {name: kinds[name] for name in wanted}


def _known_selection(wish: Wish, before: Standing) -> Selection | None:
    pieces = {name: built.pieces for name, built in before.inputs.built.items() if before.has_built(name)}
    there = {piece for found in pieces.values() for piece in found}
    return selected(wish.only, pieces) if unplaced(wish.only) <= there else None


def put_down(
    wish: Wish,
    wanted: Selection,
    before: Standing,
    kept: Collection[str],
    fresh: Inputs,
    files: Sequence[OutFile],
    chord_mm: float,
) -> Outcome:
    """Bring the folder to what is wanted: files made now, and those of the tasks named in `kept`.

    `fresh` is what the files made now were made from. What the folder holds already is not written again.
    Raises OutputError as `write_folder` does.
    """
    inputs = _together(wish.plan, before, kept, fresh, wanted)
    paths = [path for name in kept for path in before.files(name)]
    off_sheet = {piece: why for job in inputs.jobs.values() for piece, why in job.off_sheet.items()}
    manifest = manifest_of(
        wish.plan.spec.name,
        wish.plan.spec.digest,
        versions(),
        chord_mm,
        files,
        {name: built.declined for name, built in inputs.built.items() if built.declined},
        off_sheet,
        [before.entries[path] for path in paths],
        inputs,
    )
    folder = wish.to / wish.plan.spec.name
    written = bool(files) or _differs(manifest, before, wish.is_partial)
    if written:
        write_folder(wish.to, wish.plan.spec.name, files, manifest, wish.is_partial)
    return Outcome(folder, wanted, inputs, off_sheet, len(files), len(paths), written)


def _together(
    plan: Plan, before: Standing, kept: Collection[str], fresh: Inputs, wanted: Selection
) -> Inputs:
    """Return what all files were made from, those made now and those kept."""
    jobs = {**{name: before.inputs.jobs[name] for name in kept}, **fresh.jobs}
    built = {name: before.inputs.built[name] for name in _items(wanted) if before.has_built(name)}
    built.update({name: fresh.built[name] for name in _items(wanted) if name in fresh.built})
    values = {path: fingerprint(plan, path) for path in all_reads(built, jobs)}
    return Inputs(values, fresh.formats, built, jobs)


def _items(wanted: Selection) -> tuple[str, ...]:
    return (*wanted.parts, *wanted.fixtures)


def _differs(manifest: Manifest, before: Standing, is_partial: bool) -> bool:
    old = manifests.decoded(before.data)
    whole = manifests.merged(old, manifest) if is_partial and old is not None else manifest
    return manifests.encoded(whole) != before.data
