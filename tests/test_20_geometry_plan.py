"""The plan of a plane against the values of its drawing and an independent reckoning in space."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import sympy
from scipy import special

from cad.geometry import Plan
from cad.geometry.stages import Stage
from tests.sample_planes import plan_of

HALF_ROUND = {
    "sole.radius": 9.525, "sole.arc": 180, "body.thickness": 31.75, "cheek.thickness": 6.35,
    "body.height": 76.2, "throat.mouth": 6.35, "iron.thickness": 3.175,
}  # fmt: skip


def test_sole_and_section_of_a_half_round() -> None:
    # Reckoned by hand: w = 2r, s = r, relief 20° over a wall of 6.35 mm: 9.525 + 6.35 / tan 20° = 26.97148.
    plan = plan_of(HALF_ROUND)
    assert plan.sole.width == pytest.approx(19.05)
    assert plan.sole.highest == plan.sole.plate_edge == plan.sole.blind_edge == pytest.approx(9.525)
    assert plan.section.blind_wall == pytest.approx(6.35)
    assert plan.section.blind_relief_top == pytest.approx(26.97148, abs=1e-5)
    assert plan.section.plate_relief_top == pytest.approx(26.97148, abs=1e-5)
    assert plan.throat.gap == pytest.approx(2.205332, abs=1e-6)
    assert plan.throat.opening(76.2) == pytest.approx(26.29530, abs=1e-5)


def test_edge_of_a_shallow_round() -> None:
    # r = w = 16: sagitta 16 (1 - cos 30°); stretched by 1 / sin 50°.
    plan = plan_of({})
    assert plan.sole.highest == pytest.approx(2.143594, abs=1e-6)
    assert plan.iron.profile_depth() == pytest.approx(2.798263, abs=1e-6)


@pytest.mark.parametrize("form", ["round", "hollow"])
@pytest.mark.parametrize("arc", [45, 60, 120, 180])
@pytest.mark.parametrize("bed", [45, 50, 60])
def test_the_iron_s_edge_is_where_its_plane_cuts_the_sole(form: str, arc: float, bed: float) -> None:
    plan = plan_of({"sole.form": form, "sole.arc": arc, "throat.bed": bed})
    iron, sole = plan.iron, plan.sole
    radius, width = 16.0, 2 * 16 * math.sin(math.radians(arc) / 2)
    sagitta = radius * (1 - math.cos(math.radians(arc) / 2))
    turned = np.radians(np.linspace(-arc / 2, arc / 2, 41))
    y = width / 2 + radius * np.sin(turned)
    z = radius * (1 - np.cos(turned)) if form == "round" else sagitta - radius * (1 - np.cos(turned))
    # Each ruling of the sole's cylinder runs along x through (y, z): cut it with the iron's plane.
    normal = np.array([-np.sin(np.radians(bed)), 0, np.cos(np.radians(bed))])
    foot = np.array([plan.throat.mouth_at + plan.throat.mouth - 3.2 / np.sin(np.radians(bed)), 0, 0])
    x = foot[0] - normal[2] * z / normal[0]
    points = np.stack([x, y, z], axis=1)
    up = np.array([np.cos(np.radians(bed)), 0, np.sin(np.radians(bed))])
    seen = (points - foot) @ up
    assert np.asarray(iron.origin) == pytest.approx(foot, abs=1e-9)
    assert np.asarray(iron.off_bed) == pytest.approx(normal) and np.asarray(iron.up_bed) == pytest.approx(up)
    for v, u, height in zip(y, seen, z, strict=True):
        v = min(max(float(v), 0.0), sole.width)
        # At the ends of a half round the sole is plumb and a last digit of y is worth 1e-7 of height.
        assert iron.edge_u(v) == pytest.approx(u, abs=2e-6)
        assert sole.height(v) == pytest.approx(height, abs=2e-6)


def test_the_edge_by_algebra() -> None:
    # sympy solves the cylinder (y - w/2)² + (z - r)² = r² on the iron's plane.
    u, v = sympy.symbols("u v", real=True)
    bed, radius = sympy.rad(50), sympy.Rational(16)
    lower = sympy.solve((v - 8) ** 2 + (u * sympy.sin(bed) - radius) ** 2 - radius**2, u)[0]
    plan = plan_of({})
    for across in (0, 3, 8, 11.5, 16):
        assert plan.iron.edge_u(across) == pytest.approx(float(lower.subs(v, across)), abs=1e-9)


@pytest.mark.parametrize("form", ["round", "hollow"])
def test_points_of_the_edge_lie_on_the_ellipse(form: str) -> None:
    plan = plan_of({"sole.form": form, "sole.arc": 180})
    (edge,) = plan.iron.edge()
    chain = np.array([edge.point(share) for share in np.linspace(0, 1, 4001)])
    for v, u in chain[1:-1:200]:
        assert plan.iron.edge_u(float(v)) == pytest.approx(float(u), abs=1e-6)
    length = np.hypot(*np.diff(chain, axis=0).T).sum()
    # Half the perimeter of an ellipse with semi-axes r and r / sin 50°: complete elliptic integral, scipy.
    along = 16 / math.sin(math.radians(50))
    assert length == pytest.approx(2 * along * special.ellipe(1 - (16 / along) ** 2), abs=1e-4)


@pytest.mark.parametrize("bed_front", [(45, 55), (50, 60), (52, 61), (60, 68)])
def test_wedge_s_faces_lie_on_iron_and_front_face(bed_front: tuple[float, float]) -> None:
    bed, front = bed_front
    plan = plan_of({"throat.bed": bed, "throat.front": front})
    wedge = plan.wedge
    corners = {segment.start for segment in wedge.side_view()}
    assert plan.wedge.angle_deg == front - bed
    for share in (0.0, 0.4, 1.0):
        u = wedge.tip_u + share * (wedge.strike_u - wedge.tip_u)
        x, z = in_side_view(plan, (u, wedge.thickness(u)))
        assert x == pytest.approx(plan.throat.front_x(z), abs=1e-9)
        x, z = in_side_view(plan, (u, 0.0))
        assert x == pytest.approx(plan.throat.iron_x(z), abs=1e-9)
    assert in_side_view(plan, (wedge.tip_u, 0.0))[1] == pytest.approx(wedge.tip_height)
    assert in_side_view(plan, (wedge.body_top_u, 0.0))[1] == pytest.approx(plan.section.height)
    exit_ = in_side_view(plan, (wedge.front_exit_u, wedge.thickness(wedge.front_exit_u)))
    assert exit_ == pytest.approx((plan.throat.front_x(plan.section.height), plan.section.height))
    x, z = in_side_view(plan, wedge.tip_shoulder)
    assert x == pytest.approx(plan.throat.front_x(z)) and wedge.tip_shoulder in corners


def in_side_view(plan: Plan, point: tuple[float, float]) -> tuple[float, float]:
    """Return (x, z) of a point given along and square to the iron's upper face."""
    a = math.radians(plan.throat.bed_deg)
    u, n = point
    return (plan.throat.iron_x(0) + u * math.cos(a) - n * math.sin(a), u * math.sin(a) + n * math.cos(a))


