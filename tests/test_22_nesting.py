"""Nesting of rectangles on sheets: nothing lost, nothing too near, checked by shapely."""

from __future__ import annotations

from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, box

from cad.geometry.nesting import Nested, nest, room_on
from cad.outline import Point

SPACING = 8.0


def cells(sizes: dict[str, Point], nested: tuple[Nested, ...]) -> list[tuple[int, Polygon]]:
    found = []
    for one in nested:
        wide, high = sizes[one.name][::-1] if one.turned else sizes[one.name]
        found.append((one.sheet, box(one.at[0], one.at[1], one.at[0] + wide, one.at[1] + high)))
    return found


SIDES = st.tuples(st.floats(5, 700), st.floats(5, 450))


@settings(deadline=None, max_examples=120)
@given(st.lists(SIDES, min_size=1, max_size=25), st.floats(0.5, 20))
def test_nested_pieces_keep_their_spacing_and_none_is_lost(sides: list[Point], spacing: float) -> None:
    sizes = {f"p{i}": size for i, size in enumerate(sides)}
    found = nest(sizes, (600, 400), spacing)
    assert sorted([one.name for one in found.nested] + list(found.too_large)) == sorted(sizes)
    for name in found.too_large:
        long, short = sorted(sizes[name], reverse=True)
        assert long > 600 - spacing - 1e-6 or short > 400 - spacing - 1e-6
    laid = cells(sizes, found.nested)
    inside = box(spacing / 2 - 1e-6, spacing / 2 - 1e-6, 600 - spacing / 2 + 1e-6, 400 - spacing / 2 + 1e-6)
    for i, (sheet, one) in enumerate(laid):
        assert inside.contains(one)
        assert all(other != sheet or one.distance(two) >= spacing - 1e-6 for other, two in laid[:i])
    assert {sheet for sheet, _ in laid} == set(range(found.sheets))


@settings(deadline=None, max_examples=30)
@given(st.lists(SIDES, min_size=2, max_size=12), st.randoms(use_true_random=False))
def test_the_nest_does_not_hang_on_the_order(sides: list[Point], shuffler: Random) -> None:
    names = [f"p{i}" for i in range(len(sides))]
    sizes = dict(zip(names, sides, strict=True))
    shuffled = list(names)
    shuffler.shuffle(shuffled)
    assert nest({name: sizes[name] for name in shuffled}, (600, 400), 8) == nest(sizes, (600, 400), 8)


def test_a_sheet_is_used_to_its_last_strip() -> None:
    """Four quarters of a sheet lie on one sheet, and what is as large as the sheet's room lies alone."""
    quarters = {f"q{i}": (300 - SPACING, 200 - SPACING) for i in range(4)}
    assert nest(quarters, (600, 400), SPACING).sheets == 1
    assert nest({**quarters, "more": (5.0, 5.0)}, (600, 400), SPACING).sheets == 2
    whole = room_on((600, 400), SPACING)
    assert nest({"whole": whole[::-1]}, (600, 400), SPACING).nested[0].turned
    assert nest({"whole": (whole[0] + 0.01, whole[1])}, (600, 400), SPACING).too_large == ("whole",)
    assert nest({}, (600, 400), SPACING).sheets == 0
