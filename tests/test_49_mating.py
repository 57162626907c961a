"""Two soles laid together: the gap measured on the solids against its closed form."""

from __future__ import annotations

from collections.abc import Callable
from math import hypot, sqrt
from typing import Any

import pytest

from cad.cli.pairing import mating_json, paired
from cad.geometry import Plan, derive
from cad.soles import forms
from cad.spec import starter
from cad.spec.mate import mate_of
from fixtures.bench.mating import GAP_MM, STATIONS, laid_together
from tests.conftest import DEMOS, demo_path
from tests.planes import plan_of, spec_text
from tests.test_12_mate import TINY


def mate_plan(text: str) -> Plan:
    return derive(mate_of(text, "lot.toml").spec)


@pytest.mark.parametrize("name", DEMOS)
def test_the_demo_planes_lie_on_their_mates(demo: Plan, name: str) -> None:
    text = demo_path(demo.spec.name).read_text()
    found = laid_together(demo, mate_plan(text))
    assert len(found.stations) == STATIONS and found.passes
    assert max(abs(found.least), abs(found.most)) < 1e-6


@pytest.mark.parametrize("form", ["round", "hollow"])
@pytest.mark.parametrize("arc", [45, 60, 120, 180])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_any_pair_of_one_radius_has_no_gap(form: str, arc: float, hand: str) -> None:
    text = spec_text(form, 12, arc, 50, hand)
    found = laid_together(plan_of(text), mate_plan(text))
    assert max(abs(found.least), abs(found.most)) < 1e-6
    steps = [b.across - a.across for a, b in zip(found.stations, found.stations[1:], strict=False)]
    assert all(step > 0 for step in steps), "from the plate to the blind side"


@pytest.mark.parametrize("other", [15.5, 16.5])
def test_a_hollow_of_another_radius_shows_the_gap_of_the_two_circles(other: float) -> None:
    """Closed form: how much nearer than its radius a point of the round lies to the hollow's centre.

    Both soles are w wide; the hollow stands so that its edges lie at z = s of the round, its crown at s − s'.
    """
    width, radius = 16.0, 16.0
    one = plan_of(spec_text("round", radius, 60, 50, "right"))
    two = plan_of(spec_text("hollow", other, 60, 50, "right").replace("arc = 60", f"width = {width}"))
    found = laid_together(one, two)
    s_two = other - sqrt(other**2 - width**2 / 4)
    s_one = radius - sqrt(radius**2 - width**2 / 4)
    centre = s_one - s_two + other  # of the hollow, above the round's crown
    for station in found.stations:
        y = station.across - width / 2
        z = radius - sqrt(radius**2 - y**2)
        assert station.gap == pytest.approx(other - hypot(y, centre - z), abs=1e-6)
    assert max(abs(found.least), abs(found.most)) > GAP_MM and not found.passes


@pytest.mark.parametrize("form", [form for form in forms() if form not in ("round", "hollow")])
@pytest.mark.parametrize("spring", [0, 6])
def test_a_moulding_lies_on_its_counter_profile_leaned_or_not(form: str, spring: float) -> None:
    text = starter(form, None, "mm", "moulding").replace("# spring = 0 ", f"spring = {spring} ")
    plan, mate = plan_of(text), mate_plan(text)
    assert plan.spec.sole.spring == spring and mate.spec.sole.form == "drawn"
    found = laid_together(plan, mate)
    assert max(abs(found.least), abs(found.most)) < 1e-6
    assert mate.section.height == plan.section.height and mate.throat.mouth == plan.throat.mouth


def test_prove_tells_of_the_mate(proved: Callable[[str], Any]) -> None:
    told = proved("cornice-round")["mate"]
    assert told["name"] == "cornice-hollow" and told["form"] == "hollow" and told["passes"]
    assert told["gap_mm"] == {"least": 0.0, "most": 0.0} and len(told["stations"]) == STATIONS
    none = mating_json(paired(plan_of(TINY), TINY, "tiny.toml"))["none"]
    assert "no radius left" in str(none)
