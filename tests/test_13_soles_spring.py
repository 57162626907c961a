"""Spring: profiles turned in the body, against numpy's rotation, shapely and scipy and the solids."""

from __future__ import annotations

import numpy as np
import pytest
from cadquery import Compound, Vertex
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar
from shapely import affinity
from shapely.geometry import LineString

from cad.errors import SpecError
from cad.geometry import Plan, derive
from cad.parts import build_part
from cad.soles import form_of, sole_path
from cad.soles.spring import lean_of
from cad.spec import parse_spec

FORMS = {
    "round": "radius = 16\narc = 60",
    "hollow": "radius = 16\nwidth = 16",
    "drawn": "points = [[0, 6], [3, 6, -0.4], [9, 3, 0.4], [15, 0], [18, 0]]",
}


def plan_of(form: str, spring: float, more: str = "") -> Plan:
    text = f'name = "x"\n[sole]\nform = "{form}"\n{more or FORMS[form]}\nspring = {spring}\n'
    return derive(parse_spec(text, "x.toml"))


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("spring", [-12, 7.5, 15])
def test_the_profile_is_turned_about_the_planes_length(form: str, spring: float) -> None:
    """The upright path turned by numpy's matrix, its left end to y = 0, its lowest point to z = 0."""
    upright, plan = plan_of(form, 0).sole.path, plan_of(form, spring)
    a = np.radians(spring)
    # Seen from the heel, y to the right and z up, a positive spring turns the profile clockwise.
    turned = np.array(upright.points(1e-5)) @ np.array([[np.cos(a), -np.sin(a)], [np.sin(a), np.cos(a)]])
    turned -= [turned[0, 0], turned[:, 1].min()]
    assert np.array(plan.sole.path.points(1e-5)) == pytest.approx(turned, abs=2e-5)
    held = affinity.rotate(LineString(plan.sole.path.points(1e-5)), spring, origin=(0, 0))
    as_drawn = LineString(upright.points(1e-5))
    moved = affinity.translate(held, -held.bounds[0] + as_drawn.bounds[0], -held.bounds[1])
    assert moved.hausdorff_distance(as_drawn) < 5e-5, "held leaning, it stands as it was drawn"
    assert plan.sole.path.length == pytest.approx(upright.length, abs=1e-9)


def test_what_follows_is_as_wide_as_the_leaned_profile() -> None:
    plan = plan_of("hollow", 10)
    assert plan.spec.sole.width == 16, "as it stands on the work"
    assert plan.sole.width == pytest.approx(16 * np.cos(np.radians(10)))
    assert plan.throat.depth == plan.iron.width == plan.sole.width
    assert plan.sole.plate_edge - plan.sole.blind_edge == pytest.approx(16 * np.sin(np.radians(10)))


def test_without_spring_nothing_changes() -> None:
    plan = plan_of("round", 0)
    assert sole_path(plan.spec.sole).segments == tuple(
        member.segment for member in form_of(plan.spec.sole).members(plan.spec.sole)
    )


corners = st.lists(st.tuples(st.integers(2, 12), st.integers(-9, 9)), min_size=1, max_size=6)


def profile(steps: list[tuple[int, int]]) -> str:
    places = np.vstack([[0, 0], np.cumsum(steps, axis=0)])
    return f"points = {[[int(y), int(z)] for y, z in places]}"


@settings(max_examples=40, deadline=None)
@given(corners)
def test_the_even_spring_is_the_best_there_is(steps: list[tuple[int, int]]) -> None:
    """The least of the steepest turn over all springs, found by scipy, which knows nothing of headings."""
    points = np.vstack([[0, 0], np.cumsum(steps, axis=0)]).astype(float)
    ways = np.diff(points, axis=0)

    def steepest(spring: float) -> float:
        a = np.radians(spring)
        turned = ways @ np.array([[np.cos(a), -np.sin(a)], [np.sin(a), np.cos(a)]])
        return float(np.degrees(np.abs(np.arctan2(turned[:, 1], turned[:, 0]))).max())

    best = minimize_scalar(steepest, bounds=(-90, 90), method="bounded", options={"xatol": 1e-7})
    path = parse_spec(f'name = "x"\n[sole]\nform = "drawn"\n{profile(steps)}\n', "x.toml").sole
    lean = lean_of(sole_path(path).segments)
    assert lean.steepest_at(lean.even_deg) == pytest.approx(best.fun, abs=1e-4)
    assert steepest(lean.even_deg) == pytest.approx(lean.steepest_at(lean.even_deg), abs=1e-9)


STEEP = "points = [[0, 9], [6, 9], [7, 1], [15, 0]]"  # its second line falls at atan 8, 82.87°


def test_too_much_spring_is_refused_with_the_most_that_works() -> None:
    with pytest.raises(SpecError) as caught:
        plan_of("drawn", 20, STEEP)
    (fault,) = caught.value.faults
    assert fault.key == "sole.spring" and fault.line == 5
    assert "12.9° past plumb" in fault.problem
    assert "Set sole.spring from -45 to 7" in fault.cure
    assert plan_of("drawn", 7, STEEP).sole.steepest_deg == pytest.approx(89.875, abs=1e-3)
    with pytest.raises(SpecError):
        plan_of("drawn", 7.2, STEEP)


def test_no_spring_saves_what_is_undercut_both_ways() -> None:
    with pytest.raises(SpecError) as caught:
        plan_of("drawn", 0, "points = [[0, 9], [9, 9], [8, 0], [18, 0], [17, 9], [30, 9]]")
    assert all("sole.spring" not in fault.cure for fault in caught.value.faults)


def test_the_body_held_leaning_stands_on_the_work() -> None:
    """The solid body turned back by its spring, against points of the profile as drawn."""
    spring = 15.0
    upright, plan = plan_of("drawn", 0), plan_of("drawn", spring)
    body = Compound.makeCompound(build_part("body", plan).solid.Faces())
    held = body.rotate((0, 0, 0), (1, 0, 0), spring)
    start = np.array(plan.sole.path.start)
    a = np.radians(spring)
    foot = np.array(
        [start[0] * np.cos(a) - start[1] * np.sin(a), start[0] * np.sin(a) + start[1] * np.cos(a)]
    )
    for y, z in upright.sole.path.points(0.05):
        at = np.array([y, z]) - np.array(upright.sole.path.start) + foot
        assert Vertex.makeVertex(10.0, *map(float, at)).distance(held) < 1e-6
