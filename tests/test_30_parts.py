"""The solids against the closed forms, and against a mesh library that shares no code with the kernel."""

from __future__ import annotations

from itertools import combinations, pairwise
from math import cos, hypot, radians, sin, sqrt, tan

import manifold3d
import mpmath
import numpy as np
import pytest
from cadquery import Face, Solid, Vector, Vertex
from hypothesis import HealthCheck, given, settings
from shapely import Polygon, box

from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.kernel.measure import (
    angle_between_deg,
    clearance_mm,
    contact_mm2,
    extent,
    flat_face_at,
    is_plane,
    plane_of,
    shared_mm3,
)
from cad.kernel.mesh import Mesh, tessellate
from cad.parts import build_parts
from cad.parts.body import work_at_stage
from cad.parts.cheek_plate import plate_at_stage
from tests.planes import plan_of, spec_text, specs

SLIVER_MM = 0.02  # a face narrower than this is a slip of a boolean, not wood
PARTS = ["body", "cheek_plate", "iron", "throat", "wedge"]


def solids_of(plan: Plan) -> dict[str, Solid]:
    return {part.name: part.solid for part in build_parts(plan)}


def hand(plan: Plan) -> int:
    """Return the sign of y on the side of the body."""
    return -1 if plan.is_left else 1


def segment_area(radius: float, arc_deg: float) -> float:
    """Segment of a circle; Machinery's Handbook, 31st ed., segments of circles."""
    a = radians(arc_deg)
    return radius**2 * (a - sin(a)) / 2


def shaped_area(plan: Plan) -> float:
    """The body's cross-section worked out on paper: rectangle, rail, relief triangle and segment."""
    s, sole = plan.section, plan.spec.sole
    edge = sole.radius - sqrt(sole.radius**2 - (sole.width / 2) ** 2 + 1e-12)
    z0 = edge if sole.form == "round" else 0.0
    rise = s.blind_wall / tan(radians(sole.relief))
    above = s.blind_face * (s.height - z0) + s.plate * (s.height - s.shoulder)
    segment = segment_area(sole.radius, sole.arc)
    return above - s.blind_wall * rise / 2 + (segment if sole.form == "round" else -segment)


def mean_width_mm(face: Face) -> float:
    """Return twice the area over the perimeter: of a long narrow face, its width."""
    return 2 * face.Area() / sum(edge.Length() for edge in face.Edges())


def is_end_of_the_eye(plan: Plan, face: Face) -> bool:
    """Whether a face is what is left of an edge of the escapement that runs into its eye at the plate's edge.

    Where the eye ends by chance just above the plate's lower edge, the closed form itself leaves so little.
    """
    eye = plan.escapement.side_view().segments[2]
    corners = [vertex.toTuple() for vertex in face.Vertices()]
    return any(
        all(hypot(x - end[0], z - end[1]) < 0.5 for x, _, z in corners) for end in (eye.start, eye.end)
    )


def assert_sound(plan: Plan, given: dict[str, Solid] | None = None) -> None:
    """Assert everything that holds for the solids of every plane: those given, or else built here."""
    solids = given or solids_of(plan)
    assert sorted(solids) == PARTS
    side, throat, section = hand(plan), plan.throat, plan.section
    for name, solid in solids.items():
        assert solid.isValid() and solid.ShapeType() == "Solid", name
        assert solid.Volume() > 0, name
        slivers = [face for face in solid.Faces() if mean_width_mm(face) < SLIVER_MM]
        assert all(is_end_of_the_eye(plan, face) for face in slivers), f"{name} has a sliver"

    for one, two in combinations(["body", "cheek_plate", "wedge", "iron"], 2):
        assert shared_mm3(solids[one], solids[two]) < 1e-3, (one, two)

    # Waste and body together are the body before the throat was sawn.
    length = plan.spec.body.length
    whole = shaped_area(plan) * length
    assert solids["body"].Volume() + solids["throat"].Volume() == pytest.approx(whole, rel=1e-7)
    low, high = extent(solids["body"])
    ys = sorted((-section.plate * side, section.blind_face * side))
    assert np.allclose(low, (0, ys[0], 0), atol=0.01) and np.allclose(
        high, (length, ys[1], section.height), atol=0.01
    )

    # Bed and front stand at their angles and pass through their marks.
    # Half way up the wood above the sole, which of a deep one stands above the middle of the body.
    mid, y = (plan.sole.highest + section.height) / 2, throat.depth / 2 * side
    bed, front = radians(throat.bed_deg), radians(throat.front_deg)
    faces = {
        "bed": (throat.mouth_at + throat.mouth, bed, (-sin(bed), 0, cos(bed))),
        "front": (throat.mouth_at, front, (sin(front), 0, -cos(front))),
    }
    found = {}
    for name, (mark, angle, normal) in faces.items():
        face = flat_face_at(solids["body"], (mark + mid / tan(angle), y, mid), normal, name)
        plane = plane_of(face)
        assert abs(plane.height((mark, y, 0))) < 0.01, name
        assert angle_between_deg(plane.normal, normal) < 0.01, name
        found[name] = face
    wall = flat_face_at(
        solids["body"], (throat.bed_x(mid) - 1, throat.depth * side, mid), (0, -side, 0), "wall"
    )
    assert abs(plane_of(wall).point[1]) == pytest.approx(plan.sole.width, abs=0.01)

    # The iron lies on the bed; the wedge lies on iron and front face.
    back = flat_face_at(solids["iron"], (throat.bed_x(mid), y, mid), (sin(bed), 0, -cos(bed)), "iron's back")
    assert contact_mm2(back, found["bed"]) > 0.5 * throat.depth * section.height
    # Well above the wedge's tip, which stands high over a deep sole.
    up = 0.2 * plan.spec.wedge.tip_height + 0.8 * section.height
    upper = flat_face_at(solids["iron"], (throat.iron_x(up), y, up), (-sin(bed), 0, cos(bed)), "iron's face")
    lower = flat_face_at(
        solids["wedge"], (throat.iron_x(up), y, up), (sin(bed), 0, -cos(bed)), "wedge on iron"
    )
    assert contact_mm2(upper, lower) > 1
    leading = flat_face_at(
        solids["wedge"], (throat.front_x(up), y, up), (-sin(front), 0, cos(front)), "wedge on front"
    )
    assert contact_mm2(leading, found["front"]) > 1
    assert clearance_mm(solids["wedge"], solids["iron"]) < 1e-9
    assert edge_error_mm(plan, solids["iron"]) < 0.02
    assert_plate_fills_its_rabbet(plan, solids["cheek_plate"])


