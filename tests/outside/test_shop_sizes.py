"""Sizes of the shop: ISO 273, 2768-1, 4032, EN 1313-2, twist drills, the board foot, inch and millimetre."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cad.formulas import board, bolts, steel, tolerance
from cad.formulas.drills import nearest_drill
from cad.units import parse_length


# Diameters of ANSI/ASME B94.11M (inch) and ISO 235 (metric), from memory.
@pytest.mark.parametrize(
    ("wanted", "name", "mm"),
    [
        (19.05, "3/4 in", 19.05),
        (9.9, "25/64 in", 9.921875),
        (12.0, "12 mm", 12.0),
        (12.5, "12.5 mm", 12.5),
        (32.0, "32 mm", 32.0),
        (33.3, "1 5/16 in", 33.3375),
        (25.4, "1 in", 25.4),
        (79.9, "80 mm", 80.0),
    ],
)
def test_nearest_drill(wanted: float, name: str, mm: float) -> None:
    drill = nearest_drill(wanted)
    assert drill is not None and (drill.name, drill.mm) == (name, pytest.approx(mm, abs=1e-9))


def test_a_board_foot() -> None:
    # 144 cubic inches, by definition: 2359.737 cm³.
    assert board.board_feet(2359.737e3) == pytest.approx(1, abs=1e-6)
    assert board.litres(board.BOARD_FOOT_MM3) == pytest.approx(2.359737, abs=1e-6)
    # A board 1 in thick, 12 in wide and 1 ft long is the board foot that gave it its name.
    assert board.board_feet(25.4 * 304.8 * 304.8) == pytest.approx(1)


# ISO 2768-1, class m: 0.5 to 3 and 3 to 6, 6 to 30, 30 to 120, 120 to 400, 400 to 1000, 1000 to 2000 mm; the
# rows below 6 and over 400 mm from memory.
@pytest.mark.parametrize(
    ("length", "within"),
    [
        *((0.5, 0.1), (6, 0.1), (6.01, 0.2), (30, 0.2), (30.01, 0.3), (120, 0.3), (120.01, 0.5), (400, 0.5)),
        *((400.01, 0.8), (1000, 0.8), (1000.01, 1.2), (2000, 1.2)),
    ],
)
def test_general_tolerances(length: float, within: float) -> None:
    assert tolerance.general_mm(length) == within


def test_temperatures_and_lengths_by_definition() -> None:
    """An inch is 25.4 mm (international yard and pound agreement, 1959); 212 °F is 100 °C."""
    assert parse_length("1 in") == 25.4
    assert parse_length("1 1/64 in") == pytest.approx(float(Fraction(65, 64) * Fraction(254, 10)), abs=1e-12)
    assert (steel.celsius(212), steel.celsius(32)) == (100, 0)


# ISO 273, medium series.
@pytest.mark.parametrize(("nominal", "hole"), [(3, 3.4), (4, 4.5), (5, 5.5), (6, 6.6), (8, 9.0)])
def test_clearance_holes(nominal: int, hole: float) -> None:
    assert bolts.clearance_hole_mm(nominal) == hole


# ISO 4032, from memory: greatest width across flats and greatest height.
@pytest.mark.parametrize(
    ("nominal", "flats", "height"),
    [(3, 5.5, 2.4), (4, 7.0, 3.2), (5, 8.0, 4.7), (6, 10.0, 5.2), (8, 13.0, 6.8)],
)
def test_nuts(nominal: int, flats: float, height: float) -> None:
    assert (bolts.ACROSS_FLATS_MM[nominal], bolts.NUT_MM[nominal]) == (flats, height)


def test_thicknesses_of_sawn_hardwood() -> None:
    """EN 1313-2, from memory; quarters of an inch as boards are sold: common practice, no source."""
    assert board.METRIC_MM == (20, 27, 32, 40, 50, 65, 80, 100)
    assert [board.rough_thickness_mm(need, inches=True) / 25.4 for need in (25, 25.5, 38.2, 51)] == [
        pytest.approx(inch) for inch in (1, 1.25, 2, 2.5)
    ]
