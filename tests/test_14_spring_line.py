"""The spring line, and what shows it: against shapely, on drawings, templates, caps and the build sheet."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from shapely.geometry import LineString, Polygon

from cad.checks import run_checks
from cad.geometry import Plan, derive
from cad.geometry.end_cap import EndCap
from cad.geometry.spring_line import spring_line
from cad.outline import Line
from cad.papers.build_sheet.step import Bench
from cad.papers.build_sheet.steps import spring as step
from cad.papers.drawings.sheets import body
from cad.papers.drawings.subject import Subject
from cad.papers.drawings.view import Angle
from cad.papers.templates.kinds import ends
from cad.parts import build_part
from cad.report import dimensions
from cad.spec import parse_spec
from fixtures.bench.model import Declined
from fixtures.bench.proof import prove
from fixtures.bench.workshop import build_fixture, fixture_names
from tests.drawings import svg

OGEE = "points = [[0, 14], [5, 14], [6, 9, -0.35], [14, 4, 0.35], [21, 0], [24, 0]]"
PLANES = {
    "leaned drawing": f'[sole]\nform = "drawn"\n{OGEE}\nspring = 9\n',
    "left round": '[sole]\nform = "round"\nradius = 16\narc = 80\nspring = 20\n[body]\nhand = "left"\n',
    "laminated hollow": '[sole]\nform = "hollow"\nradius = 20\nspring = -15\n[body]\nbuild = "laminated"\n',
    "upright drawing": f'[sole]\nform = "drawn"\n{OGEE}\n',
}


def plan_of(text: str) -> Plan:
    return derive(parse_spec(f'name = "x"\n{text}', "x.toml"))


@pytest.fixture(scope="module", params=list(PLANES))
def plan(request: pytest.FixtureRequest) -> Plan:
    return plan_of(PLANES[request.param])


def test_the_line_stands_plumb_over_the_middle_of_the_profile_at_work(plan: Plan) -> None:
    """Body and line turned back together by numpy's rotation, clipped by shapely."""
    line, a = spring_line(plan.section), np.radians(plan.sole.spring_deg)
    back = np.array([[np.cos(a), np.sin(a)], [-np.sin(a), np.cos(a)]])
    foot, head = (np.array(p) @ back for p in (line.start, line.end))
    assert foot[0] == pytest.approx(head[0]), "plumb"
    corners = np.array([plan.sole.path.start, *(segment.end for segment in plan.sole.path)]) @ back
    assert foot[0] == pytest.approx((corners[:, 0].min() + corners[:, 0].max()) / 2)
    wood = Polygon(np.array(plan.section.shaped().points(1e-4)) @ back)
    inside = wood.intersection(LineString([(foot[0], -200), (foot[0], 200)]))
    lowest = min(getattr(inside, "geoms", [inside]), key=lambda part: part.bounds[1])
    assert lowest.bounds[1::2] == pytest.approx((foot[1], head[1]), abs=2e-3)


def test_drawing_and_template_show_it(plan: Plan) -> None:
    spring = plan.sole.spring_deg
    subject = Subject(plan, {"body": build_part("body", plan).solid})
    (sheet,) = body.sheets(subject)
    views = [view for row in sheet.rows for view in row if view is not None]
    shown = [mark for view in views for mark in view.marks if isinstance(mark, Angle)]
    angles = {mark.dimension.key: mark for mark in shown}
    assert ("spring" in angles) == bool(spring)
    for template in ends.templates(plan, ()):
        words = [each.text for each in template.art.words]
        assert any("plumb at work" in text for text in words) == bool(spring)
    if spring:
        (axis,) = (axis for view in views for axis in view.axes)
        assert abs(abs(axis.heading_deg()) - 90) == pytest.approx(abs(spring), abs=1e-6)
        assert axis.length == pytest.approx(spring_line(plan.section).length)
        assert angles["spring"].to_deg - angles["spring"].from_deg == pytest.approx(abs(spring), abs=1e-6)
        assert dimensions(plan)["spring.line_foot"].value == pytest.approx(spring_line(plan.section).start[0])


