"""The manifest of an output folder: what made it, and what each file holds. No clock, no absolute paths."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from pathlib import Path, PurePosixPath
from typing import Any

from cad.errors import OutputError
from cad.outputs import inputs
from cad.outputs.files import OutFile
from cad.outputs.inputs import Inputs

NAME = "manifest.json"
MADE_BY = "planewright"
SEAL = "manifest_sha256"  # over all else in the manifest: it tells whether that is as it was written
MADE_FROM = "inputs"
SAME = ("spec_sha256", "versions", "chord_mm")  # what two runs must share for their files to stand together

Manifest = Mapping[str, Any]
Entry = Mapping[str, Any]  # of one file


def manifest_of(
    name: str,
    spec_sha256: str,
    versions: Mapping[str, str],
    chord_mm: float,
    files: Iterable[OutFile],
    declined: Mapping[str, str],
    off_sheet: Mapping[str, str] | None = None,
    kept: Iterable[Entry] = (),
    made_from: Inputs | None = None,
) -> Manifest:
    """Return the manifest of a set of files: those made now, and those `kept` of an earlier manifest.

    `chord_mm` is how far a mesh may stand off the true surface; `declined` gives, for each fixture that
    cannot be made for this plane, the reason, `off_sheet` for each cut piece that is on no sheet. Without
    `made_from` no later run can know which of the files still stand.
    """
    memory = {} if made_from is None else {MADE_FROM: inputs.as_table(made_from)}
    return {
        "made_by": MADE_BY,
        "name": name,
        "spec_sha256": spec_sha256,
        "versions": dict(versions),
        "chord_mm": chord_mm,
        "files": sorted([*(_entry(file) for file in files), *kept], key=_path),
        "declined": [{"fixture": fixture, "reason": declined[fixture]} for fixture in sorted(declined)],
        "off_sheet": [{"piece": name, "reason": why} for name, why in sorted((off_sheet or {}).items())],
        **memory,
    }


def merged(old: Manifest, new: Manifest) -> Manifest:
    """Return the new manifest with the entries of the old one that it does not replace.

    Raises OutputError when the old files come from another spec or from other versions, and when somebody has
    changed the old manifest so that it cannot be followed.
    """
    try:
        return _merged(old, new)
    except (LookupError, TypeError, ValueError, AttributeError) as error:
        raise OutputError(
            f"the earlier output's {NAME} has been changed since. Run without --only and --formats"
        ) from error


def _merged(old: Manifest, new: Manifest) -> Manifest:
    differing = [key for key in SAME if old.get(key) != new[key]]
    if differing:
        words = {"spec_sha256": "another spec", "versions": "other versions", "chord_mm": "another chord"}
        raise OutputError(
            f"the earlier output comes from {' and '.join(words[key] for key in differing)}. "
            "Run without --only and --formats, or choose another --to"
        )
    fresh = {_path(entry) for entry in new["files"]}
    kept = [entry for entry in old["files"] if _path(entry) not in fresh]
    declined = {entry["fixture"]: entry for entry in (*old["declined"], *new["declined"])}
    off_sheet = {entry["piece"]: entry for entry in (*old.get("off_sheet", ()), *new["off_sheet"])}
    memory = (
        {MADE_FROM: inputs.as_table(inputs.merged(*map(made_from, (old, new))))} if MADE_FROM in new else {}
    )
    return {
        **new,
        **memory,
        "files": sorted([*kept, *new["files"]], key=_path),
        "declined": [declined[fixture] for fixture in sorted(declined)],
        "off_sheet": [off_sheet[piece] for piece in sorted(off_sheet)],
    }


def made_from(manifest: Manifest) -> Inputs:
    """Return what a manifest remembers of how its files were made: nothing, where it does not."""
    return inputs.from_table(manifest[MADE_FROM]) if MADE_FROM in manifest else Inputs()


def encoded(manifest: Manifest) -> bytes:
    """Return the manifest as the bytes of its file, sealed."""
    return _text({**manifest, SEAL: sha256(_text(manifest))})


def _text(manifest: Manifest) -> bytes:
    return (json.dumps(manifest, indent=1, sort_keys=True, ensure_ascii=False) + "\n").encode()


def decoded(data: bytes) -> Manifest | None:
    """Return the manifest that some bytes hold, or None when they are no manifest of ours."""
    try:
        found = json.loads(data)
    except (ValueError, RecursionError):
        return None
    if not isinstance(found, dict) or not _is_ours(found):
        return None
    return {key: value for key, value in found.items() if key != SEAL}


def unaltered(data: bytes) -> Manifest | None:
    """Return the manifest that some bytes hold, or None when they are not as `encoded` made them."""
    found = decoded(data)
    try:
        return found if found is not None and encoded(found) == data else None
    except UnicodeEncodeError:  # JSON can name half a character, which no file can hold
        return None


def bytes_in(folder: Path) -> bytes:
    """Return the bytes of the manifest in a folder, none when there is none."""
    path = folder / NAME
    return path.read_bytes() if path.is_file() else b""


def _is_ours(found: Mapping[str, Any]) -> bool:
    tables = (("files", ("path", "sha256")), ("declined", ("fixture", "reason")))
    return found.get("made_by") == MADE_BY and all(_has(found.get(name), keys) for name, keys in tables)


def _has(table: object, keys: Iterable[str]) -> bool:
    """Return whether something is a list of tables with text under each of the keys."""
    return isinstance(table, list) and all(
        isinstance(row, dict) and all(isinstance(row.get(key), str) for key in keys) for row in table
    )


def sha256(data: bytes) -> str:
    """Return the SHA-256 of some bytes, in hex."""
    return hashlib.sha256(data).hexdigest()


def _entry(file: OutFile) -> dict[str, Any]:
    entry: dict[str, Any] = {
        "path": file.path,
        "part": file.part,
        "format": PurePosixPath(file.path).suffix.lstrip("."),
        "size": len(file.data),
        "sha256": sha256(file.data),
    }
    if file.measure:
        entry["volume_mm3"] = file.measure.volume_mm3
        entry["bounding_box"] = [list(file.measure.low), list(file.measure.high)]
        entry["unit"] = file.measure.unit
    if file.placement:
        entry["placement"] = [list(row) for row in file.placement]
    if file.fixture:
        entry["fixture"], entry["likeness"] = file.fixture
    return entry


def _path(entry: Mapping[str, Any]) -> str:
    return str(entry["path"])
