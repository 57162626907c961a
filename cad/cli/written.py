"""Writing a spec for the maker: never over a file that exists, unless told to."""

from __future__ import annotations

from pathlib import Path

from cad.errors import CallError


def refuse_to_overwrite(file: Path, force: bool) -> None:
    """Raise CallError when a file exists and is not to be written over."""
    if file.exists() and not force:
        raise CallError(f"{file} exists: choose another name, or give --force to write over it")


def write_text(file: Path, text: str) -> None:
    """Write a text. Raises CallError when the system refuses."""
    try:
        file.write_text(text, encoding="utf-8")
    except OSError as error:
        raise CallError(f"{file} cannot be written: {error.strerror}") from error
