"""The files that a command is given: specs of single planes, and of families."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from cad.errors import CallError, Fault, SpecError
from cad.family import Family, family_of, is_family
from cad.spec import Spec
from cad.spec.reader import spec_of
from cad.spec.source import load_file


def read_any(file: Path) -> Spec | Family:
    """Return the plane or the family of a file. Raises SpecError with every fault of it."""
    source = load_file(file)
    return family_of(source) if is_family(source) else spec_of(source)


def read_all(files: Sequence[Path]) -> list[Spec | Family]:
    """Return what all files hold. Raises SpecError with the faults of every file that has some."""
    found: list[Spec | Family] = []
    faults: list[Fault] = []
    for file in files:
        try:
            found.append(read_any(file))
        except SpecError as error:
            faults += error.faults
    if faults:
        raise SpecError(faults)
    return found


def refuse_family(file: Path) -> None:
    """Raise CallError when a file holds a family where one plane is wanted; a faulty file is let pass."""
    try:
        found = is_family(load_file(file))
    except SpecError:
        return
    if found:
        raise CallError(
            f"{file} is a family, and this is for one plane: take a spec of its planes, which make writes to "
            "the family's folder"
        )