def assert_plate_fills_its_rabbet(plan: Plan, plate: Solid) -> None:
    """Assert that the plate reaches from edge to shoulder, and that the escapement goes right through it.

    On both its faces there is what shapely leaves of a rectangle when the escapement is taken out.
    """
    section, sole, length = plan.section, plan.spec.sole, plan.spec.body.length
    rise = section.plate / tan(radians(sole.relief))
    opening = Polygon(plan.escapement.side_view().points(0.002))
    for y, low in ((0.0, plan.sole.plate_edge), (-section.plate, plan.sole.plate_edge + rise)):
        wanted = box(0, low, length, section.shoulder).difference(opening).area
        faces = [face for face in plate.Faces() if is_plane(face) and abs(face.normalAt().y) > 1 - 1e-9]
        found = sum(face.Area() for face in faces if abs(face.Center().y - y * hand(plan)) < 1e-6)
        assert found == pytest.approx(wanted, rel=1e-4), y
    low_corner, high_corner = extent(plate)
    assert (low_corner[2], high_corner[2]) == pytest.approx(
        (plan.sole.plate_edge, section.shoulder), abs=0.01
    )


def edge_error_mm(plan: Plan, iron: Solid) -> float:
    """Return how far the iron's edge, seen along x, lies from the sole: sampled on the solid's own edges."""
    side, sole, bed = hand(plan), plan.spec.sole, radians(plan.throat.bed_deg)
    x0 = plan.throat.mouth_at + plan.throat.mouth - plan.throat.iron / sin(bed)
    s = sole.radius - sqrt(max(sole.radius**2 - (sole.width / 2) ** 2, 0))
    worst, seen = 0.0, 0
    for edge in iron.Edges():
        points = [edge.positionAt(i / 40).toTuple() for i in range(41)]
        # The cutting edge lies in the plane of the iron's upper face and reaches across it near the sole.
        if any(abs((x - x0) * sin(bed) - z * cos(bed)) > 1e-4 for x, _, z in points):
            continue
        if max(z for *_, z in points) > s + 0.5:
            continue
        for _, y, z in points:
            across = abs(y) - sole.width / 2
            drop = sqrt(max(sole.radius**2 - across**2, 0))
            want = sole.radius - drop if sole.form == "round" else s - sole.radius + drop
            worst = max(worst, abs(z - want))
            seen += 1
    assert seen > 30, "no cutting edge was found"
    assert side * iron.Center().y > 0
    return worst


def test_demo_planes_are_sound(demo: Plan) -> None:
    assert_sound(demo)


@pytest.mark.parametrize("form", ["round", "hollow"])
@pytest.mark.parametrize("radius", [3, 9.525, 40])
@pytest.mark.parametrize("arc", [45, 180])
def test_corners_of_the_range_are_sound(form: str, radius: float, arc: float) -> None:
    for bed, side in ((45, "left"), (60, "right")):
        assert_sound(plan_of(spec_text(form, radius, arc, bed, side)))


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(specs())
def test_planes_drawn_by_lot_are_sound(text: str) -> None:
    assert_sound(plan_of(text))


