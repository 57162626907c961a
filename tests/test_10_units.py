"""Lengths: read exactly, shown as a shop reads them.

Source of the inch: 25.4 mm exactly, international yard and pound agreement, 1959.
"""

from __future__ import annotations

from fractions import Fraction
from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cad.units import (
    LengthError,
    format_both,
    format_in,
    format_length,
    format_limit,
    format_mm,
    parse_length,
    plain,
    to_mm,
)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("1 in", 25.4),
        ("2 1/2 in", 63.5),
        ("3 1/4 in", 82.55),
        ("3-1/4 in", 82.55),
        ("3/8 in", 9.525),
        ('3/8"', 9.525),
        ('3 1/4"', 82.55),
        ("0.375 in", 9.525),
        (".5 in", 12.7),
        ("5. mm", 5.0),
        ("1 inch", 25.4),
        ("2 inches", 50.8),
        ("9.5 mm", 9.5),
        ("9.5mm", 9.5),
        ("  9.5   mm ", 9.5),
        ("1/2 mm", 0.5),
        ("3 / 8 in", 9.525),
        ("+3 mm", 3.0),
        ("-3 mm", -3.0),
        ("5/4 in", 31.75),
        ("0 mm", 0.0),
    ],
)
def test_length_is_read(text: str, mm: float) -> None:
    assert parse_length(text) == mm


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("16", "no unit"),
        ("3/8", "no unit"),
        ("3-1/4", "no unit"),
        ("16 cm", "'cm' is no unit"),
        ("16 MM", "'MM' is no unit"),
        ("3 ft", "'ft' is no unit"),
        ("", "not a length"),
        ("mm", "not a length"),
        ("in 3", "not a length"),
        ("1e3 mm", "'e3 mm' is no unit"),
        ("nan mm", "not a length"),
        ("inf mm", "not a length"),
        ("3 1/4 1/4 in", "not a length"),
        ("3 4 in", "not a length"),
        ("3.5 1/4 in", "not a length"),
        ("--3 mm", "not a length"),
        ("1/-2 in", "not a length"),
        ("9,5 mm", "comma"),
        ("9,5", "comma"),
        ("1/0 in", "divides by zero"),
        ("3 4/4 in", "not less than one"),
        ("٣ mm", "not a length"),
        ("9" * 41 + " mm", "too long"),
        ("9.5 mm\n", None),
    ],
)
def test_what_is_no_length_is_refused(text: str, problem: str | None) -> None:
    if problem is None:
        assert parse_length(text) == 9.5  # white space around it harms nobody
        return
    with pytest.raises(LengthError) as caught:
        parse_length(text)
    assert problem in caught.value.problem
    assert caught.value.cure


def test_the_inch_is_exact() -> None:
    assert to_mm(1, "in") == 25.4
    assert to_mm(0.375, "in") == 9.525
    assert to_mm(0.1, "in") == 2.54
    assert to_mm(7, "mm") == 7.0


def test_numbers_beyond_any_length_stay_numbers() -> None:
    assert to_mm(1e308, "in") == inf
    assert to_mm(1e200, "in") == pytest.approx(2.54e201)
    assert to_mm(-inf, "in") == -inf


@pytest.mark.parametrize(
    ("mm", "text"),
    [
        (63.5, "2 1/2 in"),
        (9.525, "3/8 in"),
        (25.4, "1 in"),
        (0.0, "0 in"),
        (25.4 / 64, "1/64 in"),
        (9.5, "3/8 in - 0.03 mm"),
        (16.0, "5/8 in + 0.13 mm"),
        (50.0, "1 31/32 in - 0.01 mm"),
        (-9.525, "-3/8 in"),
        (-16.0, "-5/8 in - 0.13 mm"),
    ],
)
def test_inches_are_shown_to_the_64th_with_the_rest_noted(mm: float, text: str) -> None:
    assert format_in(mm) == text


def test_both_units_are_shown_the_own_one_first() -> None:
    assert format_both(9.525, "mm") == "9.53 mm (3/8 in)"
    assert format_both(9.525, "in") == "3/8 in (9.53 mm)"
    assert format_length(63.5, "in") == "2 1/2 in"
    assert format_length(63.5, "mm") == "63.5 mm"
    assert format_limit(1.0, "in") == "0.039 in (1 mm)"


def test_millimetres_carry_no_idle_digits() -> None:
    assert [format_mm(x) for x in (16.0, 9.5, 9.525, 2.143594, 100.0)] == [
        "16 mm",
        "9.5 mm",
        "9.53 mm",
        "2.14 mm",
        "100 mm",
    ]
    assert plain(-0.0001) == "0"


@given(st.integers(0, 40), st.integers(0, 63))
def test_every_64th_comes_back_as_it_was_read(whole: int, parts: int) -> None:
    exact = float((whole + Fraction(parts, 64)) * Fraction(254, 10))
    assert parse_length(format_in(exact)) == exact


@given(st.floats(0, 1000))
def test_what_the_inches_leave_out_is_what_is_noted(mm: float) -> None:
    inches, _, rest = format_in(mm).partition(" in ")
    left = float(rest.replace(" ", "").removesuffix("mm") or 0)
    assert parse_length(f"{inches.removesuffix(' in')} in") + left == pytest.approx(mm, abs=0.0051)


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused_in_words(text: str) -> None:
    try:
        assert parse_length(text) == parse_length(text.strip())
    except LengthError as error:
        assert error.problem and error.cure
