"""The plan corrected at the bench: measured values in place of planned ones, and what can no longer work."""

from __future__ import annotations

from math import cos, radians, sin, sqrt

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from cad.checks import run_checks
from cad.formulas.circle import sagitta_mm
from cad.geometry import derive
from cad.geometry.bench import differences, planned_only, sole_fit, together
from cad.geometry.seating import Flank, GroundEdge
from cad.report import look_json, look_text
from cad.spec.bench import as_built
from tests.benches import check, cut, effects, fault
from tests.sample_planes import plan_of, spec_of


def test_nothing_measured_changes_nothing() -> None:
    spec = spec_of({})
    assert as_built(spec) is spec
    plan = derive(spec)
    assert plan.spec is plan.planned and not plan.made
    assert "bench" not in look_json(plan, [])
    assert "At the bench" not in look_text(plan, [])


def test_measured_values_take_the_place_of_planned_ones() -> None:
    found = {"bed": 50.4, "front": 59.1, "mouth": 6.1, "iron_thickness": 3.3}
    plan = cut(found)
    assert (plan.throat.bed_deg, plan.throat.front_deg) == (50.4, 59.1)
    assert (plan.throat.mouth, plan.iron.thickness) == (6.1, 3.3)
    assert plan.wedge.angle_deg == pytest.approx(8.7)
    assert plan.throat.gap == pytest.approx(6.1 - 3.3 / sin(radians(50.4)))
    assert plan.planned.throat.bed == 50
    assert plan.spec.origins["throat.bed"].reason == "measured at the bench"
    assert plan.spec.measured.found == {} and as_built(plan.spec) is plan.spec


def test_what_is_sawn_keeps_the_plan_and_what_is_left_follows_the_rules_again() -> None:
    """Without the front measured the rule would put it 10° over the bed; but it is sawn, to the plan."""
    assert cut({"bed": 51.0}).throat.front_deg == 60
    assert cut({"bed": 51.0}).spec.throat.mouth_at == plan_of({}).throat.mouth_at
    # An iron alone sets nothing in wood: the mouth is still to be sawn, and the rule makes it longer.
    thick = cut({"iron_thickness": 5.0})
    assert thick.made == {"iron's blank"}
    assert thick.throat.mouth > plan_of({}).throat.mouth
    assert cut({"iron_thickness": 5.0}, throat__mouth=7).throat.mouth == 7
    # The wedge's tip goes up where the mouth came out tight, unless the file or the wedge itself holds it.
    tight = {"mouth": 4.6, "front": 52.0, "bed": 50.0}
    assert cut(tight).wedge.tip_height > plan_of({}).wedge.tip_height
    assert cut(tight, wedge__tip_height=24).wedge.tip_height == 24


def test_what_counts_as_made() -> None:
    assert cut({"body_thickness": 31.5}).made == {"blank"}
    assert cut({"sole_chord": 12, "sole_sagitta": 1.2}).made == {"blank", "sole"}
    assert cut({"mouth": 6.1}).made == {"blank", "sole", "throat"}
    assert cut({"wedge_sink": 1}).made == {"blank", "sole", "throat", "wedge"}
    assert cut({"saw_kerf": 0.8}).made == frozenset()
    assert cut({"cheek_thickness": 5.8}).made == {"cheek plate"}


def test_sole_by_chord_and_sagitta() -> None:
    """Machinery's Handbook, 31st ed., segments of circles: r = (c² + 4h²) / 8h; for c = 12, h = 1.2, 15.6."""
    plan = cut({"sole_chord": 12, "sole_sagitta": 1.2})
    assert plan.sole.radius == pytest.approx((144 + 4 * 1.44) / 9.6) == pytest.approx(15.6)
    assert plan.sole.width == 16  # the throat's depth and the edge lines are in the wood
    assert plan.sole.highest == pytest.approx(15.6 - sqrt(15.6**2 - 64))
    assert plan.spec.sole.tolerance == plan_of({}).spec.sole.tolerance
    assert plan.iron.profile_depth() == pytest.approx(plan.sole.highest / sin(radians(50)))
    given_width = cut({"sole_chord": 12, "sole_sagitta": 1.2}, sole__width=15)
    assert (given_width.sole.width, given_width.sole.radius) == (15, pytest.approx(15.6))


