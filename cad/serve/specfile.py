"""The one spec file that the page may write: read with its hash, saved in one step."""

from __future__ import annotations

import os
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from threading import Lock

from cad.errors import OutputError

BOM = b"\xef\xbb\xbf"


class ChangedError(OutputError):
    """The file is no longer what the page was made from."""


@dataclass(frozen=True)
class Kept:
    """What the file holds: its text with line feeds alone, and the hash of its bytes, in hex."""

    text: str
    digest: str


class SpecFile:
    """The spec file named on the command line. Links are followed once, when the page begins."""

    def __init__(self, path: Path) -> None:
        self.shown = str(path)
        self.path = path.resolve()
        self._lock = Lock()

    def read(self) -> Kept:
        """Return what the file holds now. Raises OutputError when it cannot be read as text."""
        content = self._content()
        try:
            text = content.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            raise OutputError(f"{self.shown}: the file is not UTF-8 text. Save it as UTF-8 text") from error
        return Kept(text.replace("\r\n", "\n"), sha256(content).hexdigest())

    def save(self, text: str, base: str) -> Kept:
        """Write the text over the file whose hash is `base`, keeping its line ends, and return what it holds.

        Raises ChangedError when the file has another hash by now, OutputError when the disk refuses; the file
        is then what it was.
        """
        with self._lock:
            before = self._content()
            if sha256(before).hexdigest() != base:
                raise ChangedError(f"{self.shown} was changed elsewhere. Read it again, then make the change")
            content = _like(before, text)
            if content != before:
                self._replace(content)
            return Kept(text, sha256(content).hexdigest())

    def _content(self) -> bytes:
        try:
            return self.path.read_bytes()
        except OSError as error:
            raise OutputError(f"{self.shown} cannot be read: {error.strerror}") from error

    def _replace(self, content: bytes) -> None:
        """Put the content in the file's place in one step: a full disk or a kill leaves the old one."""
        beside = self.path.with_name(f".{self.path.name}.{os.getpid()}")
        try:
            mode = self.path.stat().st_mode & 0o777
            handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, mode)
            try:
                with os.fdopen(handle, "wb") as stream:
                    stream.write(content)
                    stream.flush()
                    os.fsync(stream.fileno())
                beside.replace(self.path)
            except BaseException:
                beside.unlink(missing_ok=True)
                raise
        except OSError as error:
            raise OutputError(f"{self.shown} cannot be written: {error.strerror}") from error


def _like(before: bytes, text: str) -> bytes:
    """Return a text as bytes, with the line ends and the byte order mark that the file had."""
    ends = "\r\n" if b"\r\n" in before else "\n"
    mark = BOM if before.startswith(BOM) else b""
    return mark + text.replace("\n", ends).encode("utf-8")
