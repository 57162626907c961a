"""Fixtures that serve several planes: that equal ones are found, and that one really serves another."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from cadquery import Location, Solid

from cad.errors import KernelError
from cad.geometry import Plan
from cad.kernel.likeness import likeness
from cad.kernel.shapes import box, cut, cylinder, mirrored, placed
from fixtures.bench.model import Declined, Fixture
from fixtures.bench.proof import prove
from fixtures.bench.sharing import fixture_likeness
from fixtures.bench.workshop import build_fixture, fixture_names
from tests.planes import plan_of, spec_text

SHARED = ("saw_guide", "sled", "trim_guide", "wedge_guide")  # what a pair of one size has in common


@cache
def pair() -> tuple[Plan, Plan]:
    one, two = (spec_text(form, 12, 60, 50, "right") for form in ("round", "hollow"))
    return plan_of(one), plan_of(two.replace("drawn-by-lot", "another-name"))


def built(name: str, plan: Plan, lettered: bool = False) -> Fixture:
    made = build_fixture(name, plan, lettered)
    assert not isinstance(made, Declined)
    return made if lettered else replace(made, bare=made.pieces)


def low_corner(solid: Solid) -> tuple[float, float, float]:
    corners = [vertex.toTuple() for vertex in solid.Vertices()]
    return (min(p[0] for p in corners), min(p[1] for p in corners), min(p[2] for p in corners))


def moved_onto(solid: Solid, other: Solid) -> Solid:
    """Return a solid carried, unturned, to where another stands."""
    shift = tuple(b - a for a, b in zip(low_corner(solid), low_corner(other), strict=True))
    return placed(solid, Location(shift))


def test_a_shape_is_told_wherever_it_stands_and_however_it_came_about() -> None:
    block = box((0, 0, 0), (30, 20, 10))
    drilled = cut(block, cylinder((10, 10, -1), (0, 0, 1), 3, 12), part="block", feature="hole")
    elsewhere = cut(
        box((100.25, -7.125, 3), (130.25, 12.875, 13)),
        cylinder((110.25, 2.875, 0), (0, 0, 1), 3, 20),
        part="block",
        feature="hole",
    )
    assert likeness(drilled) == likeness(elsewhere) == likeness(placed(drilled, Location((1, 2, 3))))
    others = [
        block,
        box((0, 0, 0), (30, 20, 10.002)),
        cut(block, cylinder((10, 10, -1), (0, 0, 1), 3.002, 12), part="block", feature="hole"),
        cut(block, cylinder((10.002, 10, -1), (0, 0, 1), 3, 12), part="block", feature="hole"),
        cut(block, cylinder((10, 10, 5), (0, 0, 1), 3, 12), part="block", feature="hole"),
        mirrored(cut(block, cylinder((10, 7, -1), (0, 0, 1), 3, 12), part="block", feature="hole")),
    ]
    assert len({likeness(one) for one in (drilled, *others)}) == 1 + len(others)


def test_letters_that_name_a_plane_do_not_part_equal_fixtures() -> None:
    one, two = (built("saw_guide", plan, lettered=True) for plan in pair())
    assert fixture_likeness(one) == fixture_likeness(two)
    assert fixture_likeness(one) == fixture_likeness(built("saw_guide", pair()[0]))


def test_a_pair_shares_what_knows_nothing_of_its_sole() -> None:
    one, two = pair()
    same = [
        name for name in fixture_names()
        if fixture_likeness(built(name, one)) == fixture_likeness(built(name, two))
    ]  # fmt: skip
    assert set(SHARED) <= set(same)
    assert not {"sole_gauge", "sanding_blocks", "iron_card", "cradle"} & set(same)


@pytest.mark.parametrize("name", SHARED)
def test_a_fixture_built_for_one_plane_is_proved_on_the_other(name: str) -> None:
    one, two = pair()
    ours, theirs = built(name, one), built(name, two)
    pieces = [
        replace(there, solid=moved_onto(here.solid, there.solid))
        for here, there in zip(ours.pieces, theirs.pieces, strict=True)
    ]
    assert prove(replace(theirs, pieces=tuple(pieces)), two).passes


@pytest.mark.parametrize("name", ["saw_guide", "trim_guide"])
def test_one_of_another_size_is_neither_alike_nor_proved(name: str) -> None:
    _, two = pair()
    other = plan_of(spec_text("round", 14, 60, 51, "right") + "[cheek]\nthickness = 7\n")
    ours, theirs = built(name, other), built(name, two)
    assert fixture_likeness(ours) != fixture_likeness(theirs)
    pieces = [
        replace(there, solid=moved_onto(here.solid, there.solid))
        for here, there in zip(ours.pieces, theirs.pieces, strict=True)
    ]
    try:
        passes = prove(replace(theirs, pieces=tuple(pieces)), two).passes
    except KernelError:  # a face that the set-up names is not where it should be
        passes = False
    assert not passes
