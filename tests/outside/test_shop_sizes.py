"""Sizes of the shop: ISO 273, ISO 2768-1, twist drills, the board foot, inch and millimetre."""

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


# ISO 2768-1, class m: the three rows from 6 to 400 mm.
@pytest.mark.parametrize(("length", "within"), [(10, 0.2), (30, 0.2), (75, 0.3), (120, 0.3), (350, 0.5)])
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