def test_the_build_sheet_says_how_to_hold_it(plan: Plan) -> None:
    steps = list(step.steps(Bench(plan, {}, {})))
    assert len(steps) == (1 if plan.sole.spring_deg else 0)
    for one in steps:
        side = "cheek plate" if plan.sole.spring_deg > 0 else "blind side"
        assert any(f"towards the {side}" in words for words in one.do)


def test_the_slot_of_the_caps_is_the_spring_line(plan: Plan) -> None:
    cap = EndCap(plan.section, plan.spec.shop.printer.clearance)
    slot = cap.slot()
    assert slot is not None
    edges = [side for side in slot if isinstance(side, Line) and abs(side.end[1] - side.start[1]) > 1]
    line = LineString([spring_line(plan.section).start, spring_line(plan.section).end])
    on_line = [edge for edge in edges if line.distance(LineString([edge.start, edge.end])) < 1e-9]
    assert len(on_line) == 1
    plate = Polygon(cap.outline().points(1e-3))
    assert plate.buffer(-2).contains(Polygon(slot.points(1e-3)))


def test_all_fixtures_are_proved(plan: Plan) -> None:
    for name in fixture_names():
        fixture = build_fixture(name, plan, lettered=False)
        if isinstance(fixture, Declined):
            assert any(letter.isdigit() for letter in fixture.reason), f"{name}: {fixture.reason}"
        else:
            proof = prove(fixture, plan)
            assert proof.passes, proof


def test_a_profile_that_slopes_is_told_its_spring() -> None:
    plan = plan_of(PLANES["upright drawing"])
    check = next(check for check in run_checks(plan) if check.id == "spring.even")
    assert not check.holds and check.level == "note" and "Set sole.spring = " in check.cure
    spring = float(check.cure.split("sole.spring = ")[1].split(".")[0])
    leaned = plan_of(PLANES["upright drawing"] + f"spring = {spring}\n")
    assert leaned.sole.steepest_deg < plan.sole.steepest_deg - 5
    assert next(check for check in run_checks(leaned) if check.id == "spring.even").holds


def test_curves_of_a_drawing_are_told_with_how_far_they_stray(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    folder = tmp_path_factory.mktemp("note")
    (folder / "o.svg").write_bytes(svg('<path d="M 0 9 C 6 9 6 2 20 2"/>'))
    text = 'name = "x"\n[sole]\nform = "drawn"\nprofile = "o.svg"\n'
    plan = derive(parse_spec(text, str(folder / "x.toml")))
    check = next(check for check in run_checks(plan) if check.id == "drawing.curves")
    assert check.level == "note" and 0 < check.value <= 0.02 * 1.05 and "o.svg" in check.why


@pytest.mark.parametrize(
    ("size", "told", "cure"),
    [
        ('width="60cm" height="40cm" viewBox="0 0 60 40"', "drawing.wide", '"mm" if'),
        ('width="6mm" height="4mm" viewBox="0 0 60 40"', "drawing.narrow", '"in" if'),
        ('width="60mm" height="40mm" viewBox="0 0 60 40"', "", ""),
    ],
)
def test_a_drawing_in_another_unit_is_told_by_its_size(
    tmp_path: Path, size: str, told: str, cure: str
) -> None:
    (tmp_path / "o.svg").write_bytes(svg('<path d="M 0 9 L 4 9 L 16 2"/>', size))
    text = 'name = "x"\n[sole]\nform = "drawn"\nprofile = "o.svg"\n'
    found = run_checks(derive(parse_spec(text, str(tmp_path / "x.toml"))))
    wrong = {check.id: check for check in found if check.id in ("drawing.wide", "drawing.narrow")}
    assert len(wrong) == 2
    assert [name for name, check in wrong.items() if not check.holds] == ([told] if told else [])
    assert not told or (wrong[told].level == "warn" and f"sole.profile_unit = {cure}" in wrong[told].cure)
