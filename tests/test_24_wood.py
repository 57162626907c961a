"""Wood: movement, moisture in air, the cut list, and boards to saw it from."""

from __future__ import annotations

from math import prod

import pytest
from hypothesis import given, settings

from cad.checks import run_checks
from cad.formulas import board, moisture, tolerance, wood
from cad.geometry.boards import laid_out
from cad.geometry.movement import Movement
from cad.geometry.stock import StockPiece, cut_list
from tests.planes import plan_of as plan_of_text
from tests.planes import specs
from tests.sample_planes import plan_of


def test_at_least_ten_species_with_radial_less_than_tangential() -> None:
    # Wood of every kind moves less across the rings than along them: Wood Handbook, ch. 4.
    assert len(wood.SPECIES) >= 10
    assert all(one.radial < one.tangential for one in wood.SPECIES.values())


def test_moisture_rises_with_humidity_and_falls_with_heat() -> None:
    values = [moisture.equilibrium_percent(h) for h in range(0, 101, 5)]
    assert values == sorted(values)
    assert moisture.equilibrium_percent(0) == 0
    # Wood saturated by damp air holds 25 to 30 % (fibre saturation: Wood Handbook, ch. 4, from memory).
    assert 25 < values[-1] < 30
    assert moisture.equilibrium_percent(50, 40) < moisture.equilibrium_percent(50, 10)


@pytest.mark.parametrize(("humidity", "celsius"), [(-1, 20), (101, 20), (50, 130), (50, -5)])
def test_air_that_the_form_was_not_fitted_to_is_refused(humidity: float, celsius: float) -> None:
    with pytest.raises(ValueError, match="no equilibrium moisture"):
        moisture.equilibrium_percent(humidity, celsius)


def test_no_tolerance_is_made_up() -> None:
    for length in (0.3, 2500):
        with pytest.raises(ValueError, match="gives no deviation"):
            tolerance.general_mm(length)


# By hand: beech, C_R .00190, C_T .00431 (table 13-5); 16, 32 and 75 mm, 8 % to 6 and to 12 % (eq. 13-2).
def test_a_quartered_plane_moves() -> None:
    moves = Movement(plan_of({"body.height": 75, "body.thickness": 32}))
    assert (moves.throat.dry, moves.throat.damp) == pytest.approx((-0.0608, 0.1216))
    assert (moves.thickness.dry, moves.thickness.damp) == pytest.approx((-0.1216, 0.2432))
    assert (moves.height.dry, moves.height.damp) == pytest.approx((-0.6465, 1.293))
    assert moves.binding == pytest.approx(0.0608)


def test_a_flat_one_moves_the_other_way_about() -> None:
    moves = Movement(plan_of({"body.height": 75, "body.thickness": 32, "wood.grain": "flat"}))
    assert moves.throat.dry == pytest.approx(-0.13792)  # 16 x .00431 x 2
    assert moves.height.dry == pytest.approx(-0.285)  # 75 x .00190 x 2


def test_a_plate_turned_about_pulls_at_its_glue_line() -> None:
    # (56 - 2.143594) mm high, (.00431 - .00190) apart, over 6 %: by hand.
    moves = Movement(plan_of({"body.height": 75, "body.shoulder": 56}))
    assert moves.turned_apart == pytest.approx(0.778764, abs=1e-5)


def test_wood_made_at_its_driest_never_binds() -> None:
    assert Movement(plan_of({"wood.moisture_now": 6})).binding == 0


def test_the_cut_list_of_a_solid_plane() -> None:
    plan = plan_of({"body.length": 250, "body.height": 75, "body.thickness": 32, "body.spare": 50})
    body, plate, wedge = cut_list(plan)
    # 1/32 in left for jointing; 20, 6 and 3 mm on rough sizes: common practice, no source.
    assert body.finished == (250, 75, 32)
    assert body.sawn == (350, 75 + 0.79375, 32)
    assert body.rough == (370, 75 + 0.79375 + 6, 35)
    assert plate.finished == pytest.approx((250, plan.section.shoulder - 2.143594, plan.section.plate))
    assert wedge.finished[2] == plan.wedge.width


