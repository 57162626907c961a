"""Outlines of words from the font file: widths, heights, holes and strokes, by fontTools and shapely."""

from __future__ import annotations

import subprocess
import sys
from itertools import pairwise

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from shapely import LineString, Polygon

from cad.errors import KernelError
from cad.kernel import lettering
from cad.kernel.lettering import CHORD_MM, bounds, font_path, letters, ring_area

FONT = TTFont(font_path())


def test_a_word_is_as_wide_as_the_font_says() -> None:
    units = FONT.getGlyphSet()
    per_mm = _box_of("H")[3] / 6.0
    for word in ("HEEL", "MOUTH", "R 12.7"):
        names = [FONT.getBestCmap()[ord(c)] for c in word]
        first, last = _box_of(word[0]), _box_of(word[-1])
        ink = sum(units[name].width for name in names) - first[0] - (units[names[-1]].width - last[2])
        low_a, _, high_a, _ = bounds(letters(word, 6.0))
        assert high_a - low_a == pytest.approx(ink / per_mm, abs=1e-9)
        assert high_a == pytest.approx(-low_a, abs=1e-9)


def _box_of(character: str) -> tuple[float, float, float, float]:
    glyphs = FONT.getGlyphSet()
    pen = BoundsPen(glyphs)
    glyphs[FONT.getBestCmap()[ord(character)]].draw(pen)
    found: tuple[float, float, float, float] = pen.bounds
    return found


@pytest.mark.parametrize("height", [4.0, 6.0, 10.0])
def test_capitals_have_the_height_asked_for_about_the_middle(height: float) -> None:
    _, low, _, high = bounds(letters("HEFT", height))
    assert (low, high) == pytest.approx((-height / 2, height / 2), abs=1e-9)


@pytest.mark.parametrize(
    ("text", "patches", "holes"),
    [
        ("B8", 2, 4),
        ("O", 1, 1),
        ("47.5°", 5, 2),
        ("i", 2, 0),
        ("©", 2, 1),
        ("®", 2, 2),
        ("HEEL", 4, 0),
        ("0 6%", 5, 4),
        (" ", 0, 0),
    ],
)
def test_holes_lie_in_the_letter_they_belong_to(text: str, patches: int, holes: int) -> None:
    found = letters(text, 6.0)
    assert len(found) == patches
    assert sum(len(letter.holes) for letter in found) == holes
    for letter in found:
        assert Polygon(letter.outer, letter.holes).is_valid
        assert ring_area(letter.outer) > 0
        assert all(ring_area(hole) < 0 for hole in letter.holes)
        assert letter.area == pytest.approx(Polygon(letter.outer, letter.holes).area, rel=1e-12)


def test_the_degree_sign_is_a_ring_in_the_upper_half_of_the_line() -> None:
    (ring,) = [letter for letter in letters("45°", 6.0) if letter.character == "°"]
    assert len(ring.holes) == 1
    assert min(b for _, b in ring.outer) > 0


def test_curves_are_followed_within_the_stated_chord() -> None:
    for height in (4.0, 40.0):
        coarse = _polygon("O", height)
        fine = Polygon([(a * height / 4000, b * height / 4000) for a, b in letters("O", 4000.0)[0].outer])
        assert Polygon(coarse.exterior).hausdorff_distance(fine) <= CHORD_MM + height * 1e-4
    assert len(_polygon("O", 4.0).exterior.coords) < 25


def _polygon(character: str, height: float) -> Polygon:
    (letter,) = letters(character, height)
    return Polygon(letter.outer, letter.holes)


def test_every_capital_and_digit_survives_a_nozzle() -> None:
    """Common practice, no source: a printed stroke wants about two widths of the nozzle, here 0.4 mm."""
    for stem in "ILT":
        assert _polygon(stem, 4.0).intersection(LineString([(-9, -1), (9, -1)])).length == pytest.approx(
            0.258 * 4.0, rel=0.01
        )
    bar = _polygon("T", 4.0).intersection(LineString([(-1, -9), (-1, 9)])).length
    assert bar == pytest.approx(0.195 * 4.0, rel=0.01)
    radius = 0.15 * 4.0 / 2
    for character in "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789":
        whole = _polygon(character, 4.0)
        opened = whole.buffer(-radius, quad_segs=32).buffer(radius, quad_segs=32)
        assert opened.hausdorff_distance(whole) < 2 * radius, character  # sharp corners are lost, no stroke


def test_the_ring_of_a_degree_sign_is_finer_than_any_stroke_of_a_capital() -> None:
    (letter,) = letters("°", 4.0)
    ring = Polygon(letter.outer, letter.holes)
    thin, thick = (ring.buffer(-share * 4.0 / 2, quad_segs=32) for share in (0.1, 0.11))
    assert len(thin.interiors) == 1, "at 0.1 of the height it is still a ring"
    assert thick.is_empty or not getattr(thick, "interiors", ()), "at 0.11 it is none"


@pytest.mark.parametrize("word", ["KAYAK", "TYPE", "fjf", "__", "LT"])
def test_letters_never_run_into_each_other(word: str) -> None:
    found = letters(word, 4.0)
    for one, two in pairwise(found):
        if one.character != two.character or one.character in "_":
            assert Polygon(one.outer).distance(Polygon(two.outer)) > 0.4 - 1e-9


def test_a_character_that_the_font_lacks_is_named() -> None:
    with pytest.raises(KernelError, match=r"'HEEL 一'.*'一' \(U\+4E00\)"):
        letters("HEEL 一", 6.0)


def test_a_missing_font_file_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lettering, "FONT_FILE", "mpl-data/fonts/ttf/NotThere.ttf")
    with pytest.raises(KernelError, match=r"NotThere\.ttf is missing"):
        font_path()
    monkeypatch.setattr(lettering, "find_spec", lambda name: None)
    with pytest.raises(KernelError, match="matplotlib"):
        font_path()


def test_importing_the_outlines_loads_nothing_slow() -> None:
    program = (
        "import sys, cad.kernel.lettering; "
        "slow = ('OCP', 'cadquery', 'matplotlib', 'numpy', 'shapely', 'fontTools'); "
        "print([name for name in slow if name in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"
