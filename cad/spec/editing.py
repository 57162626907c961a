"""Changing values in a spec's text where they stand, so that the maker's comments and layout stay his.

Every edit is read back: the text that comes out must hold the values that were there, those set, and no
others. tomlkit does the editing; a line that the starter left commented out is first tried where it stands.
"""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Callable, Iterator, Mapping
from copy import deepcopy
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import InlineTable, Item

from cad.errors import CallError
from cad.fields import Span
from cad.spec.keys import Kind, Several
from cad.spec.lines import key_lines

_VALUE = r"""(?:"[^"]*"|'[^']*'|\[[^\]]*\]|[+-]?[\d.]+)"""  # one of a spec's, as a comment may hold it
_ROW = re.compile(r"\[([^\[\]]*)\]")
_NUMBER = re.compile(r"[+-]?(?:\d{1,15}(?:\.\d{1,15})?|\.\d{1,15})")


def with_values(text: str, written: Mapping[str, str], kinds: Mapping[str, Kind]) -> str:
    """Return the text with keys set to what was written in their fields; an empty field takes the key out.

    `kinds` says what each dotted key holds. The text must be TOML. Raises CallError for a key that is not
    known, or where the text is put together so that a key cannot be changed without touching others.
    """
    for dotted, value in written.items():
        if dotted not in kinds:
            raise CallError(f"there is no key {dotted!r} in a spec")
        raw = raw_value(kinds[dotted], value)
        text = _with_value(text, tuple(dotted.split(".")), raw)
    return text


def raw_value(kind: Kind, written: str) -> Any:
    """Return what a field's words mean as a TOML value, None for an empty field.

    Whether the value is allowed is for the reader of specs to say: what is no number stays a text.

    >>> raw_value(Span("mm", 1, 9), " 3/8 in "), raw_value(Span("mm", 1, 9), "4.50")
    ('3/8 in', 4.5)
    """
    words = written.strip()
    if not words:
        return None
    if isinstance(kind, Several) and isinstance(kind.items[0], Several):
        return [raw_value(kind.items[0], row) for row in _ROW.findall(words)] or words
    if isinstance(kind, Several):
        items = [item.strip() for item in words.strip("[]").split(",") if item.strip()]
        kinds = kind.items * len(items) if kind.repeats else kind.items + kind.items[-1:] * len(items)
        return [raw_value(inner, item) for inner, item in zip(kinds, items, strict=False)]
    if isinstance(kind, Span) and _NUMBER.fullmatch(words):
        return int(words) if re.fullmatch(r"[+-]?\d+", words) else float(words)
    return words


def _with_value(text: str, path: tuple[str, ...], raw: Any) -> str:
    before = tomllib.loads(text)
    wanted = _changed(before, path, raw)
    if wanted == _pruned(before):
        return text
    tries: tuple[Callable[[str, tuple[str, ...], Any], str | None], ...] = (
        _commented_out if raw is None else _uncommented,
        _edited,
    )
    for attempt in tries:
        made = attempt(text, path, raw)
        if made is not None and _holds(made, wanted):
            return made
    raise CallError(f"{'.'.join(path)} cannot be changed from here: change it in the text")


def _changed(table: Mapping[str, Any], path: tuple[str, ...], raw: Any) -> dict[str, Any]:
    """Return a table with one value set, or taken out, and tables that hold nothing left out."""
    changed = deepcopy(dict(table))
    inner: Any = changed
    for name in path[:-1]:
        inner = inner.setdefault(name, {})
        if not isinstance(inner, dict):
            raise CallError(f"{name} is a value where a table belongs: change it in the text")
    if raw is None:
        inner.pop(path[-1], None)
    else:
        inner[path[-1]] = raw
    return _pruned(changed)


def _pruned(table: dict[str, Any]) -> dict[str, Any]:
    kept = {name: _pruned(value) if isinstance(value, dict) else value for name, value in table.items()}
    return {name: value for name, value in kept.items() if value != {}}


def _holds(text: str, wanted: Mapping[str, Any]) -> bool:
    try:
        return _pruned(tomllib.loads(text)) == wanted
    except tomllib.TOMLDecodeError:
        return False


def _uncommented(text: str, path: tuple[str, ...], raw: Any) -> str | None:
    """Return the text with the key set on the line where it stands commented out, if it stands there."""
    lines = text.split("\n")
    name, home = re.escape(path[-1]), re.escape(".".join(path[:-1]))
    header = re.compile(rf"#\s*(\[{home}\])\s*")
    key = re.compile(rf"#\s*({name}\s*=\s*){_VALUE}(\s*#.*)?")
    for at, table in _headers(lines):
        if table != ".".join(path[:-1]):
            continue
        commented = header.fullmatch(lines[at]) if at >= 0 else None
        for below in range(at + 1, len(lines)):
            if _header(lines[below]) is not None:
                break
            if found := key.fullmatch(lines[below]):
                lines[below] = f"{found[1]}{_toml(raw)}{found[2] or ''}"
                if commented:
                    lines[at] = commented[1]
                return "\n".join(lines)
    return None


def _commented_out(text: str, path: tuple[str, ...], raw: Any) -> str | None:
    """Return the text with the key's line made a comment, so that what it says of the value is not lost."""
    lines = text.split("\n")
    line = key_lines(text).get(path)
    if line is None:
        return None
    lines[line - 1] = f"# {lines[line - 1].lstrip()}"
    return "\n".join(lines)


def _headers(lines: list[str]) -> Iterator[tuple[int, str]]:
    """Yield where each table begins, commented out or not, and its name; the top of the file is -1."""
    yield -1, ""
    for at, line in enumerate(lines):
        if (name := _header(line)) is not None:
            yield at, name


def _header(line: str) -> str | None:
    found = re.fullmatch(r"(?:#\s*)?\[([A-Za-z0-9_.-]+)\]\s*(?:#.*)?", line)
    return found[1] if found else None


def _toml(raw: Any) -> str:
    if isinstance(raw, list):
        return f"[{', '.join(map(_toml, raw))}]"
    if isinstance(raw, str):
        plain = '"' in raw and not re.search(r"['\x00-\x1f\x7f]", raw)
        return f"'{raw}'" if plain else json.dumps(raw, ensure_ascii=False).replace("\x7f", "\\u007f")
    return repr(raw)


def _edited(text: str, path: tuple[str, ...], raw: Any) -> str | None:
    try:
        document = tomlkit.parse(text)
        inner: Any = document
        for name in path[:-1]:
            if name not in inner:
                within = isinstance(inner, InlineTable)
                inner[name] = tomlkit.inline_table() if within else tomlkit.table(name == "shop")
            inner = inner[name]
        if raw is None:
            inner.remove(path[-1])
        else:
            inner[path[-1]] = _item(raw)
        return tomlkit.dumps(document)
    except (TOMLKitError, RecursionError, ValueError, TypeError, AttributeError, KeyError):
        return None  # said by the caller, who has no other way left


def _item(raw: Any) -> Item:
    return tomlkit.value(_toml(raw))
