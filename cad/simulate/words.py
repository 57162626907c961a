"""A line of a program cut into words: a letter and a number each (RS274/NGC version 3, 3.3, from memory).

Blanks and tabs mean nothing and case does not matter, but inside comments, which stand in parentheses.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)")
MOST_CHARACTERS = 256  # of a line


@dataclass(frozen=True)
class Word:
    """A letter, in capitals, and its number, with the text it was read from."""

    letter: str
    value: float
    text: str


@dataclass(frozen=True)
class Block:
    """One line: its number in the file, counted from 1, its words, and whether it begins with a slash."""

    line: int
    words: tuple[Word, ...]
    deletable: bool = False


@dataclass(frozen=True)
class Unread:
    """What of a line could not be read, why, and what to write instead."""

    line: int
    text: str
    problem: str
    cure: str


def blocks(text: str) -> Iterator[Block | Unread]:
    """Yield the lines of a program that hold words, and what of them cannot be read.

    Lines with a percent sign alone are passed over where they may stand, first and last: what follows the
    second is no longer program.
    """
    marks = 0
    for number, line in enumerate(text.splitlines(), start=1):
        if line.strip() == "%":
            marks += 1
            if marks == 2:
                return
            continue
        found = _block(number, line)
        if found is not None:
            yield found


def has_percent_ends(text: str) -> bool:
    """Return whether the program stands between two lines with a percent sign."""
    return sum(line.strip() == "%" for line in text.splitlines()) >= 2


def _block(number: int, line: str) -> Block | Unread | None:
    if len(line) > MOST_CHARACTERS:
        problem = f"a line of {len(line)} characters, where {MOST_CHARACTERS} may stand"
        return Unread(number, f"{line[:20]}...", problem, "Break it in two")
    bare = _without_comments(line)
    if bare is None:
        cure = "Comments stand in parentheses, one in none other, and end on their line"
        return Unread(number, line.strip()[:40], "a comment that is not closed, or holds a parenthesis", cure)
    packed = re.sub(r"[ \t\r]", "", bare).upper()
    deletable = packed.startswith("/")
    packed = packed.removeprefix("/")
    words: list[Word] = []
    at = 0
    while at < len(packed):
        letter, value = packed[at], _NUMBER.match(packed, at + 1)
        if not letter.isascii() or not letter.isalpha() or value is None:
            return Unread(number, packed[at : at + 8], *_unreadable(letter, packed[at + 1 : at + 2]))
        words.append(Word(letter, float(value.group()), letter + value.group()))
        at = value.end()
    return Block(number, tuple(words), deletable) if words else None


def _without_comments(line: str) -> str | None:
    """Return a line without its comments, or nothing when they are not as they should be."""
    kept, inside = [], False
    for character in line:
        if character == "(":
            if inside:
                return None
            inside = True
        elif character == ")":
            if not inside:
                return None
            inside = False
        elif not inside:
            kept.append(character)
    return None if inside else "".join(kept)


def _unreadable(letter: str, after: str) -> tuple[str, str]:
    if "#" in (letter, after) or "[" in (letter, after):
        return (
            "a parameter or an expression, which only the controller could work out",
            "Write the number itself",
        )
    if letter == ";":
        return "a comment after a semicolon, which the standard does not know", "Put it in parentheses"
    if letter == "%":
        return "a percent sign beside words", "It stands alone, on the first line and the last"
    return "no word: a letter and a number", "Write a letter and a plain decimal number, such as X12.5"
