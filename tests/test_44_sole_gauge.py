"""The sole gauges: their arcs as read back from STEP, how they rest on the sole, and the drills for them."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin, sqrt
from pathlib import Path as FilePath

import cadquery as cq
import pytest
import trimesh
from cadquery import Location, Solid
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon
from shapely.geometry import Point

from cad.formulas.drills import drills, nearest_drill
from cad.geometry import Plan
from cad.geometry.gauge import ArcGauge, single_arc
from cad.kernel.curved import Cylinder, surface_of
from cad.kernel.mesh import tessellate
from cad.report import dimensions
from cad.spec import starter
from fixtures.bench.model import Fixture
from fixtures.bench.proof import Proof, prove
from fixtures.bench.workshop import build_fixture
from tests.planes import plan_of, spec_text

NAMES = ("sole_gauge", "sole_gauge_go", "sole_gauge_no_go", "sole_gauge_wooden")


def plan_for(form: str, radius: float, arc: float, hand: str = "right", more: str = "") -> Plan:
    text = spec_text(form, radius, arc, 50, hand)
    return plan_of(text.replace("[body]", f"{more}\n[body]"))


def gauges(plan: Plan, lettered: bool = False) -> Fixture:
    fixture = build_fixture("sole_gauge", plan, lettered)
    assert isinstance(fixture, Fixture), fixture
    return fixture


def lights(proof: Proof) -> dict[tuple[str, str], float]:
    """Return the readings by the gauge and what was read."""
    return {
        (one.set_up.removesuffix(" across the sole"), one.reading.name): one.reading.value
        for one in proof.readings
    }


def radii_read_back(solid: Solid, to: FilePath) -> list[tuple[float, bool]]:
    cq.exporters.export(cq.Workplane(obj=solid), str(to))
    (read,) = cq.importers.importStep(str(to)).solids().vals()
    assert read.isValid()
    round_faces = [face for face in read.Faces() if face.geomType() == "CYLINDER"]
    found = [surface_of(face, "gauge") for face in round_faces]
    return [(one.radius, one.hollow) for one in found if isinstance(one, Cylinder)]


@pytest.mark.parametrize(("form", "sign"), [("round", 1), ("hollow", -1)])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_radii_as_read_back_from_step(form: str, sign: int, hand: str, tmp_path: FilePath) -> None:
    fixture = gauges(plan_for(form, 16, 60, hand, "tolerance = 0.25"))
    assert [piece.name for piece in fixture.pieces] == list(NAMES)
    wanted = (16, 16 + sign * 0.25, 16 - sign * 0.25, 16)  # 32 mm is a standard size
    for piece, radius in zip(fixture.pieces, wanted, strict=True):
        assert radii_read_back(piece.solid, tmp_path / "gauge.step") == [
            (pytest.approx(radius, abs=1e-9), form == "round")
        ]


def test_the_light_of_the_pair_by_hand() -> None:
    """Heights of segments over a chord of 16: r − √(r² − 64), Machinery's Handbook, 31st ed."""
    proof = prove(gauges(plan_for("round", 16, 60, more="tolerance = 1")), plan_for("round", 16, 60))
    found = lights(proof)
    height = {r: r - sqrt(r * r - 64) for r in (15, 16, 17)}
    assert height[16] == pytest.approx(2.143594, abs=1e-6)
    assert found["sole gauge no go", "light at the crown"] == pytest.approx(height[15] - height[16], abs=1e-9)
    # At the edge of the sole the go gauge stands this much below it, seen square to the sole's circle.
    below = height[16] - height[17]
    square = sqrt(8**2 + (sqrt(16**2 - 64) + below) ** 2) - 16
    assert found["sole gauge go", "light at the plate edge"] == pytest.approx(square, abs=1e-9)
    assert found["sole gauge go", "light at the crown"] == pytest.approx(0, abs=1e-9)
    assert found["sole gauge no go", "light at the blind edge"] == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(("form", "arc"), [("round", 60), ("round", 150), ("hollow", 60), ("hollow", 180)])
