"""The stand-in for a plan is as good as the plan, and nothing is read of it unnoted."""

from __future__ import annotations

from dataclasses import is_dataclass, replace

import pytest

from cad.checks import run_checks
from cad.geometry import Plan
from cad.outputs.reads import ABSENT, Notes, fingerprint, watched
from cad.report import look_json, look_text
from tests.sample_planes import plan_of


@pytest.fixture
def reads() -> set[str]:
    return set()


@pytest.fixture
def plain() -> Plan:
    return plan_of({"shop.hand_saw.kerf": 0.7, "shop.hand_saw.plate": 0.5})


@pytest.fixture
def plan(plain: Plan, reads: set[str]) -> Plan:
    return watched(plain, Notes(reads))


def test_checks_and_dimensions_come_out_the_same(plain: Plan, plan: Plan) -> None:
    checks = run_checks(plain)
    assert run_checks(plan) == checks
    assert look_text(plan, checks) == look_text(plain, checks)
    assert look_json(plan, checks) == look_json(plain, checks)


def test_a_value_is_noted_when_it_is_read_and_not_before(plan: Plan, reads: set[str]) -> None:
    throat, shop = plan.throat, plan.spec.shop
    assert reads == set()
    assert throat.bed_deg == 50 and shop.hand_saw.kerf == 0.7
    assert reads == {"throat/bed_deg", "spec/shop/hand_saw/kerf"}


def test_what_is_worked_out_notes_what_it_is_worked_out_from(plan: Plan, reads: set[str]) -> None:
    assert plan.section.blind_face == 26  # thickness less the plate
    assert plan.is_left is False
    assert reads == {"section/thickness", "section/plate", "spec/body/hand"}


def test_where_a_value_comes_from_is_noted_by_its_key(plan: Plan, reads: set[str]) -> None:
    assert plan.spec.origins["sole.radius"].given
    assert reads == {"spec/origins/sole.radius"}
    assert "sole.width" in plan.spec.origins
    assert len(plan.spec.origins) == len(list(plan.spec.origins))
    assert "spec/origins" in reads


def test_a_table_taken_as_a_whole_is_noted_as_a_whole(plain: Plan, plan: Plan, reads: set[str]) -> None:
    saw = plan.spec.shop.hand_saw
    assert saw == plain.spec.shop.hand_saw and plain.spec.shop.hand_saw == saw
    assert hash(saw) == hash(plain.spec.shop.hand_saw)
    assert repr(saw) == repr(plain.spec.shop.hand_saw)
    assert isinstance(saw, type(plain.spec.shop.hand_saw))
    assert "spec/shop/hand_saw" in reads
    reads.clear()
    assert list(saw) == list(plain.spec.shop.hand_saw)
    assert reads == {f"spec/shop/hand_saw/{name}" for name in ("plate", "kerf", "depth_under_back")}


def test_a_value_taken_as_a_whole_notes_all_it_is_made_of(plain: Plan, plan: Plan, reads: set[str]) -> None:
    assert plan.throat == plain.throat and hash(plan.throat) == hash(plain.throat)
    assert reads >= {
        f"throat/{name}" for name in ("mouth_at", "mouth", "bed_deg", "front_deg", "depth", "iron")
    }
    assert isinstance(plan, Plan) and is_dataclass(plan)
    reads.clear()
    assert vars(plan.wedge) and "wedge" in reads


def test_a_copy_notes_what_is_read_of_the_plan_and_not_what_was_put_in_its_place(
    plan: Plan, reads: set[str]
) -> None:
    spec = plan.spec.model_copy(update={"name": "another"})
    deeper = replace(plan.throat, depth=99.0)
    reads.clear()
    assert spec.name == "another" and deeper.depth == 99
    assert reads == set()
    assert spec.body.length == plan.spec.body.length
    assert reads == {"spec/body/length"}


def test_notes_can_be_taken_elsewhere_from_now_on(plain: Plan) -> None:
    first: set[str] = set()
    second: set[str] = set()
    notes = Notes(first)
    plan = watched(plain, notes)
    assert plan.throat.bed_deg
    notes.to = Notes(second)
    # Read before, but whoever reads it now depends on it as well.
    assert plan.throat.bed_deg and plan.throat.mouth
    assert first == {"throat/bed_deg"} and second == {"throat/bed_deg", "throat/mouth"}


def test_a_fingerprint_follows_the_value_alone(plain: Plan) -> None:
    other = plan_of({"shop.hand_saw.kerf": 0.8, "shop.hand_saw.plate": 0.5})
    paths = ("spec/shop/hand_saw/kerf", "spec/shop/hand_saw/plate", "sole/path", "spec/origins/sole.width")
    assert [path for path in paths if fingerprint(plain, path) != fingerprint(other, path)] == list(paths[:1])
    assert fingerprint(plain, "spec/sole/no_such_key") == ABSENT
    assert fingerprint(plain, "spec/origins/no.such.key") == ABSENT


def test_no_value_is_known_by_its_place_in_memory(plain: Plan) -> None:
    """A fingerprint is of what a value shows of itself: that must be all of it, and the same in every run."""
    assert " at 0x" not in repr(plain)
