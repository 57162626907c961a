"""Mouldings as soles: their curves by handbook and by numbers, their faults by key, their own keys."""

from __future__ import annotations

import re
from math import atan2, degrees, hypot, pi, radians, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import least_squares

from cad.checks import Check, run_checks
from cad.errors import SpecError
from cad.geometry import Plan
from cad.outline import Arc, Path
from cad.soles import forms
from cad.soles.sound import flaws
from cad.spec import keys, parse_spec, starter
from tests.mouldings import MOULDINGS, built, moulding
from tests.sample_planes import spec_of


def member(plan: Plan, name: str) -> Arc:
    """Return the arc of a sole by its name."""
    segment = plan.sole.path.segments[plan.sole.names.index(name)]
    assert isinstance(segment, Arc)
    return segment


def check(plan: Plan, name: str) -> Check:
    (found,) = [one for one in run_checks(plan) if one.id == name]
    return found


def samples(path: Path, count: int = 2000) -> np.ndarray:
    """Return points (y, z) evenly along each segment, with the length each stands for and its turn."""
    rows = []
    for segment in path:
        step = segment.length / count
        for i in range(count):
            one, two = segment.point(i / count), segment.point((i + 1) / count)
            turned = degrees(atan2(abs(two[1] - one[1]), abs(two[0] - one[0])))
            rows.append((*one, step, turned))
    return np.array(rows)


def test_at_least_seven_mouldings_come_along() -> None:
    assert set(MOULDINGS) >= {"astragal", "bead", "cove", "ogee", "ovolo", "reverse-ogee", "thumbnail"}


@pytest.mark.parametrize("form", MOULDINGS)
@pytest.mark.parametrize("width", [6.0, 20.0, 55.0])
def test_a_starter_s_sole_is_a_sound_profile(form: str, width: float) -> None:
    plan = moulding(form, width)
    ys, zs, _, turned = samples(plan.sole.path).T
    assert ys[0] == pytest.approx(0, abs=1e-9) and plan.sole.path.end[0] == pytest.approx(width)
    assert zs.min() == pytest.approx(0, abs=1e-9)
    assert (np.diff(ys) > -1e-9).all(), "the sole turns back"
    assert len(set(plan.sole.names)) == len(plan.sole.names) == len(plan.sole.path.segments)
    # 60° keeps half the shaving (cos 60° = 1/2); only plumb steps turn further.
    assert turned[turned < 89.9].max() <= 60.05
    assert not any(one.level == "fail" for one in run_checks(plan))


@pytest.mark.parametrize("form", MOULDINGS)
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_a_starter_says_every_key_of_its_form_and_parses(form: str, unit: str) -> None:
    text = starter(form, None, unit)
    spec = parse_spec(text, "new.toml")
    own = [key.dotted for key in keys(form) if key.dotted.startswith("sole.")]
    assert "sole.radius" not in own
    for key in own:
        assert f"{key.removeprefix('sole.')} = " in text, key
        assert spec.origins[key].reason
    spoken = parse_spec(re.sub(r"^# (\w+ = |\[)", r"\1", text, flags=re.MULTILINE), "spoken.toml")
    assert spoken.sole.model_dump() == pytest.approx(spec.sole.model_dump(), abs=1e-6)


def test_a_bead_by_the_handbook() -> None:
    # Machinery's Handbook, 31st ed., p. 79-83, worked: chord 16, height 6 → radius 8 1/3.
    arc = degrees(2 * np.arcsin(8 / (25 / 3)))
    plan = built("bead", 18, {"sole.quirk": 2, "sole.arc": float(arc)})
    assert member(plan, "bead").radius == pytest.approx(25 / 3, abs=1e-6)
    assert plan.sole.highest == pytest.approx(6, abs=1e-6)
    assert plan.sole.path.segments[-1].length == pytest.approx(2)


