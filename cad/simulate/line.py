"""The words of one line sorted out: which G and M of each modal group, which number for each other letter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from cad.simulate.codes import G_GROUPS, LETTERS, M_GROUPS, MOST_M_WORDS, REFUSED_G, REFUSED_M
from cad.simulate.words import Block, Word


class WordError(Exception):
    """A word that may not stand where it does: which, why, and the cure."""

    def __init__(self, word: str, problem: str, cure: str) -> None:
        self.word, self.problem, self.cure = word, problem, cure
        super().__init__(f"{word}: {problem}")


@dataclass(frozen=True)
class Line:
    """A line's words: the code of each modal group that has one, and the number of each other letter."""

    number: int
    g: Mapping[str, float]
    m: Mapping[str, float]
    numbers: Mapping[str, float]


def sorted_out(block: Block) -> Line:
    """Return a line's words sorted out. Raises WordError for the first that may not stand there."""
    g: dict[str, float] = {}
    m: dict[str, float] = {}
    numbers: dict[str, float] = {}
    for i, word in enumerate(block.words):
        if word.letter == "G":
            _put(g, word, G_GROUPS, REFUSED_G)
        elif word.letter == "M":
            _put(m, word, M_GROUPS, REFUSED_M)
        elif word.letter not in LETTERS:
            raise WordError(word.text, "a word that this reader does not know", "Leave it away")
        elif word.letter in numbers:
            raise WordError(word.text, f"a second {word.letter} on one line", "Leave one of them away")
        elif word.letter == "N" and i:
            raise WordError(word.text, "a line number behind other words", "It stands first on its line")
        else:
            numbers[word.letter] = _checked(word)
    if sum(word.letter == "M" for word in block.words) > MOST_M_WORDS:
        raise WordError("M", f"more than {MOST_M_WORDS} M words on one line", "Put some on another line")
    _refuse_strays(g, numbers)
    return Line(block.line, g, m, numbers)


def _put(
    into: dict[str, float],
    word: Word,
    groups: Mapping[float, str],
    refused: Mapping[float, tuple[str, str]],
) -> None:
    if word.value in refused:
        raise WordError(word.text, *refused[word.value])
    group = groups.get(word.value)
    if group is None:
        cure = "Write what it does with words of RS274/NGC, or leave it away where it does nothing here"
        raise WordError(word.text, "a code that this reader does not know", cure)
    # Mist and flood may be asked for on one line.
    if group in into and {into[group], word.value} != {7, 8}:
        problem = f"a second word for the {group} on one line"
        raise WordError(word.text, problem, "Put it on a line of its own")
    into[group] = word.value


def _checked(word: Word) -> float:
    if word.letter in "NT" and (word.value < 0 or word.value != int(word.value)):
        raise WordError(word.text, f"{word.letter} takes a whole number, not below 0", "Write one")
    if word.letter in "FSP" and word.value < 0:
        raise WordError(word.text, f"{word.letter} takes no number below 0", "Write what is meant above it")
    return word.value


def _refuse_strays(g: Mapping[str, float], numbers: Mapping[str, float]) -> None:
    if ("dwell" in g) != ("P" in numbers):
        raise WordError(
            "G4" if "dwell" in g else "P", "G4 and P belong together", "Write G4 P and the seconds"
        )