def test_the_light_as_another_library_sees_it(form: str, arc: float) -> None:
    """The gap between slices of the meshes, by shapely, against what the kernel read."""
    plan = plan_for(form, 16, arc, more="tolerance = 0.5")
    arc_of_sole = single_arc(plan.sole)
    assert arc_of_sole is not None
    body = Polygon(plan.section.shaped().points(1e-4))
    fixture, found = gauges(plan), lights(prove(gauges(plan), plan))
    for piece, name in zip(fixture.pieces[1:3], ("sole gauge go", "sole gauge no go"), strict=True):
        made = tessellate(piece.solid, 0.0005)
        mesh = trimesh.Trimesh(made.points, made.triangles)
        assert mesh.is_watertight
        face = mesh.bounds[1][0]
        lines = trimesh.intersections.mesh_plane(mesh, (1, 0, 0), (face - 0.3, 0, 0))
        points = [tuple(p[1:]) for pair in lines for p in pair]
        gauge = Polygon(ArcGauge(plan.sole, arc_of_sole, radius_of(piece.solid)).outline().points(1e-4))
        assert max(gauge.boundary.distance(Point(p)) for p in points) < 2e-3, "the mesh is the outline"
        assert gauge.intersection(body).area < 0.02
        touching = "crown" if name.endswith("gauge go") else "blind edge"
        assert found[name, f"light at the {touching}"] < 1e-6
        assert gauge.distance(body) < 1e-3


def radius_of(solid: Solid) -> float:
    (radius,) = (
        s.radius
        for s in (surface_of(f, "x") for f in solid.Faces() if f.geomType() == "CYLINDER")
        if isinstance(s, Cylinder)
    )
    return radius


def test_a_pair_tells_a_true_sole_from_a_false_one() -> None:
    """A sole within its tolerance shows what the notes say; one outside it fails one of the two gauges."""
    fixture = gauges(plan_for("round", 16, 60))  # 0.32 mm either way
    for radius, fails in ((16.2, set()), (15.8, set()), (16.5, {"go"}), (15.5, {"no_go"})):
        other = plan_for("round", radius, 60, more="").sole
        arc = single_arc(other)
        assert arc is not None
        rests = {"go": ArcGauge(other, arc, 16.32), "no_go": ArcGauge(other, arc, 15.68)}
        wrong = {"go"} if rests["go"].bears_on_edges else set()
        wrong |= {"no_go"} if not rests["no_go"].bears_on_edges else set()
        assert wrong == fails
    assert any("must touch the crown" in note for note in fixture.notes)


@settings(max_examples=10, deadline=None)
@given(
    form=st.sampled_from(["round", "hollow"]),
    radius=st.integers(6, 80).map(lambda n: n / 2),
    arc=st.integers(45, 180),
    hand=st.sampled_from(["right", "left"]),
)
def test_gauges_are_proved_over_the_range(form: str, radius: float, arc: float, hand: str) -> None:
    plan = plan_for(form, radius, arc, hand)
    proof = prove(gauges(plan), plan)
    assert proof.passes, proof.failures
    assert len(proof.readings) >= 10


@pytest.mark.parametrize("form", ["round", "hollow"])
@pytest.mark.parametrize(("radius", "arc"), [(3, 45), (3, 180), (40, 45), (40, 180)])
def test_gauges_are_proved_at_the_ends_of_the_range(form: str, radius: float, arc: float) -> None:
    plan = plan_for(form, radius, arc, "left")
    proof = prove(gauges(plan), plan)
    assert proof.passes, proof.failures


@pytest.mark.parametrize("shove", [(0, 0, -0.05), (0, 0, 0.05), (0, 0.1, 0)])
def test_a_gauge_off_its_seat_is_caught(demo: Plan, shove: tuple[float, float, float]) -> None:
    fixture = gauges(demo)
    moved = tuple(replace(p, solid=p.solid.moved(Location(shove))) for p in fixture.pieces)
    assert not prove(replace(fixture, pieces=moved), demo).passes


def test_a_gauge_of_another_radius_is_caught() -> None:
    plan, other = plan_for("round", 16, 60), plan_for("round", 16.5, 60)
    proof = prove(replace(gauges(plan), pieces=gauges(other).pieces), plan)
    assert any("sole from the gauge" in failure for failure in proof.failures)


