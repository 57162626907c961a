"""Boards for many pieces: that a layout can be sawn, against a search of every cutting, and the bound."""

from __future__ import annotations

from functools import cache
from itertools import combinations, pairwise
from math import prod

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cad.family import read_family
from cad.geometry import derive
from cad.geometry.boards import Laid, Layout, laid_out, least_boards
from cad.geometry.stock import Size, StockPiece, cut_list
from tests.conftest import demo_path
from tests.test_24_wood import piece_of_rough_size

Rect = tuple[int, int]
BOARD, KERF = (100, 40, 30), 2


def pieces(*sizes: Size) -> list[StockPiece]:
    return [piece_of_rough_size(f"p{at}", *size) for at, size in enumerate(sizes)]


def can_be_sawn(laid: list[Laid], low: tuple[float, float], high: tuple[float, float], kerf: float) -> bool:
    """Return whether the pieces on a part of a board come out by cuts that go right across it."""
    boxes = [(one.at, (one.at[0] + one.place.length, one.at[1] + one.place.width)) for one in laid]
    assert all(low[k] - 1e-6 <= a[k] and b[k] <= high[k] + 1e-6 for a, b in boxes for k in (0, 1))
    if len(laid) <= 1:
        return True
    for k in (0, 1):
        for cut in sorted({b[k] for _, b in boxes}):
            left = [one for one, (_, b) in zip(laid, boxes, strict=True) if b[k] <= cut + 1e-6]
            right = [one for one, (a, _) in zip(laid, boxes, strict=True) if a[k] >= cut + kerf - 1e-6]
            if left and right and len(left) + len(right) == len(laid):
                near = (cut, high[1]) if k == 0 else (high[0], cut)
                far = (cut + kerf, low[1]) if k == 0 else (low[0], cut + kerf)
                return can_be_sawn(left, low, near, kerf) and can_be_sawn(right, far, high, kerf)
    return False


def assert_sawn(found: Layout, board: Size, kerf: float) -> None:
    for number in range(found.boards):
        on_it = [one for one in found.laid if one.board == number]
        assert on_it and can_be_sawn(on_it, (0, 0), (board[0], board[1]), kerf)


@cache
def fits(rects: tuple[Rect, ...], length: int, width: int) -> bool:
    """Return whether a board gives all rectangles by cuts right across, by trying every first cut.

    Independent of the layout: it parts the set in two in every way and tries every cut at a whole mm.
    """
    if any(a > length or b > width for a, b in rects):
        return False
    if len(rects) == 1:
        return True
    if sum(a * b for a, b in rects) > length * width:
        return False
    for count in range(1, len(rects)):
        for chosen in combinations(range(len(rects)), count):
            one = tuple(sorted(rects[at] for at in chosen))
            two = tuple(sorted(rects[at] for at in range(len(rects)) if at not in chosen))
            longest, widest = max(a for a, _ in one), max(b for _, b in one)
            if any(
                fits(one, cut, width) and fits(two, length - cut - KERF, width)
                for cut in range(longest, length - KERF)
            ):
                return True
            if any(
                fits(one, length, cut) and fits(two, length, width - cut - KERF)
                for cut in range(widest, width - KERF)
            ):
                return True
    return False


def fewest(rects: tuple[Rect, ...]) -> int:
    """Return the fewest boards that give all rectangles, by trying every way of sharing them out."""
    if not rects:
        return 0
    first, others = rects[0], rects[1:]
    best = len(rects)
    for count in range(len(others) + 1):
        for chosen in combinations(range(len(others)), count):
            along = tuple(sorted((first, *(others[at] for at in chosen))))
            if fits(along, BOARD[0], BOARD[1]):
                rest = tuple(others[at] for at in range(len(others)) if at not in chosen)
                best = min(best, 1 + fewest(rest))
    return best


@given(
    st.lists(st.tuples(st.integers(2, 10), st.integers(1, 4)), min_size=1, max_size=5).map(
        lambda found: [(10 * a, 10 * b) for a, b in found]
    )
)
@settings(max_examples=60, deadline=None)
def test_small_cases_against_a_search_of_every_cutting(rects: list[Rect]) -> None:
    found = laid_out(pieces(*((a, b, 30.0) for a, b in rects)), BOARD, KERF)
    best = fewest(tuple(sorted(rects)))
    assert found.bound <= best <= found.boards <= best + 1
    assert not found.is_best or found.boards == best
    assert_sawn(found, BOARD, KERF)


