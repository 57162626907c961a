"""G-code by the published description: NIST RS274/NGC, version 3 (words seen; tolerances from memory).

Read here by a few regular expressions, which share nothing with the writer or the simulator.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from math import hypot
from pathlib import Path

import pytest

from tests.outside.reading import Output

MOTION = {"G0", "G1", "G2", "G3"}
PLAIN = {"G17", "G18", "G19", "G20", "G21", "G90", "G91", "G93", "G94"}
MISCELLANEOUS = {"M0", "M1", "M2", "M3", "M4", "M5", "M30"}
LETTERS = set("FGIJKMSXYZ")
ENDS_AGREE = {"G20": 0.0002, "G21": 0.002}  # how far the two radii of an arc may differ, in, mm (memory)
LONGEST_LINE = 256  # characters (memory)

Block = dict[str, float]


def blocks(path: Path) -> Iterator[tuple[set[str], Block]]:
    """Yield the G and M words of each line, and its other words by letter."""
    for line in path.read_text(encoding="ascii").splitlines():
        assert len(line) <= LONGEST_LINE
        bare = re.sub(r"\([^()]*\)", "", line).replace(" ", "")
        words = re.findall(r"([A-Z])(-?\d+\.?\d*)", bare)
        assert "".join(letter + number for letter, number in words) == bare, f"{path.name}: {line}"
        assert {letter for letter, _ in words} <= LETTERS, line
        codes = {f"{letter}{int(number)}" for letter, number in words if letter in "GM"}
        others = [(letter, float(number)) for letter, number in words if letter not in "GM"]
        assert len(dict(others)) == len(others), f"a letter twice: {line}"
        if words:
            yield codes, dict(others)


def test_words_are_those_of_the_description(output: Output) -> None:
    for path in output.files("router/*.ngc"):
        used = set().union(*(codes for codes, _ in blocks(path)))
        assert used <= MOTION | PLAIN | MISCELLANEOUS, path.name
        assert {"G17", "G90", "G94", "M3"} <= used and len(used & ENDS_AGREE.keys()) == 1, path.name
        *_, (last, _) = blocks(path)
        assert last & {"M2", "M30"}, path.name


def test_nothing_cuts_before_spindle_and_feed(output: Output) -> None:
    for path in output.files("router/*.ngc"):
        turning = fed = False
        motion = ""
        for codes, words in blocks(path):
            turning = (turning or "M3" in codes) and "M5" not in codes
            fed = fed or "F" in words
            motion = next(iter(codes & MOTION), motion)
            if words.keys() & set("XYZ") and motion != "G0":
                assert turning and fed, path.name


def test_ends_of_arcs_are_equally_far_from_their_centre(output: Output) -> None:
    arcs = 0
    for path in output.files("router/*.ngc"):
        at, motion, within = {"X": 0.0, "Y": 0.0, "Z": 0.0}, "", 0.0
        for codes, words in blocks(path):
            within = next((ENDS_AGREE[code] for code in codes & ENDS_AGREE.keys()), within)
            motion = next(iter(codes & MOTION), motion)
            end = {axis: words.get(axis, at[axis]) for axis in at}
            if words.keys() & set("IJ"):
                assert motion in ("G2", "G3"), path.name
                centre = (at["X"] + words.get("I", 0.0), at["Y"] + words.get("J", 0.0))
                radii = [hypot(p["X"] - centre[0], p["Y"] - centre[1]) for p in (at, end)]
                assert radii[0] == pytest.approx(radii[1], abs=within), path.name
                assert min(radii) > 0
                arcs += 1
            at = end
    assert arcs > 50, "arcs stay arcs"
