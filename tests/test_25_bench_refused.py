"""What was measured and can no longer work: refused, with what to true off to save it."""

from __future__ import annotations

from collections.abc import Mapping
from math import radians, sin, tan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cad.checks import run_checks
from cad.errors import SpecError
from cad.formulas.circle import radius_from_chord
from cad.formulas.throat import truing_mm, turn_at_top_mm
from cad.geometry.bench import differences
from cad.report import look_json, look_text
from tests.benches import check, cut, fault


def test_faces_that_close_are_refused_with_what_to_true_off() -> None:
    one = fault({"bed": 55, "front": 54})
    assert one.key == "measured.front" and one.line > 0
    assert "close on each other" in one.problem
    # The front turned about its foot from 54° to 61°: 75 (cot 54° − cot 61°) = 12.92 mm at the top.
    off = 75 * (1 / tan(radians(54)) - 1 / tan(radians(61)))
    assert off == pytest.approx(turn_at_top_mm(75, 54, 61)) == pytest.approx(12.917, abs=1e-3)
    assert "True the front face to 61°: 12.92 mm off at the top" in one.cure
    saved = cut({"bed": 55, "front": 61})
    assert saved.wedge.angle_deg == pytest.approx(6)


def test_mouth_too_small_for_the_iron() -> None:
    """g = m − t / sin β; truing δ off the sole widens it by δ (cot β − cot φ)."""
    one = fault({"mouth": 4.0, "iron_thickness": 3.3})
    short = 3.3 / sin(radians(50)) - 4.0
    assert one.key == "measured.mouth"
    assert f"too small for this iron by {short:.2f} mm" in one.problem
    assert "evenly off the front face" in one.cure and "grind the iron" in one.cure
    off = (short + 0.4) / (1 / tan(radians(50)) - 1 / tan(radians(60)))
    assert f"True {off:.1f} mm off the sole and shape it again" in one.cure
    # A hair less than open: a check fails and says what to true off, which cures it.
    tight = cut({"mouth": 4.45, "iron_thickness": 3.3, "front": 62.0})
    gap = check(tight, "mouth.gap")
    assert gap.level in ("fail", "warn")
    off = truing_mm(0.4 - tight.throat.gap, 50, 62)
    assert f"True {off:.2f} mm off the sole" in gap.cure
    again = cut({"mouth": tight.throat.opening(off), "iron_thickness": 3.3, "front": 62.0})
    assert again.throat.gap == pytest.approx(0.4)
    front = (0.4 - tight.throat.gap) * sin(radians(62))
    assert f"{front:.2f} mm evenly off the front face" in gap.cure


def test_cures_for_wood_that_is_cut() -> None:
    jams = check(cut({"bed": 50, "front": 52.5}), "wedge.enters")
    assert jams.level == "fail" and "True the front face to 56°" in jams.cure
    slips = check(cut({"bed": 50, "front": 68}), "wedge.holds")
    assert slips.level == "fail" and "Glue a slip of the same wood to the front face" in slips.cure
    wide = check(cut({"mouth": 9}), "mouth.wide")
    assert "Glue a slip" in wide.cure and "to the bed" in wide.cure
    thin = check(cut({"iron_thickness": 1.2}), "iron.thickness")
    assert "iron.thickness can no longer be set: that is made or measured" in thin.cure
    # The throat is sawn: so the body is shaped, and what would change it says so.
    low = check(cut({"front": 89}), "wedge.front")
    assert "But body.height can no longer be set" in low.cure and "wedge.tip_height" in low.cure
    flat = check(cut({"sole_chord": 16, "sole_sagitta": 0.7}), "sole.shallow")
    assert "But sole.arc can no longer be set" in flat.cure


def test_a_gauge_wider_than_the_sole_has_measured_something_else() -> None:
    one = fault({"sole_chord": 40, "sole_sagitta": 5})
    assert one.key == "measured.sole_chord" and "spans more than the sole" in one.problem
    assert cut({"sole_chord": 16.1, "sole_sagitta": 2.14}), "callipers across both edges read a hair more"


@pytest.mark.parametrize("form", ["round", "hollow"])
def test_a_sole_too_tight_for_its_width_is_refused_with_what_comes_off(form: str) -> None:
    """Chord 12, sagitta 5.9: r = (36 + 34.81) / 11.8 = 6.0008, a half round 12 wide on a sole of 16."""
    one = fault({"sole_chord": 12, "sole_sagitta": 5.9}, sole__form=form)
    assert one.key == "measured.sole_sagitta" and "comes to 6 mm, and no such arc" in one.problem
    off = 6.0008 - (16 - (16**2 - 6.0008**2) ** 0.5)
    where = "its middle" if form == "round" else "both edges"
    assert f"true the sole to 16 mm: {off:.2f} mm comes off along {where}" in one.cure
    narrower = cut({"sole_chord": 12, "sole_sagitta": 2.1}, sole__form=form)
    assert narrower.sole.radius == pytest.approx(radius_from_chord(12, 2.1))


def test_a_blank_too_thin_is_refused_with_what_to_glue_on() -> None:
    """Throat 16 and plate 6 take 22; a wall of 10 behind them makes 32: a blank of 21 lacks 11."""
    one = fault({"body_thickness": 21})
    assert one.key == "measured.body_thickness" and "takes 22 mm" in one.problem
    assert "Glue a board of the same wood to the blind face, 11 mm thick" in one.cure
    assert cut({"body_thickness": 32}).section.blind_wall == pytest.approx(10)


