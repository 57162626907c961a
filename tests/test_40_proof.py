"""The proof itself: it must pass what fits and fail what does not."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cadquery import Location, Solid

from cad.geometry import Plan
from cad.kernel.measure import extent
from fixtures.bench.model import Fixture
from fixtures.bench.proof import prove
from fixtures.bench.workshop import build_fixture, fixture_names
from tests.planes import plan_of, spec_text


def guide(plan: Plan) -> Fixture:
    fixture = build_fixture("saw_guide", plan, lettered=False)
    assert isinstance(fixture, Fixture)
    return fixture


def moved(fixture: Fixture, x: float = 0, y: float = 0, z: float = 0) -> Fixture:
    """Return the fixture with its one piece shoved aside, as a maker might seat it wrongly."""
    (piece,) = fixture.pieces
    return replace(fixture, pieces=(replace(piece, solid=piece.solid.moved(Location((x, y, z)))),))


def test_fixtures_are_found_by_their_files() -> None:
    assert {"saw_guide", "sled", "sanding_blocks"} <= set(fixture_names())


def test_every_fixture_of_the_demos_is_proved(demo: Plan) -> None:
    for name in fixture_names():
        fixture = build_fixture(name, demo, lettered=False)
        assert isinstance(fixture, Fixture), fixture
        proof = prove(fixture, demo)
        assert proof.passes, proof.failures
        assert proof.shared_mm3 < 1e-3 and proof.tool_hits_mm3 < 1e-3
        assert proof.contacts or proof.clearances or proof.readings
        # Nothing runs closer than the printer's clearance, measured on the solids: the spec says what it is.
        free = demo.spec.shop.printer.clearance
        assert all(figure.mm >= free - 1e-6 for figure in proof.clearances), name


def test_a_guide_pressed_into_the_wood_is_caught(demo: Plan) -> None:
    into = 0.1 * (-1 if demo.is_left else 1)
    proof = prove(moved(guide(demo), y=into), demo)
    assert proof.shared_mm3 > 1
    assert not proof.passes


def test_a_guide_off_its_marks_is_caught(demo: Plan) -> None:
    proof = prove(moved(guide(demo), x=0.05), demo)
    assert not proof.passes
    bed = next(cut for cut in proof.cuts if cut.face == "bed")
    assert 0.02 < bed.offset_mm < 0.05
    assert bed.wood_mm3 > 1, "a guide moved to the heel takes the kerf into the bed"


def test_a_guide_lifted_off_the_top_is_caught(demo: Plan) -> None:
    proof = prove(moved(guide(demo), z=0.05), demo)
    assert any("hook" in failure for failure in proof.failures)


def test_a_saw_that_is_too_deep_is_caught(demo: Plan) -> None:
    fixture = guide(demo)
    (set_up,) = fixture.set_ups
    deeper = tuple(replace(saw, depth_under_back=saw.depth_under_back + 1) for saw in set_up.cuts)
    proof = prove(replace(fixture, set_ups=(replace(set_up, cuts=deeper),)), demo)
    assert any("depth" in failure for failure in proof.failures)
    assert all(cut.depth_error_mm == pytest.approx(-1, abs=1e-6) for cut in proof.cuts)


def test_a_thicker_kerf_is_caught(demo: Plan) -> None:
    fixture = guide(demo)
    (set_up,) = fixture.set_ups
    coarse = tuple(replace(saw, kerf=saw.kerf + 0.2) for saw in set_up.cuts)
    proof = prove(replace(fixture, set_ups=(replace(set_up, cuts=coarse),)), demo)
    assert proof.tool_hits_mm3 > 1, "wider teeth cut into the finished face and scrape the lip"


def test_removing_the_clearance_is_caught(demo: Plan) -> None:
    tight = demo.spec.shop.printer.model_copy(update={"clearance": 0.0})
    shop = demo.spec.shop.model_copy(update={"printer": tight})
    snug = replace(demo, spec=demo.spec.model_copy(update={"shop": shop}))
    fixture, meant = guide(snug), guide(demo)
    (one,), (two,) = fixture.set_ups, meant.set_ups
    wanted = tuple(replace(a, least=b.least) for a, b in zip(one.clearances, two.clearances, strict=True))
    proof = prove(replace(fixture, set_ups=(replace(one, clearances=wanted),)), demo)
    assert any("clears by" in failure for failure in proof.failures)


@pytest.mark.parametrize("form", ["round", "hollow"])
@pytest.mark.parametrize(("radius", "arc", "bed"), [(3, 60, 45), (8, 180, 60), (25, 90, 55), (40, 180, 50)])
def test_guides_over_the_range(form: str, radius: float, arc: float, bed: float) -> None:
    plan = plan_of(spec_text(form, radius, arc, bed, "left"))
    proof = prove(guide(plan), plan)
    assert proof.passes, proof.failures
    assert {cut.face for cut in proof.cuts} == {"bed", "front"}


def test_a_shallow_saw_is_declined_with_the_one_that_would_do() -> None:
    plan = plan_of(spec_text("round", 16, 60, 50, "right") + "[shop.hand_saw]\ndepth_under_back = 25\n")
    declined = build_fixture("saw_guide", plan)
    assert "deep" in declined.reason  # type: ignore[union-attr]


def test_the_guide_holds_the_saw_over_the_whole_height(demo: Plan) -> None:
    solid: Solid = guide(demo).pieces[0].solid
    low, high = extent(solid)
    assert low[2] < 0 and high[2] > demo.section.height