def test_a_half_round_found_smaller_is_as_wide_as_its_circle() -> None:
    sagitta = sagitta_mm(15.9, 20)
    plan = cut({"sole_chord": 20, "sole_sagitta": sagitta}, sole__arc=180)
    assert plan.sole.width == pytest.approx(31.8)


@settings(deadline=None, max_examples=30)
@given(st.floats(6, 40), st.sampled_from(["round", "hollow"]), st.floats(-3, 3), st.floats(0.97, 1.03))
def test_sole_by_depth_gauge(radius: float, form: str, bar: float, off: float) -> None:
    """Readings off an arc drawn here give its radius back, whatever the bar's height and the way it bends."""
    found, width = radius * off, radius
    across = [width * share for share in (0.05, 0.25, 0.5, 0.7, 0.95)]
    way = 1 if form == "round" else -1
    readings = [bar + way * (found - sqrt(found**2 - (y - width / 2) ** 2)) for y in across]
    plan = cut(
        {"sole_across": across, "sole_readings": readings}, sole__form=form, sole__radius=f"{radius} mm"
    )
    assert plan.sole.radius == pytest.approx(found, rel=1e-6)
    fit = sole_fit(plan)
    assert fit is not None and fit.radius_95 is not None
    assert fit.off_centre == pytest.approx(0, abs=1e-5)
    assert fit.radius_95 == pytest.approx(0, abs=1e-4 * radius)


def test_a_fit_with_scatter_says_how_far_it_may_be_trusted() -> None:
    found = {"sole_across": [1, 4, 8, 12, 15], "sole_readings": [8.7, 7.5, 6.95, 7.5, 8.75]}
    plan = cut(found)
    assert check(plan, "bench.readings").level == "note" and not check(plan, "bench.readings").holds
    assert check(plan, "bench.sole").level == "warn"
    assert "along its middle" in check(plan, "bench.sole").cure
    text = look_text(plan, [])
    assert "circle through 5 readings: radius 14.673 mm ± 0.420 mm" in text
    three = look_text(cut({"sole_across": [1, 8, 15], "sole_readings": [8.6, 7, 8.6]}), [])
    assert "three readings fit any circle" in three


@pytest.mark.parametrize(("form", "way"), [("round", 1), ("hollow", -1)])
@pytest.mark.parametrize(("found", "crown"), [(15.0, True), (17.0, False)])
def test_how_much_comes_off_a_sole_that_is_off(form: str, way: int, found: float, crown: bool) -> None:
    """A round too tight stands proud in its middle, a hollow too tight at its edges."""
    plan = cut({"sole_chord": 12, "sole_sagitta": sagitta_mm(found, 12)}, sole__form=form)
    off = abs(sagitta_mm(found, 16) - sagitta_mm(16, 16))
    cure = check(plan, "bench.sole").cure
    assert f"{off:.2f} mm" in cure
    assert ("along its middle" in cure) == (crown == (way > 0))


def test_body_and_plate() -> None:
    plan = cut({"body_thickness": 31.4, "cheek_thickness": 5.7})
    assert (plan.section.thickness, plan.section.plate) == (31.4, 5.7)  # the rabbet is cut to the plate
    late = {"mouth": 6.0, "cheek_thickness": 5.7}
    assert (cut(late).section.plate, cut(late).section.thickness) == pytest.approx((5.7, 31.7))
    assert cut(late).section.blind_wall == pytest.approx(plan_of({}).section.blind_wall)
    assert "plane the rail down by 0.3 mm" in look_text(cut(late), [])
    thick = {"mouth": 6.0, "cheek_thickness": 6.3}
    assert (cut(thick).section.plate, cut(thick).section.thickness) == (6, 32)
    assert "plane the plate down by 0.3 mm" in look_text(cut(thick), [])


def test_saw_changes_the_guide_alone() -> None:
    """The side of a kerf stands (kerf − plate) / 2 outside the plate."""
    saw = {"shop__hand_saw__plate": 0.5, "shop__hand_saw__kerf": 0.7}
    plan = cut({"saw_plate": 0.6, "saw_kerf": 0.9}, **saw)
    assert (plan.spec.shop.hand_saw.plate, plan.spec.shop.hand_saw.kerf) == (0.6, 0.9)
    assert [effects(one.effects).get("saw.guide") for one in differences(plan)] == pytest.approx([0.05, 0.2])
    assert effects(together(plan)) == {
        "saw.guide": pytest.approx(0.15),
        "saw.along": pytest.approx(1.17487, abs=1e-5),
    }