def test_a_throat_sawn_too_shallow_or_through_is_refused() -> None:
    """Sole 16 wide; behind a plate of 6 the body of 32 has 26: a throat of 26 comes out at its blind face."""
    one = fault({"throat_depth": 26.5})
    assert one.key == "measured.throat_depth" and "the body has 26 mm" in one.problem
    one = fault({"throat_depth": 11})
    assert "too shallow by 5 mm" in one.problem and "Pare 5 mm off its bottom" in one.cure
    shy = check(cut({"throat_depth": 15.5}), "bench.throat_depth")
    assert shy.level == "warn" and "Pare 0.5 mm off its bottom" in shy.cure
    assert check(cut({"throat_depth": 22}), "walls.blind").value == pytest.approx(4)


def test_nothing_is_summed_up_where_nothing_differs() -> None:
    plan = cut({"mouth": 6, "bed": 50})
    assert "all of it together" not in look_text(plan, run_checks(plan))
    plan = cut({"mouth": 6.2, "bed": 50})
    assert "all of it together" in look_text(plan, run_checks(plan))


@pytest.mark.parametrize(
    ("found", "key", "words"),
    [
        ({"sole_chord": 12}, "sole_chord", "without sole_sagitta"),
        ({"sole_readings": [1, 2, 3]}, "sole_readings", "without sole_across"),
        (
            {"sole_chord": 12, "sole_sagitta": 1, "sole_across": [1, 8, 15], "sole_readings": [2, 1, 2]},
            "sole_chord",
            "measured twice",
        ),
        ({"sole_chord": 1.2, "sole_sagitta": 12}, "sole_sagitta", "more than half its span"),
        ({"sole_across": [1, 8], "sole_readings": [2, 1, 2]}, "sole_readings", "3 readings at 2 places"),
        ({"sole_across": [1, 8], "sole_readings": [2, 1]}, "sole_readings", "three points"),
        ({"sole_across": [1, 8, 17], "sole_readings": [2, 1, 2]}, "sole_across", "beyond the sole"),
        ({"sole_across": [1, 8, 15], "sole_readings": [2, 2, 2]}, "sole_readings", "straight line"),
        ({"sole_across": [1, 8, 15], "sole_readings": [1, 2, 1]}, "sole_readings", "the wrong way"),
        ({"iron_width": 11.9}, "iron_width", "without an edge"),
        ({"body_thickness": 20}, "body_thickness", "cut the body in two"),
        ({"saw_kerf": 0.4, "saw_plate": 0.5}, "saw_kerf", "narrower than its plate"),
        ({"bed": "50°"}, "bed", "an angle"),
        ({"mouth": -6}, "mouth", "negative"),
        ({"mouht": 6}, "mouht", "no such key"),
    ],
)
def test_measurements_that_cannot_be(found: Mapping[str, object], key: str, words: str) -> None:
    one = fault(found)
    assert one.key == f"measured.{key}" and one.line > 0
    assert words in one.problem or words in one.cure
    assert one.cure


def test_measurements_are_judged_once_the_plan_is_in_order() -> None:
    with pytest.raises(SpecError) as caught:
        cut({"bed": 61, "front": 60}, body__height=40, body__shoulder=45)
    assert {one.key.partition(".")[0] for one in caught.value.faults} == {"body"}


def test_a_radius_by_gauge_is_the_handbooks() -> None:
    """Machinery's Handbook, 31st ed., segments of circles for radius 1: angle 60°, c = 1, h = 0.1340."""
    assert radius_from_chord(1.0, 0.133975) == pytest.approx(1, abs=1e-5)


FOUND = st.fixed_dictionaries(
    {},
    optional={
        "bed": st.floats(44, 62),
        "front": st.floats(50, 75),
        "mouth": st.floats(4, 9),
        "iron_thickness": st.floats(2, 5),
        "iron_width": st.floats(10, 20),
        "saw_plate": st.floats(0.3, 0.7),
        "saw_kerf": st.floats(0.4, 1.1),
        "body_thickness": st.floats(24, 40),
        "cheek_thickness": st.floats(3, 9),
        "wedge_sink": st.floats(-20, 20),
        "gauge": st.tuples(st.floats(5, 16), st.floats(0.1, 3)),
    },
)


@settings(deadline=None, max_examples=150)
@given(FOUND, st.sampled_from(["round", "hollow"]), st.sampled_from([60, 180]))
def test_anything_measured_is_either_told_or_refused_with_a_cure(
    found: dict[str, object], form: str, arc: int
) -> None:
    gauge = found.pop("gauge", None)
    if isinstance(gauge, tuple):
        found |= {"sole_chord": gauge[0], "sole_sagitta": gauge[1]}
    try:
        plan = cut(found, sole__form=form, sole__arc=arc)
    except SpecError as error:
        assert all(one.cure and one.line > 0 and one.key.startswith("measured.") for one in error.faults)
        return
    assert plan.throat.front_deg > plan.throat.bed_deg
    assert plan.iron.edge()[-1].end[0] == pytest.approx(plan.iron.width)
    document = look_json(plan, run_checks(plan))
    assert ("bench" in document) == bool(found)
    assert look_text(plan, run_checks(plan))
    for one in differences(plan):
        assert len(one.effects) == len({effect.id for effect in one.effects})