def test_a_laminated_plane_takes_a_strip_for_its_rail() -> None:
    plan = plan_of({"body.build": "laminated", "body.height": 75, "body.shoulder": 56, "cheek.thickness": 6})
    body, rail, plate, _ = cut_list(plan)
    assert (body.name, rail.name) == ("body board", "rail strip")
    assert body.finished[2] + plate.finished[2] == plan.section.thickness
    assert rail.finished[1:] == (19, 6)


def piece_of_rough_size(name: str, length: float, width: float, thickness: float) -> StockPiece:
    """Return a piece of a given rough size."""
    sawn = (
        length - board.ROUGH_LENGTH_MM,
        width - board.ROUGH_WIDTH_MM,
        thickness - board.ROUGH_THICKNESS_MM,
    )
    return StockPiece(name, sawn, sawn)


@pytest.mark.parametrize(
    ("pieces", "boards"),
    [
        ([(1000, 100, 30)], 1),
        ([(1000, 100, 30), (1000, 47, 30)], 1),  # side by side: 100 + 3 + 47 = 150
        ([(1000, 100, 30), (1000, 48, 30)], 2),  # a hair too wide
        ([(498.5, 150, 30), (498.5, 150, 30)], 1),  # end to end: 498.5 + 3 + 498.5 = 1000
        ([(499, 150, 30), (499, 150, 30)], 2),
        ([(1000, 150, 30), (1000, 150, 7)], 1),  # resawn from one another: 30 + 3 + 7 = 40
        ([(1000, 150, 30), (1000, 150, 8)], 2),
    ],
)
def test_boards_are_counted_with_their_kerfs(pieces: list[tuple[float, float, float]], boards: int) -> None:
    found = laid_out(
        [piece_of_rough_size(f"p{i}", *size) for i, size in enumerate(pieces)], (1000, 150, 40), 3
    )
    assert (found.boards, found.too_large) == (boards, ())


def test_a_piece_larger_than_the_board_is_named() -> None:
    found = laid_out(
        [piece_of_rough_size("long", 1200, 100, 30), piece_of_rough_size("short", 400, 100, 30)],
        (1000, 150, 40),
        3,
    )
    assert (found.boards, found.too_large) == (1, ("long",))


def test_rough_thicknesses() -> None:
    # EN 1313-2 (from memory) and quarters of an inch (common practice, no source).
    assert board.rough_thickness_mm(35, inches=False) == 40
    assert board.rough_thickness_mm(40, inches=False) == 40
    assert board.rough_thickness_mm(101, inches=False) == 120
    assert board.rough_thickness_mm(35, inches=True) == pytest.approx(1.5 * 25.4)


@settings(max_examples=40, deadline=None)
@given(specs())
def test_the_usual_board_holds_every_plane(text: str) -> None:
    plan = plan_of_text(text)
    pieces = cut_list(plan)
    found = laid_out(pieces, plan.spec.wood.board, plan.spec.shop.table_saw.kerf)
    assert found.too_large == ()
    # No fewer than the volume asks for, and never more than one for each piece.
    volume = sum(piece.rough_volume for piece in pieces)
    assert volume <= found.boards * prod(plan.spec.wood.board)
    assert 1 <= found.boards <= len(pieces)
    assert not [check for check in run_checks(plan) if check.id.startswith("board.") and not check.holds]


def test_a_thin_board_is_noticed_and_cured() -> None:
    thin = plan_of({"wood.board": [1000, 150, 30]})
    broken = [check for check in run_checks(thin) if check.id.startswith("board.") and not check.holds]
    assert [check.id for check in broken] == ["board.thickness"]
    assert broken[0].cure == 'Set wood.board = ["1000 mm", "150 mm", "35 mm"]'
    cured = plan_of({"wood.board": ["1000 mm", "150 mm", "35 mm"]})
    assert all(check.holds for check in run_checks(cured) if check.id.startswith("board."))