@pytest.mark.parametrize(("form", "name"), [("ovolo", "ovolo"), ("cove", "cove")])
def test_a_quarter_s_spandrel_by_the_handbook(form: str, name: str) -> None:
    # Segment of a quarter circle, r = 1: chord 1.414214, area 0.285398 (Machinery's Handbook, 31st ed.).
    extra = {"step": 0.0} if form == "ovolo" else {}
    plan = moulding(form, 10, depth=10.0, fillet=0.0, **extra)
    arc = member(plan, name)
    assert arc.radius == pytest.approx(10) and plan.sole.path.segments == (arc,)
    assert hypot(arc.end[0] - arc.start[0], arc.end[1] - arc.start[1]) == pytest.approx(14.14214, abs=1e-5)
    assert abs(Path((arc,)).area) == pytest.approx(28.5398, abs=1e-4)


@pytest.mark.parametrize(("form", "level"), [("ogee", "middle"), ("reverse-ogee", "ends")])
def test_an_ogee_of_two_quarters(form: str, level: str) -> None:
    # As deep as its run, each half is a quarter circle of half the depth: textbook of the orders.
    extra = {"step": 0.0} if form == "reverse-ogee" else {}
    plan = moulding(form, 12, depth=12.0, fillet=0.0, **extra)
    low, high = (member(plan, name) for name in plan.sole.names)
    assert low.radius == pytest.approx(6) and high.radius == pytest.approx(6)
    assert low.end == pytest.approx((6, 6)) and low.length == pytest.approx(6 * pi / 2)
    steep = {0.0: low.heading_deg(0), 0.5: low.heading_deg(1), 1.0: high.heading_deg(1)}
    flat = {0.5} if level == "middle" else {0.0, 1.0}
    assert {share: heading == pytest.approx(0, abs=1e-6) for share, heading in steep.items()} == {
        share: share in flat for share in steep
    }
    assert low.heading_deg(1) == pytest.approx(high.heading_deg(0)), "the two halves are not tangent"
    # The architects' names, common practice: cyma recta hollow above, cyma reversa round above.
    assert high.ccw == (form == "ogee") and low.ccw == (form != "ogee")


@settings(deadline=None, max_examples=30)
@given(st.floats(12, 60), st.floats(0.1, 0.2), st.floats(0.2, 0.3), st.integers(50, 85))
def test_a_thumbnail_by_solving_for_its_two_circles(
    width: float, nose: float, deep: float, turn: int
) -> None:
    nose, depth = round(nose * width, 3), round(deep * width, 3)
    plan = moulding("thumbnail", width, nose=nose, depth=depth, turn=turn)
    one, two = member(plan, "nose"), member(plan, "thumb")

    def apart(unknown: np.ndarray) -> list[float]:
        # The nose's circle touches from within one whose centre lies below the level end.
        radius, bend = unknown
        centre = np.array([nose * sin(radians(turn)), -nose * np.cos(radians(turn))])
        outer = np.array([width, depth - radius])
        meet = centre + nose * np.array([-sin(bend), np.cos(bend)])
        return [hypot(*(meet - outer)) - radius, hypot(*(centre - outer)) - (radius - nose)]

    near = [two.radius * 1.05, radians(one.heading_deg(1)) * 1.02]
    radius, bend = least_squares(apart, near, xtol=1e-15, ftol=1e-15, gtol=1e-15).x
    assert two.radius == pytest.approx(radius, rel=1e-5)
    assert one.heading_deg(1) == pytest.approx(degrees(bend), abs=1e-3)
    assert one.heading_deg(0) == pytest.approx(turn, abs=1e-6)
    assert two.heading_deg(0) == pytest.approx(one.heading_deg(1), abs=1e-6)
    assert two.heading_deg(1) == pytest.approx(0, abs=1e-6)


FAULTS = [
    ({"sole.form": "ogee", "sole.depth": 16}, "sole.depth", "turn past plumb", "at most 15 mm"),
    ({"sole.form": "ogee", "sole.fillet": 10}, "sole.fillet", "nothing is left of the curve", "smaller"),
    ({"sole.form": "cove", "sole.depth": 18}, "sole.depth", "turn past plumb", "at most 17.5 mm"),
    ({"sole.form": "cove", "sole.fillet": 20}, "sole.fillet", "nothing is left", "wider"),
    ({"sole.form": "ovolo", "sole.step": 9, "sole.depth": 8}, "sole.step", "nothing is left", "deeper"),
    ({"sole.form": "ovolo", "sole.depth": 40}, "sole.depth", "turn past plumb", "at most"),
    (
        {"sole.form": "reverse-ogee", "sole.step": 9, "sole.depth": 9},
        "sole.step",
        "nothing is left",
        "deeper",
    ),
    ({"sole.form": "bead", "sole.quirk": 20}, "sole.quirk", "nothing is left of the bead", "narrower"),
    ({"sole.form": "astragal", "sole.fillet": 10}, "sole.fillet", "nothing is left of the bead", "narrower"),
    ({"sole.form": "thumbnail", "sole.nose": 30}, "sole.nose", "nose alone takes more", "smaller"),
    ({"sole.form": "thumbnail", "sole.depth": 15}, "sole.depth", "no nose", "less than"),
    ({"sole.form": "bead", "sole.quirk": 0.01}, "sole.width", "quirk at 19.99 mm", "leave it out"),
]