def test_iron_narrower_and_wider_than_the_throat() -> None:
    narrow = cut({"iron_width": 15.7})
    assert narrow.iron.width == 15.7
    assert narrow.iron.edge()[-1].end == pytest.approx((15.7, narrow.sole.height(15.7) / sin(radians(50))))
    assert effects(together(narrow)) == {"iron.play": pytest.approx(0.3)}
    assert check(narrow, "bench.iron_play").holds
    assert check(cut({"iron_width": 14.8}), "bench.iron_play").level == "warn"
    wide = cut({"iron_width": 16.25})
    assert wide.iron.width == 16
    assert check(wide, "bench.iron_width").level == "fail"
    assert "Grind 0.25 mm off its sides" in check(wide, "bench.iron_width").cure


def test_wedge_that_sits_deeper_or_higher() -> None:
    deep = cut({"wedge_sink": 2})
    assert deep.wedge.tip_height == pytest.approx(16 - 2 * sin(radians(50)))
    assert deep.wedge.head_height == pytest.approx(36)
    assert deep.wedge.tip_u == pytest.approx(plan_of({}).wedge.tip_u - 2)
    assert deep.wedge.strike_u == pytest.approx(plan_of({}).wedge.strike_u - 2)
    high = cut({"wedge_sink": "-2 mm"})
    # 2 mm at 10°: 2 · sin 10° = 0.347 mm.
    assert "Plane 0.347 mm off one face" in look_text(high, [])
    one = fault({"wedge_sink": 20})
    assert one.key == "measured.wedge_sink" and "tip is in the sole" in one.problem
    assert "Glue a slip 3.47 mm thick" in one.cure


def test_a_wedge_to_the_plan_in_a_throat_cut_otherwise() -> None:
    """A shaving off one face sinks it 1 / sin 10°: so does a front face further off by as much."""
    (wider,) = differences(cut({"mouth": 6.2}))
    assert effects(wider.effects)["wedge.sink"] == pytest.approx(
        0.2 * sin(radians(60)) / sin(radians(10)), abs=1e-9
    )
    assert "wedge.stand_off" not in effects(wider.effects)  # the angles are as planned: it bears all over


@settings(deadline=None, max_examples=60)
@given(
    st.floats(-1.5, 1.5), st.floats(-1.5, 1.5), st.floats(-0.5, 0.5), st.floats(-0.3, 0.3), st.floats(7, 13)
)
def test_seat_of_a_wedge_against_a_search(
    bed: float, front: float, mouth: float, iron: float, wedge: float
) -> None:
    """Slide the wedge's flank down the bed in steps, as points in the x–z plane, until it meets the front."""
    plan = plan_of({"throat.front": 50 + wedge})
    assume(abs(front - bed) > 1e-3)
    there = plan_of(
        {
            "throat.bed": 50 + bed,
            "throat.front": 50 + wedge + front,
            "throat.mouth": 6 + mouth,
            "iron.thickness": 3.2 + iron,
            "wedge.tip_height": 16,
        }
    )
    flank = [plan.wedge.tip_shoulder, plan.wedge.neck]
    beta = radians(50 + bed)
    foot = there.throat.mouth_at + there.throat.gap

    def light(u: float, n: float) -> float:
        """Distance of a point beside the iron from the front face, positive inside the throat."""
        x, z = foot + u * cos(beta) - n * sin(beta), u * sin(beta) + n * cos(beta)
        phi = radians(there.throat.front_deg)
        return (x - there.throat.mouth_at) * sin(phi) - z * cos(phi)

    def corner(sunk: float) -> float:
        """Distance of the front face's upper corner from the flank's line, positive while they are apart."""
        z, x = there.section.height, there.throat.front_x(there.section.height)
        u = (x - foot) * cos(beta) + z * sin(beta)
        n = -(x - foot) * sin(beta) + z * cos(beta)
        taper = radians(plan.wedge.angle_deg)
        u0, n0 = flank[0][0] - sunk, flank[0][1]
        return (n - n0) * cos(taper) - (u - u0) * sin(taper)

    low, high = -60.0, 60.0
    for _ in range(80):
        middle = (low + high) / 2
        free = light(flank[0][0] - middle, flank[0][1]) > 0 and corner(middle) > 0
        low, high = (middle, high) if free else (low, middle)
    seat = Flank(plan.wedge).seat(there.wedge)
    assert seat.sink == pytest.approx(low, abs=1e-6)
    tip, head = light(flank[0][0] - low, flank[0][1]), corner(low)
    assert seat.stand_off == pytest.approx(head - tip, abs=1e-6)
    assert min(tip, head) == pytest.approx(0, abs=1e-6)


