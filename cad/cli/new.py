"""`planewright new`: a commented spec to start from."""

from __future__ import annotations

from pathlib import Path

from cad.cli.status import Status, say
from cad.errors import CallError
from cad.spec import starter


def new(file: Path, form: str, radius: str, unit: str, force: bool) -> Status:
    """Write a starter spec. Raises CallError rather than write over a file, SpecError for a bad sole."""
    if file.exists() and not force:
        raise CallError(f"{file} exists: choose another name, or give --force to write over it")
    text = starter(form, radius, unit, name=_name_from(file))
    try:
        file.write_text(text, encoding="utf-8")
    except OSError as error:
        raise CallError(f"{file} cannot be written: {error.strerror}") from error
    say(f"Wrote {file}. Next: planewright look {file}")
    return Status.DONE


def _name_from(file: Path) -> str | None:
    """Return the file's own name when it can name a plane; otherwise leave it to form and radius."""
    allowed = all(c.isascii() and (c.isalnum() or c in "-_") for c in file.stem)
    return file.stem if file.stem and allowed and len(file.stem) <= 64 else None
