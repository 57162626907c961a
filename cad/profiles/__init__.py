"""Profiles that are drawn: files read by kind, pieces put in order, curves fitted with arcs.

`readers` turn a file's bytes into pieces in mm, `chain` makes one chain of them, `bulges` holds it as corners
and bulges, which is how a spec keeps it: what follows depends on values, not on a file.
"""

from __future__ import annotations

import stat
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path, PurePosixPath

from cad.errors import ProfileError
from cad.profiles.bulges import Corner, set_level
from cad.profiles.chain import chained
from cad.profiles.readers import readers

MOST_BYTES = (
    4_000_000  # a drawing of a profile takes some thousands, with a program's template around it more
)


@dataclass(frozen=True)
class Drawn:
    """A profile as read: corners as a sole lies, and what became of the drawing on the way.

    `name` is the file's; `names` has, for each segment, the piece of the drawing it comes from; `fitted` arcs
    stand for its curves, which stray at most `strays_mm` from them.
    """

    name: str
    corners: tuple[Corner, ...]
    names: tuple[str, ...]
    unit: str
    fitted: int
    strays_mm: float
    sha256: str


def file_names() -> str:
    """Return how the names of drawings may end, in words."""
    return " or ".join(readers())


def load(folder: Path, name: str) -> bytes:
    """Return what a drawing's file holds; `name` is its place from the folder on, with '/' between.

    Raises ProfileError for a name that leads out of the folder, and for a file that cannot be read.
    """
    place = PurePosixPath(name)
    if "\\" in name or place.is_absolute() or ".." in place.parts or not place.suffix:
        raise ProfileError(
            "",
            "the name leads out of the spec's folder"
            if place.suffix
            else "the name does not say what file it is",
            'Put the drawing beside the spec and give its name, as in "ogee.dxf" or "profiles/ogee.svg"',
        )
    if place.suffix.lower() not in readers():
        raise ProfileError("", f"no drawing ends in {place.suffix}", f"Save the drawing as {file_names()}")
    base = folder.resolve()
    try:
        path = (base / place).resolve()
        if not path.is_relative_to(base):
            raise ProfileError(
                "", "the name leads out of the spec's folder", "Put the drawing beside the spec"
            )
        if not stat.S_ISREG(path.stat().st_mode):
            raise ProfileError("", "this is no file", "Name the drawing itself")
        with path.open("rb") as stream:
            content = stream.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise ProfileError("", "there is no such file beside the spec", "Check the name") from None
    except (OSError, ValueError, RuntimeError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise ProfileError("", f"the file cannot be read: {why}", "Check its name and permissions") from error
    if len(content) > MOST_BYTES:
        raise ProfileError("", f"the file is larger than {MOST_BYTES} bytes", "Keep only the profile in it")
    return content


def read(name: str, content: bytes, unit_mm: float | None, fit_mm: float) -> Drawn:
    """Return the profile that a file draws, its curves as arcs within `fit_mm`.

    `unit_mm` is the length of the file's unit where the spec gives it, None where the file must say. Raises
    ProfileError.
    """
    sheet = readers()[PurePosixPath(name).suffix.lower()].sheet(content, unit_mm)
    chain = chained(sheet.pieces, fit_mm)
    corners = set_level(chain.corners)
    names = chain.names if chain.corners[0][0] <= chain.corners[-1][0] else chain.names[::-1]
    return Drawn(name, corners, names, sheet.unit, chain.fitted, chain.strays_mm, sha256(content).hexdigest())
