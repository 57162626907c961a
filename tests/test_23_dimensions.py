"""What `look` reports: every key with its origin, every dimension with its value, as text and as JSON."""

from __future__ import annotations

import json
from math import isfinite
from typing import Any

import pytest
from hypothesis import given, settings

from cad.checks import run_checks
from cad.checks.check import at_least
from cad.geometry import Plan
from cad.report import Dimension, dimensions, look_json, look_text
from cad.spec import keys
from tests.planes import plan_of as plan_of_text
from tests.planes import specs
from tests.sample_planes import plan_of

# Inches, a quarter inch mouth for iron and wedge, bed 50 with front 60: common practice, no source.
INCH_HALF_ROUND: dict[str, Any] = {
    "unit": "in",
    "sole.radius": "3/8 in",
    "sole.arc": 180,
    "body.height": "3 in",
    "body.thickness": "1 1/4 in",
    "throat.mouth": "1/4 in",
}

# By hand from a table of functions unless a source is named; r 16, w 16, H 75, T 32 as the rules set.
ROUND = {
    "sole.sagitta": 2.143594,  # r (1 - cos 30°), Machinery's Handbook, 31st ed., segments of circles
    "sole.half_arc": 30,
    "sole.arc_length": 16.755161,  # 16 x pi / 3, same source
    "sole.segment_area": 23.190035,  # 16² (pi/3 - sin 60°) / 2, same source
    "iron.width": 16,
    "iron.edge_across": 16,
    "iron.edge_along": 20.886516,  # 16 / 0.7660444
    "iron.profile_depth": 2.798263,
    "iron.clearance": 20,
    "iron.clearance_at_edge": 17.49524,  # tan 20° cos 30°
    "iron.shaving_at_edge": 86.60254,
    "iron.advance": 0.130541,
    "throat.depth": 16,
    "throat.iron_along_sole": 4.177303,  # 3.2 / 0.7660444
    "throat.gap": 1.822697,
    "throat.spread": 0.2617494,
    "throat.top_opening": 25.631204,  # 6 + 75 x 0.2617494
    "throat.gap_after_jointing": 2.030461,  # 1.822697 + 0.79375 x 0.2617494
    "wedge.angle": 10,
    "wedge.width": 15.8,
    "wedge.sink_per_mm": 5.758770,  # 1 / 0.1736482
    "wedge.least_friction": 0.0874887,
    "section.blind_face": 26,
    "section.blind_wall": 10,
    "section.blind_relief_top": 29.618368,  # 2.143594 + 10 / 0.3639702
    "section.plate_relief_top": 18.628458,
    "section.rail_height": 19,
    "sawing.bearing_offset": 0.1,
    "sawing.bed_kerf": 0.913785,
    "sawing.front_kerf": 0.808290,
    "sawing.guide_height": 34,
    "sawing.table_bed_kerf": 3.916222,
    "sawing.packing": 12,  # one board, the rail being 6 mm
    "sawing.blade_height": 40,  # sheet 12, packing 12, throat 16
    "sanding.P100.stack": 2.412,  # pad 2, backing 0.25, median grain 162 µm: FEPA 43 / ISO 6344
    "sanding.P100.radius": 18.412,
    "stages.blank": 350,
    "stages.trimmed": 250,
    "stages.mouth_mark": 133,
}


@pytest.mark.parametrize(("key", "value"), ROUND.items())
def test_worked_out_values(key: str, value: float) -> None:
    assert dimensions(plan_of({}))[key].value == pytest.approx(value, abs=2e-6)


def test_values_of_an_inch_half_round() -> None:
    # 9.525 / sin 50°, 6.35 - 3.175 / sin 50°, 6.35 + 76.2 (cot 50° - cot 60°), 9.525 + 6.35 / tan 20°.
    found = dimensions(plan_of({**INCH_HALF_ROUND}))
    assert found["iron.edge_along"].value == pytest.approx(12.434, abs=1e-5)
    assert found["throat.gap"].value == pytest.approx(2.205332, abs=1e-6)
    assert found["throat.top_opening"].value == pytest.approx(26.29530, abs=1e-5)
    assert found["section.plate_relief_top"].value == pytest.approx(26.97148, abs=1e-5)
    assert found["iron.clearance_at_edge"].value == pytest.approx(0, abs=1e-9)


def test_a_hollow_s_block_is_smaller_than_its_sole() -> None:
    found = dimensions(plan_of({"sole.form": "hollow"}))
    assert found["sanding.P100.radius"].value == pytest.approx(16 - 2.412)
    assert found["sole.edge_height"].value == 0


