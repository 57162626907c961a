"""`planewright new`: a commented spec to start from."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from cad.cli.status import Status, say
from cad.cli.written import refuse_to_overwrite, write_text
from cad.errors import CallError
from cad.soles import forms
from cad.spec import starter


def new(file: Path, form: str, sizes: Mapping[str, str | None], unit: str, force: bool) -> Status:
    """Write a starter spec; `sizes` are the options by name, of which a form takes one.

    Raises CallError rather than write over a file and for a size that is not the form's, SpecError for a bad
    sole.
    """
    refuse_to_overwrite(file, force)
    text = starter(form, _size(form, sizes), unit, name=_name_from(file))
    write_text(file, text)
    say(f"Wrote {file}. Next: planewright look {file}")
    return Status.DONE


def _size(form: str, sizes: Mapping[str, str | None]) -> str | None:
    """Return the size given for a form, None when none was."""
    given = {name: size for name, size in sizes.items() if size is not None}
    if form not in forms():
        return next(iter(given.values()), None)  # the form itself will be refused
    own = forms()[form].SIZE.key.removeprefix("sole.")
    for name in given:
        if name != own:
            instead = f"give --{own}" if own in sizes else f"leave it out, and write {own} into the file"
            raise CallError(f"--{name} does not size the form {form}: {instead}")
    return given.get(own)


def _name_from(file: Path) -> str | None:
    """Return the file's own name when it can name a plane; otherwise leave it to form and radius."""
    allowed = all(c.isascii() and (c.isalnum() or c in "-_") for c in file.stem)
    return file.stem if file.stem and allowed and len(file.stem) <= 64 else None
