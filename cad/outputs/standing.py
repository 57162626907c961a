"""What of an earlier output still stands: files whose inputs are the same, and that are as they were written.

Loads no kernel.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from cad.family import Family
from cad.geometry import Plan
from cad.outputs import manifest as manifests
from cad.outputs.folder import settle
from cad.outputs.formats import unavailable
from cad.outputs.inputs import Inputs
from cad.outputs.manifest import Entry, Manifest
from cad.outputs.reads import fingerprint
from cad.outputs.versions import versions

ROW = "pictures/row.png"  # of a family's folder: left out where the machine could not draw


@dataclass(frozen=True)
class Standing:
    """What is known of an earlier output, and what of it a plan would come to again."""

    entries: Mapping[str, Entry] = field(default_factory=dict)  # of the files that are as they were written
    inputs: Inputs = field(default_factory=Inputs)
    changed: frozenset[str] = frozenset()  # values of the plan that are others now
    data: bytes = b""  # of the manifest
    chord_mm: float = 0.0

    def has_built(self, name: str) -> bool:
        """Return whether a part or fixture would come out as it did then."""
        built = self.inputs.built.get(name)
        return built is not None and not built.reads & self.changed

    def files(self, task: str) -> tuple[str, ...]:
        """Return the files of a task that stands."""
        return self.inputs.jobs[task].files

    def has_made(self, task: str) -> bool:
        """Return whether the files of a task are there, and would come out as they did then."""
        job = self.inputs.jobs.get(task)
        return (
            job is not None
            and not job.reads & self.changed
            and all(map(self.has_built, job.uses))
            and all(path in self.entries for path in job.files)
        )


def standing(plan: Plan, to: Path) -> Standing:
    """Return what stands of the earlier output in TO/<name>/: nothing where it cannot be relied on.

    Another state of the program or of its libraries, or a manifest that is not as it was written, leave
    nothing. Raises OutputError when another run holds the folder for too long.
    """
    data, found = _found(to, plan.spec.name)
    if found is None:
        return Standing()
    inputs = manifests.made_from(found)
    changed = {path for path, value in inputs.values.items() if fingerprint(plan, path) != value}
    intact = _intact_entries(to / plan.spec.name, found)
    return Standing(intact, inputs, frozenset(changed), data, found["chord_mm"])


def family_stands(family: Family, to: Path) -> bool:
    """Return whether the folder of a family, TO/<family>/, is what would be made of its file now."""
    _, found = _found(to, family.name)
    if found is None or found["spec_sha256"] != family.digest:
        return False
    intact = _intact_entries(to / family.name, found)
    return len(intact) == len(found["files"]) and (ROW in intact or bool(unavailable("pictures")))


def _found(to: Path, name: str) -> tuple[bytes, Manifest | None]:
    """Return the bytes of an earlier output's manifest, and what they hold if it can be relied on."""
    settle(to, name)
    data = manifests.bytes_in(to / name)
    found = manifests.unaltered(data)
    return data, found if found is not None and found["versions"] == versions() else None


def _intact_entries(target: Path, found: Manifest) -> dict[str, Entry]:
    entries = {str(entry["path"]): entry for entry in found["files"]}
    return {path: entry for path, entry in entries.items() if _intact(target / path, entry)}


def _intact(path: Path, entry: Entry) -> bool:
    try:
        if path.is_symlink() or not path.is_file() or path.stat().st_size != entry["size"]:
            return False
        return manifests.sha256(path.read_bytes()) == str(entry["sha256"])
    except OSError:
        return False  # what cannot be read is made anew, and then the system says what ails the folder