@pytest.mark.parametrize(("changes", "key", "problem", "cure"), FAULTS)
def test_an_impossible_moulding_is_told(
    changes: dict[str, object], key: str, problem: str, cure: str
) -> None:
    with pytest.raises(SpecError) as caught:
        spec_of({"sole.radius": None, "sole.width": 20, **changes})
    (fault,) = caught.value.faults
    assert fault.key == key and fault.line > 0
    assert problem in fault.problem and cure in fault.cure


def test_a_key_of_another_form_is_unknown_and_says_whose_it_is() -> None:
    with pytest.raises(SpecError) as caught:
        spec_of({"sole.form": "ogee", "sole.radius": 16, "sole.width": 20})
    (fault,) = caught.value.faults
    assert fault.key == "sole.radius" and "no such key in [sole] for the form ogee" in fault.problem
    assert "It is a key of round, hollow. " in fault.cure
    assert fault.cure.endswith("Known in [sole]: form, depth, fillet, width, relief, spring, tolerance")


def test_a_moulding_must_have_its_width() -> None:
    with pytest.raises(SpecError) as caught:
        spec_of({"sole.form": "cove", "sole.radius": None})
    (fault,) = caught.value.faults
    assert fault.key == "sole.width" and 'width = "3/4 in"' in fault.cure


@pytest.mark.parametrize("form", list(forms()))
def test_every_form_says_what_it_is(form: str) -> None:
    module = forms()[form]
    assert module.SUMMARY and module.CALLED.split()[0] in ("a", "an") and module.FLATTER
    assert module.SIZE.key in {f"sole.{name}" for name in module.Table.model_fields}
    worked = {rule.key for rule in module.RULES}
    assert {f"sole.{name}" for name in module.Table.model_fields} == worked | {
        module.SIZE.key,
        "sole.form",
        "sole.spring",
    }


@pytest.mark.parametrize(
    ("form", "changes"),
    [
        ("bead", {"arc": 180}),
        ("astragal", {"arc": 175}),
        ("ogee", {"depth": 15.0}),
        ("cove", {"depth": 17.4}),
    ],
)
def test_the_parts_that_scrape_are_named_and_measured(form: str, changes: dict[str, object]) -> None:
    # tan c' = tan(50° - 30°) · cos θ and 4° of clearance are the least (common practice): by fine chords.
    plan = moulding(form, **changes)
    found = check(plan, "sole.scrapes")
    _, _, lengths, turned = samples(plan.sole.path).T
    clearance = np.degrees(np.arctan(np.tan(np.radians(20)) * np.cos(np.radians(turned))))
    share = 100 * lengths[clearance < 4].sum() / lengths.sum()
    assert found.value == pytest.approx(share, abs=0.1) and share > 1
    assert not found.holds
    steep = {name for name in plan.sole.names if name in ("bead", "round", "hollow", "cove")}
    assert all(f"the {name} from " in found.why for name in steep)


def test_a_step_is_named_as_a_wall_that_only_stands() -> None:
    found = check(moulding("ovolo", step=2.0), "sole.walls")
    assert (found.level, found.value) == ("note", pytest.approx(2))
    assert "the step at 17.5 mm from the rabbet face, 2 mm high" in found.why
    assert check(moulding("ovolo", step=0.0), "sole.walls").holds


def test_a_sound_profile_of_every_form_has_no_flaw() -> None:
    for form in MOULDINGS:
        table = moulding(form).spec.sole
        assert flaws(forms()[form].members(table), str) == ()
