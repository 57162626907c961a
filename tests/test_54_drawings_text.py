"""Dimensions in print: fractions of an inch, what is left over, and the text read back."""

from __future__ import annotations

from fractions import Fraction

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from cad.papers.drawings.dimension import Dimension, Wording, length_text, read_back, rough, rounding
from cad.papers.drawings.lettering import width_mm
from cad.papers.fonts import CAPITAL, PLAIN, font_file

LENGTHS = st.floats(0.5, 500)


@pytest.mark.parametrize(
    ("mm", "text"),
    [
        # 1 in is 25.4 mm exactly (international yard and pound agreement, 1959).
        (63.5, "2 1/2"),
        (9.525, "3/8"),
        (25.4, "1"),
        (15.675, "39/64 +0.2 mm"),
        (16.0, "5/8 +0.13 mm"),
    ],
)
def test_inches_are_fractions_with_what_is_left_over(mm: float, text: str) -> None:
    assert length_text(mm, "in") == text


@pytest.mark.parametrize(("mm", "text"), [(250.0, "250"), (9.525, "9.53"), (12.5, "12.5")])
def test_millimetres_are_printed_to_a_hundredth(mm: float, text: str) -> None:
    assert length_text(mm, "mm") == text


@given(LENGTHS)
def test_a_length_in_inches_is_read_back_within_its_rounding(mm: float) -> None:
    dimension = Wording("in").length("a", mm)
    assert abs(read_back(dimension.text, "in") - mm) <= rounding(dimension, "in") + 1e-9


@given(LENGTHS)
def test_what_exceeds_a_tenth_of_a_millimetre_is_always_shown(mm: float) -> None:
    text = rough(Wording("in")).length("a", mm).text
    nearest = Fraction(round(mm / 25.4 * 64), 64)
    left = abs(mm - float(nearest) * 25.4)
    assert text.endswith("mm") == (left > 0.1)


@given(LENGTHS)
def test_a_length_in_millimetres_is_read_back_within_its_rounding(mm: float) -> None:
    dimension = Wording("mm").length("a", mm, "R")
    assert dimension.text.startswith("R")
    assert abs(read_back(dimension.text, "mm") - mm) <= rounding(dimension, "mm") + 1e-9


def test_the_other_unit_stands_beneath_on_request() -> None:
    assert Wording("mm", both=True).length("a", 38.1) == Dimension("a", 38.1, "mm", "38.1", "[1 1/2]")
    assert Wording("in", both=True).length("a", 38.1) == Dimension("a", 38.1, "mm", "1 1/2", "[38.1]")
    assert Wording("in").length("a", 38.1).beneath == ""


def test_signs_stand_before_the_figure() -> None:
    """R for a radius, ⌀ for a diameter, a count with × before it: ISO 129-1."""
    assert read_back("4 × ⌀6.5", "mm") == 6.5
    assert read_back("2 × R1/4", "in") == 6.35
    assert Wording("mm").angle("a", 82.5).text == "82.5°"
    assert read_back("82.5°", "mm") == 82.5


@pytest.mark.parametrize("text", ["", "R", "wide", "3/8 x"])
def test_what_is_no_dimension_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r".*"):
        read_back(text, "mm")


def test_letters_are_as_high_and_wide_as_the_font_draws_them() -> None:
    """Against the font file read by fontTools: the top of an H, and the advance widths of a word."""
    ttf = TTFont(font_file(PLAIN))
    units = ttf["head"].unitsPerEm
    glyphs = ttf.getBestCmap()
    assert ttf["glyf"][glyphs[ord("H")]].yMax / units == CAPITAL
    advance = sum(ttf["hmtx"][glyphs[ord(letter)]][0] for letter in "Cheek plate") / units
    assert width_mm("Cheek plate", 2.5) == pytest.approx(advance * 2.5 / CAPITAL, abs=0.01)
