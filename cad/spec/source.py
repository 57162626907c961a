"""From a file to a TOML table with lines; everything that can be wrong before the first key is looked at."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from hashlib import sha256
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cad.errors import Fault, SpecError
from cad.spec.lines import KeyPath, dotted, key_lines, repeated

if TYPE_CHECKING:
    from hashlib import _Hash as Hash

MOST_BYTES = 1_000_000  # a spec takes a few hundred; this keeps a wrong file from filling the memory

_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
_TWICE = ("Cannot overwrite a value", "Cannot declare", "Duplicate inline table key")


@dataclass(frozen=True)
class Source:
    """A spec file's table, where its keys stand, and the running hash of its bytes."""

    file: str
    table: Mapping[str, Any]
    lines: Mapping[KeyPath, int]
    hashed: Hash

    def digest(self, files: Iterable[bytes]) -> str:
        """Return the hash, in hex, of the spec's bytes followed by those of the files that it names."""
        whole = self.hashed.copy()
        for content in files:
            whole.update(content)
        return whole.hexdigest()


def load_file(path: str | PathLike[str]) -> Source:
    """Return a spec file's source. Raises SpecError when it cannot be read as TOML."""
    file, found = str(path), Path(path)
    if found.is_dir():
        raise _refused(file, "this is a folder, not a spec file", "Name the .toml file itself")
    try:
        with found.open("rb") as stream:
            content = stream.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise _refused(
            file, "there is no such file", "Check the name, or start one: planewright new FILE"
        ) from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise _refused(file, f"the file cannot be read: {why}", "Check its name and permissions") from error
    if len(content) > MOST_BYTES:
        raise _refused(file, f"the file is larger than {MOST_BYTES} bytes", "A spec is a short text")
    return load_text(_decoded(file, content), file, sha256(content))


def load_text(text: str, file: str, hashed: Hash) -> Source:
    """Return the source of a spec's text. Raises SpecError when it is not TOML or holds nothing."""
    try:
        table = tomllib.loads(text)
        lines = key_lines(text)
    except tomllib.TOMLDecodeError as error:
        raise SpecError([_syntax_fault(file, text, str(error))]) from error
    except RecursionError as error:
        raise _refused(file, "the brackets are nested too deeply", "Two levels are enough") from error
    except ValueError as error:  # Python refuses to read a whole number of thousands of digits
        raise _refused(file, "a number has far too many digits", "Write a number of the workshop") from error
    if not table:
        raise _refused(
            file,
            "the file holds no keys",
            "Give at least name, sole.form and sole.radius (or what else sizes the form)",
        )
    return Source(file, table, lines, hashed)


def _decoded(file: str, content: bytes) -> str:
    try:
        return content.decode("utf-8-sig")  # some editors put a byte order mark in front
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        byte = f"byte 0x{content[error.start]:02x}"
        cure = "Save the file as UTF-8 text"
        raise SpecError([Fault(file, line, "", "", f"the file is not UTF-8 text ({byte})", cure)]) from error


def _syntax_fault(file: str, text: str, message: str) -> Fault:
    place = _PLACE.search(message)
    what = message[: place.start()] if place else message
    lines = text.replace("\r\n", "\n").rstrip("\n").split("\n")
    at_end = (len(lines), len(lines[-1]) + 1)
    line, column = (int(place[1]), int(place[2])) if place and place[1] else at_end
    if what.startswith(_TWICE):
        # tomllib names the end of the second value, which may be lines further on than its key.
        before = "\n".join([*lines[: line - 1], lines[line - 1][: column - 1]])
        path, line = repeated(before) or ((), line)
        return Fault(file, line, dotted(path), "", "the key or table is given twice", "Keep one of the two")
    return Fault(
        file, line, "", "", f"this is not TOML: {what}, column {column}", _syntax_cure(lines[line - 1])
    )


def _syntax_cure(written: str) -> str:
    if re.search(r"=\s*[\d./ -]+(mm|in|inch|inches|\")\s*(#.*)?$", written):
        return 'Put a length with a unit in quotes, as in radius = "3/8 in"'
    if re.search(r"=\s*\d+\s*[ -]*\d*/\d+", written):
        return 'Put a fraction and its unit in quotes, as in radius = "3/8 in"'
    if re.search(r"=\s*[A-Za-z_]", written):
        return 'Put a text in quotes, as in form = "round"'
    return "Write one key = value to a line under a [table] line"


def _refused(file: str, problem: str, cure: str) -> SpecError:
    return SpecError([Fault(file, 0, "", "", problem, cure)])