def test_every_key_of_the_spec_is_there_with_its_origin() -> None:
    plan = plan_of({"throat.bed": 48})
    found = dimensions(plan)
    wanted = [key.dotted for key in keys("round") if not key.optional]
    assert wanted == list(found)[: len(wanted)]
    assert found["throat.bed"] == Dimension("deg", 48.0, True, "given in the file")
    assert found["throat.front"].value == 58.0 and not found["throat.front"].given
    assert "common practice, no source" in found["throat.front"].reason
    assert found["shop.abrasive.grits"].value == ("P100", "P120", "P220")
    assert all(one.reason for one in found.values())


def test_lengths_are_shown_in_both_units() -> None:
    radius = dimensions(plan_of(INCH_HALF_ROUND))["sole.radius"]
    assert (radius.shown("in"), radius.shown_in_other("in")) == ("3/8 in", "9.53 mm")
    assert (radius.shown("mm"), radius.shown_in_other("mm")) == ("9.53 mm", "3/8 in")
    assert Dimension("mm", 0.1, False, "").shown("in") == "0.004 in"
    assert Dimension("mm", (220.0, 200.0), False, "").shown("mm") == "220 x 200 mm"
    assert Dimension("deg", 17.5, False, "").shown("in") == "17.5°"
    assert Dimension("percent", (6.0, 12.0), False, "").shown_in_other("mm") == ""


def test_json_keeps_to_its_contract(demo: Plan) -> None:
    document = json.loads(json.dumps(look_json(demo, run_checks(demo)), allow_nan=False))
    assert (document["name"], document["unit"]) == (demo.spec.name, demo.spec.unit)
    kinds = {"mm", "deg", "percent", "number", "text", "list"}
    for key, one in document["dimensions"].items():
        assert len(kinds & one.keys()) == 1, key
        assert isinstance(one["given"], bool) and isinstance(one["reason"], str)
    for check in document["checks"]:
        assert {"id", "level", "value", "limit", "source", "why", "cure"} <= check.keys()
        assert check["level"] in ("note", "warn", "fail")
        assert isinstance(check["value"], float | int) and isinstance(check["limit"], float | int)
    assert document["dimensions"]["sole.radius"]["mm"] == demo.spec.sole.radius
    assert document["dimensions"]["shop.printer.volume"]["list"] == [220, 220, 250]


def test_json_tells_a_broken_check_from_one_that_holds() -> None:
    plan = plan_of({"throat.mouth": 4})
    found = {check["id"]: check for check in look_json(plan, run_checks(plan))["checks"]}
    assert (found["mouth.gap"]["level"], found["mouth.gap"]["holds"]) == ("fail", False)
    assert (found["wedge.holds"]["level"], found["wedge.holds"]["holds"]) == ("note", True)


def test_text_groups_dimensions_and_puts_the_worst_checks_first() -> None:
    plan = plan_of({"throat.mouth": 4, "body.spare": 10, "iron.bevel": 44})
    text = look_text(plan, run_checks(plan))
    order = ["sample: a round", "\nsole\n", "\nthroat\n", "\nshop.hand_saw\n", "Fails", "Warnings",
             "Worth knowing", "Checks that hold"]  # fmt: skip
    places = [text.index(words) for words in order]
    assert places == sorted(places)
    assert "  mouth.gap: -0.18 mm, should be at least 0.1 mm" in text
    assert 'cure   Set throat.mouth = "4.6 mm" or more' in text
    assert text.index("mouth.gap: ") < text.index("iron.clearance: ") < text.index("blank.spare: ")
    assert text == text.rstrip() and all(line == line.rstrip() for line in text.splitlines())


def test_text_is_aligned_in_columns() -> None:
    lines = look_text(plan_of(INCH_HALF_ROUND), []).splitlines()
    table = lines[lines.index("throat") + 1 :]
    table = table[: table.index("")]
    bed, mouth = (next(line for line in table if line.startswith(f"  {key} ")) for key in ("bed", "mouth"))
    assert bed.index("50°") == mouth.index("1/4 in")
    assert mouth.index("given") == bed.index("the usual pitch")
    assert "6.35 mm" in mouth
    assert max(map(len, lines)) <= 130


def test_text_counts_its_checks() -> None:
    checks = [
        at_least(name, value, warn=2.0, why="", cure="") for name, value in (("a.b", 1.0), ("a.c", 3.0))
    ]
    last = look_text(plan_of({}), checks).splitlines()[-1]
    assert last == "2 checks: 0 fail, 1 warn, 0 note, 1 hold"


@settings(max_examples=60, deadline=None)
@given(specs())
def test_any_sensible_plane_is_reported(text: str) -> None:
    plan = plan_of_text(text)
    for key, one in dimensions(plan).items():
        assert all(isinstance(item, str) or isfinite(item) for item in one.items), key
    checks = run_checks(plan)
    assert look_text(plan, checks) and json.dumps(look_json(plan, checks), allow_nan=False)
