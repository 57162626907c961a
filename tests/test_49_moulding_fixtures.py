"""Every fixture on every moulding: proved on its work, printed, or declined with a reason in numbers."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from cadquery import Location

from cad.geometry import Plan
from cad.geometry.sanding import LEAST_WIDTH_MM
from fixtures.bench.model import Declined
from fixtures.bench.print_proof import prove_prints
from fixtures.bench.proof import prove
from fixtures.bench.workshop import build_fixture, fixture_names
from fixtures.sanding_blocks import section_for
from tests.mouldings import BUILDS, MOULDINGS, built, moulding
from tests.test_32_moulding_solids import PLANS


@pytest.mark.parametrize("name", fixture_names())
@pytest.mark.parametrize("form", PLANS)
def test_every_fixture_is_proved_on_every_moulding(form: str, name: str) -> None:
    plan = PLANS[form]
    fixture = build_fixture(name, plan, lettered=False)
    assert not isinstance(fixture, Declined), fixture
    assert prove(fixture, plan).failures == ()
    assert prove_prints(fixture, plan).passes


@pytest.mark.parametrize("form", MOULDINGS)
@pytest.mark.parametrize("width", [9, 45])
def test_small_and_large_ones_are_proved_or_declined_in_numbers(form: str, width: float) -> None:
    plan = built(form, width, BUILDS[form])
    for name in ("sole_gauge", "sanding_blocks", "iron_card", "end_templates", "cradle"):
        fixture = build_fixture(name, plan, lettered=False)
        if isinstance(fixture, Declined):
            assert re.search(r"\d", fixture.reason), fixture
        else:
            assert prove(fixture, plan).failures == (), (name, width)


def test_a_gauge_held_low_shows_its_light() -> None:
    plan = moulding("bead")
    fixture = build_fixture("sole_gauge", plan, lettered=False)
    assert not isinstance(fixture, Declined)
    (piece,) = fixture.pieces
    low = replace(piece, solid=piece.solid.moved(Location((0, 0, -0.0009))))
    assert prove(replace(fixture, pieces=(low,)), plan).passes
    sunk = replace(piece, solid=piece.solid.moved(Location((0, 0.05, 0))))
    assert not prove(replace(fixture, pieces=(sunk,)), plan).passes


@pytest.mark.parametrize(("form", "member"), [("ovolo", "high fillet"), ("bead", "bead")])
def test_a_block_that_would_fold_over_names_the_member(form: str, member: str) -> None:
    plan = built(form, 20, {"shop.abrasive.pad": "9 mm"})
    made = build_fixture("sanding_blocks", plan)
    assert isinstance(made, Declined)
    assert f"at its {member}," in made.reason or "at its step," in made.reason
    assert "pad 9" in made.reason


def radii_of(plan: Plan, grit: str) -> list[float]:
    return [
        round(segment.radius, 6)
        for segment in section_for(plan, grit).over_sole
        if hasattr(segment, "radius")
    ]


def test_blocks_of_an_ogee_by_the_rule_of_parallels() -> None:
    # A parallel of a round grows by the stack, of a hollow shrinks by it: pad 2, backing 0.25, P100 0.162.
    plan = moulding("ogee", 25, depth=10.0, fillet=3.0)
    radius = (19**2 + 10**2) / 40  # (a² + d²) / 4d, plane geometry
    assert radii_of(plan, "P100") == pytest.approx([radius - 2.412, radius + 2.412])
    assert section_for(plan, "P100").sides[1] - section_for(plan, "P100").sides[0] >= LEAST_WIDTH_MM