def test_left_is_right_mirrored() -> None:
    right = solids_of(plan_of(spec_text("round", 16, 60, 50, "right")))
    left = solids_of(plan_of(spec_text("round", 16, 60, 50, "left")))
    for name in PARTS:
        assert left[name].Volume() == pytest.approx(right[name].Volume(), rel=1e-9)
        a, b = right[name].Center().toTuple(), left[name].Center().toTuple()
        assert b == pytest.approx((a[0], -a[1], a[2]), abs=1e-6)


def test_stages_follow_one_another(demo: Plan) -> None:
    volumes = [work_at_stage(demo, stage).Volume() for stage in Stage]
    # Wood only goes: each stage holds no more than the one before it.
    assert all(one >= two - 1e-6 for one, two in pairwise(volumes))
    low, high = extent(work_at_stage(demo, Stage.THROAT_SAWN))
    spare = demo.spec.body.spare
    assert (low[0], high[0]) == pytest.approx((-spare, demo.spec.body.length + spare), abs=1e-6)
    plate = plate_at_stage(demo, Stage.PLATE_GLUED)
    assert shared_mm3(plate, work_at_stage(demo, Stage.PLATE_GLUED)) < 1e-3


def test_plate_fills_the_rabbet(demo: Plan) -> None:
    solids = solids_of(demo)
    plate, body = solids["cheek_plate"], solids["body"]
    touching = sum(
        contact_mm2(a, b)
        for a in plate.Faces()
        for b in body.Faces()
        if is_plane(a) and is_plane(b) and abs(a.normalAt().dot(b.normalAt()) + 1) < 1e-9
    )
    glue = (demo.section.shoulder - demo.sole.plate_edge) * demo.spec.body.length
    assert 0.8 * glue < touching < 1.2 * glue


def as_manifold(mesh: Mesh) -> manifold3d.Manifold:
    return manifold3d.Manifold(
        manifold3d.Mesh64(
            vert_properties=mesh.points.astype(np.float64), tri_verts=mesh.triangles.astype(np.uint64)
        )
    )


def test_manifold_agrees_on_volumes_and_shares(demo: Plan) -> None:
    """manifold3d, a mesh library with no code in common with the kernel, as second opinion."""
    meshes = {name: as_manifold(tessellate(solid)) for name, solid in solids_of(demo).items()}
    for name, solid in solids_of(demo).items():
        assert meshes[name].status() == manifold3d.Error.NoError
        assert meshes[name].volume() == pytest.approx(solid.Volume(), rel=5e-4), name
    for one, two in combinations(["body", "cheek_plate", "wedge", "iron"], 2):
        shared = (meshes[one] ^ meshes[two]).volume()
        # Facets of a curved sole stand up to the chord tolerance off it: allow that over the iron's edge.
        assert shared < 0.01 * demo.sole.width * 10, (one, two)


def test_iron_edge_is_the_ellipse_of_a_cut_cylinder() -> None:
    """A cylinder of radius r cut at β: semi-axes r and r/sin β (any text on conic sections)."""
    plan = plan_of(spec_text("round", 9.525, 180, 50, "right"))
    iron = solids_of(plan)["iron"]
    ellipses = [edge for edge in iron.Edges() if edge.geomType() == "ELLIPSE"]
    curve = ellipses[0]._geomAdaptor().Ellipse()
    assert curve.MinorRadius() == pytest.approx(9.525, abs=1e-9)
    assert curve.MajorRadius() == pytest.approx(12.43400, abs=1e-5)
    # Half the perimeter by the complete elliptic integral (mpmath, an independent library).
    k2 = 1 - (curve.MinorRadius() / curve.MajorRadius()) ** 2
    perimeter = 4 * curve.MajorRadius() * float(mpmath.ellipe(k2))
    assert 2 * ellipses[0].Length() == pytest.approx(perimeter, rel=1e-6)


def test_bevel_stands_at_its_angle(demo: Plan) -> None:
    """The bevel in the centre plane: γ from the upper face, and so β − γ of clearance behind the edge."""
    iron, bed = solids_of(demo)["iron"], radians(demo.throat.bed_deg)
    y = demo.sole.width / 2 * hand(demo)
    x = demo.throat.iron_x(demo.sole.height(demo.sole.width / 2))
    z = demo.sole.height(demo.sole.width / 2)
    bevel = min(
        (face for face in iron.Faces() if not is_plane(face)),
        key=lambda face: face.distance(Vertex.makeVertex(x + 1e-3, y, z + 1e-3)),
    )
    normal = bevel.normalAt(Vector(x, y, z))
    off = (-sin(bed), 0, cos(bed))
    assert 180 - angle_between_deg(normal.toTuple(), off) == pytest.approx(demo.spec.iron.bevel, abs=0.01)
