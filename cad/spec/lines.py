"""On which line of a TOML text each key stands, which tomllib does not say before Python 3.14.

The text must have passed tomllib: this scanner follows the grammar of TOML 1.0 only as far as it must to
find the keys, and checks nothing.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_left
from collections.abc import Mapping

KeyPath = tuple[str, ...]

LONGEST_NAME = 60

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_STRING = re.compile(
    r'''"""(?:\\.|[^\\])*?"{3,5}|\'\'\'.*?'{3,5}|"(?:\\.|[^"\\\n])*"|'[^'\n]*\'''', re.DOTALL
)
_KEY = re.compile(r"""[ \t]*(?:[A-Za-z0-9_-]+|"(?:\\.|[^"\\\n])*"|'[^'\n]*')[ \t]*""")
_SCALAR = re.compile(r"[^,\]}#\n]+")
_BARE = re.compile(r"[A-Za-z0-9_-]+")


def key_lines(text: str) -> Mapping[KeyPath, int]:
    """Return the line, from 1, where each table and key first stands, by its path.

    >>> key_lines("a = 1\\n[b]\\nc.d = [\\n2]\\ne = { f = 3 }")[("b", "e", "f")]
    5
    """
    scanner = _Scanner(text)
    scanner.document()
    return scanner.lines


def repeated(text: str) -> tuple[KeyPath, int] | None:
    """Return the key or table that a text gives a second time, and the line where it does; None when none is.

    The text need be sound only as far as it goes: pass what stands before the place that tomllib names.
    """
    scanner = _Scanner(text)
    scanner.document()
    seen: set[KeyPath] = set()
    for path, line in scanner.defined:
        if path in seen:
            return path, line
        seen.add(path)
    return None


def dotted(path: KeyPath) -> str:
    """Return a path as TOML writes it, each name in quotes where it must be and cut where it is long.

    >>> dotted(("sole", "relief angle"))
    'sole."relief angle"'
    """
    return ".".join(_named(part[:LONGEST_NAME]) for part in path)


def _named(part: str) -> str:
    if _BARE.fullmatch(part):
        return part
    import json  # JSON's strings are TOML's basic strings; only a faulty spec pays for loading it

    return json.dumps(part, ensure_ascii=False)


class _Scanner:
    """A place in the text that moves on; one is made for each text and thrown away."""

    def __init__(self, text: str) -> None:
        self.text, self.at = text, 0
        self.breaks = [found.start() for found in re.finditer("\n", text)]
        self.lines: dict[KeyPath, int] = {}
        self.defined: list[tuple[KeyPath, int]] = []  # what a text may say only once

    def document(self) -> None:
        table: KeyPath = ()
        self._skip(_BLANK)
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                table = self._header()
            else:
                self._pair(table)
            self._skip(_BLANK)

    def _header(self) -> KeyPath:
        start = self.at
        brackets = 2 if self.text.startswith("[[", self.at) else 1
        self.at += brackets
        path = self._key()
        self.at += brackets
        self._note(path, start)
        if brackets == 1:
            self.defined.append((path, self._line(start)))
        return path

    def _pair(self, table: KeyPath) -> None:
        start = self.at
        path = table + self._key()
        for depth in range(len(table) + 1, len(path) + 1):
            self._note(path[:depth], start)
        self.defined.append((path, self._line(start)))
        self.at += 1  # the sign of equality
        self._skip(_BLANK)
        self._value(path)

    def _key(self) -> KeyPath:
        start = self.at
        self._skip(_KEY)
        while self.text.startswith(".", self.at):
            self.at += 1
            self._skip(_KEY)
        return _parts(self.text[start : self.at].strip())

    def _value(self, path: KeyPath) -> None:
        opening = self.text[self.at]
        if opening in "\"'":
            self._skip(_STRING)
        elif opening in "[{":
            self._group(path, inline_table=opening == "{")
        else:
            self._skip(_SCALAR)

    def _group(self, path: KeyPath, inline_table: bool) -> None:
        self.at += 1
        self._skip(_BLANK)
        while self.at < len(self.text) and self.text[self.at] not in "]}":
            if inline_table:
                self._pair(path)
            else:
                self._value(path)
            self._skip(_BLANK)
            if self.text.startswith(",", self.at):
                self.at += 1
                self._skip(_BLANK)
        self.at += 1

    def _note(self, path: KeyPath, at: int) -> None:
        self.lines.setdefault(path, self._line(at))

    def _line(self, at: int) -> int:
        return bisect_left(self.breaks, at) + 1

    def _skip(self, pattern: re.Pattern[str]) -> None:
        found = pattern.match(self.text, self.at)
        if found is not None:
            self.at = found.end()


def _parts(written: str) -> KeyPath:
    """Return the names in a dotted key, its quotes and escapes undone."""
    if _BARE.fullmatch(written):
        return (written,)
    path, table = [], tomllib.loads(f"{written} = 0")
    while isinstance(table, dict):
        ((name, table),) = table.items()
        path.append(name)
    return tuple(path)