def test_wedge_sinks_as_its_rule_says() -> None:
    # Planing d off the front face is a wedge thinner by d: it seats where a thicker one was so much higher.
    plan = plan_of({})
    wedge = plan.wedge
    per_mm = (wedge.thickness(60) - wedge.thickness(50)) / 10
    # d square to the front face is d / cos(angle) square to the iron.
    sink = 1 / math.cos(math.radians(wedge.angle_deg)) / per_mm
    assert wedge.sink_per_mm == pytest.approx(sink, abs=1e-9)


def test_strike_face_stands_square_to_the_wedge_s_middle() -> None:
    wedge = plan_of({}).wedge
    strike = wedge.side_view().segments[1]
    assert strike.heading_deg(0.0) - 90 == pytest.approx(wedge.angle_deg / 2)
    assert strike.length == pytest.approx(wedge.strike_length)


@pytest.mark.parametrize("form", ["round", "hollow"])
def test_section_s_area_is_polygon_and_segment(form: str) -> None:
    plan = plan_of({"sole.form": form})
    section, sole = plan.section, plan.sole
    edge = sole.plate_edge
    corners = [(0, edge), (16, edge), (section.blind_face, section.blind_relief_top),
               (section.blind_face, 75), (-6, 75), (-6, section.shoulder), (0, section.shoulder)]  # fmt: skip
    ys, zs = np.array(corners).T
    polygon = 0.5 * float(np.sum(ys * np.roll(zs, -1) - np.roll(ys, -1) * zs))
    segment = 16**2 * 0.0905861  # Machinery's Handbook, 31st ed., segments of circles: 60°, r = 1
    expected = polygon + (segment if form == "round" else -segment)
    assert section.shaped().area == pytest.approx(expected, abs=1e-4)
    assert section.shaped().is_closed


def test_plate_and_body_meet_on_the_rabbet_face() -> None:
    plan = plan_of({})
    cheek = plan.section.cheek()
    assert cheek.bounds() == pytest.approx((-6, plan.sole.plate_edge, 0, plan.section.shoulder))
    lean = math.degrees(math.atan2(6, plan.section.plate_relief_top - plan.sole.plate_edge))
    assert lean == pytest.approx(20)


def test_escapement_keeps_the_iron_covered_and_ends_by_the_tip() -> None:
    plan = plan_of({})
    outline = plan.escapement.side_view()
    assert outline.area > 0 and outline.is_closed
    assert outline.bounds()[3] == pytest.approx(plan.escapement.top)
    for x, z in outline.points():
        assert x <= plan.throat.iron_x(z) + 1e-6
    assert plan.wedge.tip_height < plan.escapement.top < plan.section.shoulder


def test_stages_are_oversize_until_trimmed() -> None:
    stages = plan_of({"body.spare": 50, "body.length": 250}).stages
    assert stages.span(Stage.BLANK) == (-50, 300)
    assert stages.span(Stage.PLATE_GLUED) == (-50, 300)
    assert stages.span(Stage.TRIMMED) == (0, 250)


def test_a_laminated_body_has_its_rabbet_from_the_start() -> None:
    changes: dict[str, Any] = {"body.build": "laminated"}
    stages = plan_of(changes).stages
    assert stages.outline(Stage.BLANK).area == pytest.approx(stages.outline(Stage.RABBETED).area)
    solid = plan_of({}).stages
    rabbet = 6 * solid.section.shoulder
    gap = solid.outline(Stage.BLANK).area - solid.outline(Stage.RABBETED).area
    assert gap == pytest.approx(rabbet)


def test_hand_is_kept_and_changes_nothing_else() -> None:
    right, left = plan_of({}), plan_of({"body.hand": "left"})
    assert left.is_left and not right.is_left
    assert left.section == right.section and left.throat == right.throat