def test_the_land_is_narrow_and_the_bevel_prints(demo: Plan) -> None:
    nozzle = demo.spec.shop.printer.nozzle
    for piece in gauges(demo).pieces[:3]:
        low, high = piece.solid.BoundingBox().xmin, piece.solid.BoundingBox().xmax
        (land,) = (face for face in piece.solid.Faces() if face.geomType() == "CYLINDER")
        box = land.BoundingBox()
        assert box.xmax == pytest.approx(high, abs=1e-3)
        assert 0.8 <= box.xmax - box.xmin <= 1.3 and box.xmax - box.xmin >= 2 * nozzle
        assert piece.bed_face.point[0] == pytest.approx(low, abs=1e-6), "bevel down, land up"
        for face in piece.solid.Faces():
            if abs(face.Center().x - low) > 1e-6:
                # x is up on the bed: 45° from plumb is the most that prints (common practice, no source).
                assert face.normalAt().x >= -sin(radians(45)) - 1e-6


def test_labels_say_which_is_which(demo: Plan) -> None:
    plain, lettered = gauges(demo), gauges(demo, lettered=True)
    words = {piece.name: [label.text for label in piece.labels] for piece in lettered.pieces}
    assert words["sole_gauge_go"][0] == "GO" and words["sole_gauge_no_go"][0] == "NO GO"
    tolerance = f"{demo.spec.sole.tolerance:g}"
    assert words["sole_gauge_go"][1].endswith(tolerance) and words["sole_gauge_no_go"][1].endswith(tolerance)
    for before, after in zip(plain.pieces[:3], lettered.pieces[:3], strict=True):
        assert before.solid.Volume() - after.solid.Volume() > 20
        assert after.solid.isValid()


def test_drills_leave_little_over_their_range() -> None:
    sizes = [drill.mm for drill in drills()]
    assert sizes == sorted(sizes)
    assert len(set(sizes)) == len(sizes)
    for tenth in range(20, 800):
        drill = nearest_drill(tenth / 10)
        assert drill is not None
        assert abs(drill.mm - tenth / 10) <= (0.25 if tenth < 130 else 0.5) + 1e-9
    assert nearest_drill(90) is None


def test_what_a_bored_hole_leaves_is_said_and_measured() -> None:
    plan = plan_for("round", 15.2, 60)  # 30.4 mm: between 1 3/16 in (30.1625) and 30 mm below, 31 mm above
    fixture = gauges(plan)
    assert radius_of(fixture.pieces[3].solid) == pytest.approx(30.1625 / 2, abs=1e-9)
    half, r, bored = 7.6, 15.2, 30.1625 / 2
    crown = (bored - sqrt(bored**2 - half**2)) - (r - sqrt(r**2 - half**2))
    assert lights(prove(fixture, plan))["sole gauge wooden", "light at the crown"] == pytest.approx(
        crown, abs=1e-9
    )
    said = " ".join(fixture.notes)
    assert (
        "1 3/16 in" in said and "0.119 mm under" in said and f"{crown:.3f} mm of light at the crown" in said
    )


def test_a_sole_wider_than_any_bit_gets_no_bored_block_and_says_so() -> None:
    fixture = gauges(plan_for("round", 45, 60))
    assert [piece.name for piece in fixture.pieces] == list(NAMES[:3])
    assert any("No wooden gauge" in note for note in fixture.notes)


def test_tolerance_by_default_and_given() -> None:
    """A fiftieth of the radius, at least 0.1 mm: common practice, no source."""
    for radius, tolerance in ((3, 0.1), (5, 0.1), (10, 0.2), (16, 0.32), (40, 0.8)):
        assert plan_for("round", radius, 60).spec.sole.tolerance == pytest.approx(tolerance)
    plan = plan_for("hollow", 16, 60, more='tolerance = "1/64 in"')
    assert plan.spec.sole.tolerance == pytest.approx(0.396875)
    assert plan.spec.origins["sole.tolerance"].given


def test_tolerance_is_in_the_starter_and_in_look() -> None:
    assert "# tolerance = 0.32" in starter("round", 16, "mm")
    shown = dimensions(plan_for("round", 16, 60))["sole.tolerance"]
    assert shown.value == pytest.approx(0.32) and not shown.given
    assert "fiftieth" in shown.reason


def test_the_hollow_gauge_never_turns_steeper_than_the_relief() -> None:
    plan = plan_for("round", 16, 139)
    arc = single_arc(plan.sole)
    assert arc is not None
    own = ArcGauge(plan.sole, arc, 16).own_arc
    assert own.end[0] - plan.sole.width / 2 <= 16 * cos(radians(20)) + 1e-9