def test_how_often_the_search_finds_nothing_better() -> None:
    """A first fit in a dozen ways is no proof, but on small cases it should seldom be beaten."""
    from random import Random

    dice, beaten = Random(7), 0
    for _ in range(60):
        rects = [(10 * dice.randint(2, 10), 10 * dice.randint(1, 4)) for _ in range(5)]
        found = laid_out(pieces(*((a, b, 30.0) for a, b in rects)), BOARD, KERF)
        beaten += found.boards > fewest(tuple(sorted(rects)))
    assert beaten <= 2


@given(
    st.lists(
        st.tuples(st.integers(30, 400), st.integers(20, 120), st.integers(8, 50)), min_size=1, max_size=40
    ),
    st.integers(0, 5),
)
@settings(max_examples=60, deadline=None)
def test_every_piece_is_laid_once_and_can_be_sawn(sizes: list[Size], kerf: int) -> None:
    board = (800.0, 150.0, 50.0)
    found = laid_out(pieces(*sizes), board, kerf)
    names = [name for one in found.laid for name in one.place.names]
    assert sorted(names) == sorted(f"p{at}" for at in range(len(sizes))) and not found.too_large
    rough = {one.name: one.rough for one in pieces(*sizes)}
    for one in found.laid:
        inside = [rough[name] for name in one.place.names]
        assert all(a <= one.place.length + 1e-6 and b <= one.place.width + 1e-6 for a, b, _ in inside)
        assert sum(t for _, _, t in inside) + kerf * (len(inside) - 1) <= board[2] + 1e-6
    assert_sawn(found, board, kerf)
    assert found.bound <= found.boards


def test_the_bound_by_hand() -> None:
    # Four of 50 × 20 fill a board of 102 × 42 with kerfs of 2 between: areas say 1; nine of them 2.25, so 3.
    assert least_boards([(50, 20, 30)] * 4, (102, 42, 30), 2) == 1
    assert least_boards([(50, 20, 30)] * 9, (102, 42, 30), 2) == 3
    assert laid_out(pieces(*[(50, 20, 30)] * 4), (102, 42, 30), 2).boards == 1
    # Just over half a board each way: no two share one, though areas ask for fewer.
    assert least_boards([(51, 21, 16)] * 5, (100, 40, 30), 0) == 5
    assert least_boards([], (100, 40, 30), 2) == 0


def test_the_demo_family_comes_out_of_as_few_boards_as_can_be_shown() -> None:
    family = read_family(demo_path("library-set"))
    plans = [derive(member.spec) for member in family.members]
    found_pieces = [
        StockPiece(f"{plan.spec.name} {one.name}", one.finished, one.sawn)
        for plan in plans
        for one in cut_list(plan)
    ]
    spec = family.members[0].spec
    found = laid_out(found_pieces, spec.wood.board, spec.shop.table_saw.kerf)
    assert_sawn(found, spec.wood.board, spec.shop.table_saw.kerf)
    alone = sum(laid_out(cut_list(plan), spec.wood.board, spec.shop.table_saw.kerf).boards for plan in plans)
    assert found.boards < alone, "planes share boards"
    assert sum(one.rough_volume for one in found_pieces) <= found.boards * prod(spec.wood.board)
    assert found.bound <= found.boards <= found.bound + 1


def test_equal_pieces_are_laid_alike_in_any_order() -> None:
    sizes = [(300, 80, 25), (200, 60, 20), (300, 80, 24), (120, 40, 12)]
    one = laid_out(pieces(*sizes), (800, 150, 50), 3)
    two = laid_out(list(reversed(pieces(*sizes))), (800, 150, 50), 3)
    assert one == two
    assert all(a.board <= b.board for a, b in pairwise(sorted(one.laid, key=lambda laid: laid.board)))
    assert laid_out(pieces((900, 10, 10)), (800, 150, 50), 3).too_large == ("p0",)
    assert laid_out([], (800, 150, 50), 3) == Layout((), (), 0)


@pytest.mark.parametrize("kerf", [0, 3])
def test_a_board_filled_to_the_last_mm(kerf: int) -> None:
    board = (300 + 2 * kerf, 60 + kerf, 20)
    found = laid_out(pieces(*[(100, 30, 20)] * 6), board, kerf)
    assert found.boards == found.bound == 1 and found.is_best