def test_edge_over_the_sole_from_another_bed() -> None:
    """Seen along x an edge ground for 50° and laid at 51° is stretched by sin 51° / sin 50°."""
    plan = plan_of({})
    ends = GroundEdge(plan.sole, 50).off_sole(51)
    rise = plan.sole.highest * (sin(radians(51)) / sin(radians(50)) - 1)
    assert ends == pytest.approx((rise * cos(radians(30)),) * 2)
    # Moved aside, an arc stands off by the move times the sine of its turn.
    assert GroundEdge(plan.sole, 50).off_sole(50, 0.2) == pytest.approx((0.1, -0.1))
    tight = plan_of({"sole.radius": 15, "sole.width": 16})
    off = (plan.sole.highest - tight.sole.highest) * cos(radians(tight.sole.turned_deg(0)))
    assert GroundEdge(plan.sole, 50, tight.sole).off_sole(50) == pytest.approx((off, off))


def test_differences_are_each_alone_and_then_together() -> None:
    plan = cut({"bed": 50.4, "front": 59.1, "iron_thickness": 3.3})
    bed, front, iron = differences(plan)
    assert (bed.of, bed.planned, bed.measured) == ("throat.bed", 50, 50.4)
    assert effects(bed.effects)["wedge.angle"] == pytest.approx(9.6)
    assert effects(front.effects)["wedge.angle"] == pytest.approx(9.1)
    assert effects(iron.effects)["mouth.gap"] == pytest.approx(6 - 3.3 / sin(radians(50)))
    assert effects(together(plan))["wedge.angle"] == pytest.approx(8.7)
    assert planned_only(plan).throat.bed_deg == 50
    document = look_json(plan, run_checks(plan))["bench"]
    assert document["made"] == ["blank", "sole", "throat", "iron's blank"]
    assert document["to_make"] == ["cheek plate", "wedge", "iron's edge"]
    assert [one["of"] for one in document["differences"]] == ["throat.bed", "throat.front", "iron.thickness"]
    text = look_text(plan, [])
    assert "throat.bed: 50° planned, 50.4° found (+0.4°)" in text
    assert "a wedge made to the plan sits 3.32 mm higher" in text
    assert "off the front face at its tip" in text


def test_what_would_not_work_alone_is_told_all_the_same() -> None:
    """Bed and front came out steeper by alike: with the front as planned, the bed alone leaves no wedge."""
    plan = cut({"bed": 60, "front": 69.5})
    bed, front = differences(plan)
    assert effects(bed.effects)["wedge.angle"] == 0
    assert effects(front.effects)["wedge.angle"] == pytest.approx(19.5)
    assert effects(together(plan))["wedge.angle"] == pytest.approx(9.5)
    assert "throat.bed: 50° planned, 60° found (+10°)" in look_text(plan, run_checks(plan))
    far = cut({"bed": 66, "front": 75.5}, throat__front=58)
    assert effects(differences(far)[0].effects)["wedge.angle"] == pytest.approx(-8)


def test_a_sole_that_is_sprung_keeps_its_lean_when_only_its_throat_was_measured() -> None:
    plan = cut({"mouth": 6.2, "cheek_thickness": 6.0}, sole__spring=15)
    assert effects(together(plan)).keys() == {"mouth.gap", "wedge.sink"}
    assert [effects(one.effects).keys() for one in differences(plan)] == [{"mouth.gap", "wedge.sink"}, set()]


def test_readings_across_a_sprung_sole_find_its_centre_in_its_place() -> None:
    """The arc of a sprung sole is the same circle, its centre turned about."""
    plain = plan_of({"sole.spring": 12})
    across = [plain.sole.width * share for share in (0.02, 0.3, 0.5, 0.8, 0.98)]
    readings = [plain.sole.height(y) + 5 for y in across]
    plan = cut({"sole_across": across, "sole_readings": readings}, sole__spring=12)
    fit = sole_fit(plan)
    assert fit is not None
    assert (fit.radius, fit.off_centre) == pytest.approx((16, 0), abs=1e-6)
    assert plan.sole.path.end == pytest.approx(plain.sole.path.end, abs=1e-6)
    assert effects(together(plan)) == {}
