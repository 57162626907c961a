"""Corners that a square part can seat in: on plates, by shapely, and on the sled, by the kernel."""

from __future__ import annotations

from math import acos, cos, radians, sin, sqrt

import pytest
from cadquery import Solid, Vector
from shapely import Polygon, box

from cad.geometry import Plan
from cad.kernel.measure import extent
from cad.outputs.cutting import cutting
from cad.outputs.meshes import Meshes
from cad.parts.body import work_at_stage
from fixtures.bench.plates import CUTTER_ROOM_MM, RELIEF_MM, hole, relieved, routed
from tests.conftest import DEMOS
from tests.products import product
from tests.sleds import sled

CORNER = [(0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (20.0, 20.0), (20.0, 60.0), (0.0, 60.0)]
SEAT = 3  # the inside corner, at (20, 20)


def relief_area(radius: float, half_angle: float) -> float:
    """Return what a relief takes off the wood: the circle beyond the corner, by segments of a circle.

    The part of a circle within a wedge of half angle h whose tip lies d from its centre, on the far side:
    a closed form of plane geometry (Machinery's Handbook, 31st ed., segments of circles).
    """
    d = radius - RELIEF_MM
    reach = d * cos(half_angle) + sqrt(radius**2 - (d * sin(half_angle)) ** 2)
    ends = acos((d**2 + radius**2 - reach**2) / (2 * d * radius))  # at the centre, from corner to end
    # The circle's sector on the corner's side, less the two triangles centre, corner, end.
    return radius**2 * ends - d * radius * sin(ends)


@pytest.mark.parametrize("cutter", [3.0, 6.0, 12.7])
def test_a_square_part_seats_in_a_relieved_corner(cutter: float) -> None:
    part = box(20, 20, 50, 50)
    relief = Polygon(relieved(CORNER, {SEAT}, cutter).points(1e-4))
    rounded = Polygon(routed(CORNER, cutter / 2 + CUTTER_ROOM_MM).points(1e-4))
    assert relief.is_valid
    assert relief.intersection(part).area < 1e-9, "seats"
    assert rounded.intersection(part).area > 0.3, "as only rounded it does not"
    bearing = relief.buffer(1e-6).intersection(part.boundary).length
    assert bearing > 60 - 2 * 1.5 * (cutter / 2 + CUTTER_ROOM_MM), "on both its sides"
    tip = box(20, 20, 20.001, 20.001)
    assert relief.distance(tip) == pytest.approx(RELIEF_MM, abs=2e-3)


@pytest.mark.parametrize("cutter", [3.0, 6.0, 12.7])
@pytest.mark.parametrize("angle_deg", [60, 90, 120])
def test_the_cutter_reaches_all_of_a_relief(cutter: float, angle_deg: float) -> None:
    """What a disc of the cutter's size can sweep of the void, by shapely's opening, is all of the void."""
    a = radians(angle_deg)
    far = (20 + 40 * cos(a), 20 + 40 * sin(a))
    corners = [(0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (20.0, 20.0), far, (far[0] - 40, far[1])]
    path = relieved(corners, {SEAT}, cutter)
    wood = Polygon(path.points(1e-4))
    void = box(-80, -40, 120, 120).difference(wood)
    swept = void.buffer(-cutter / 2, quad_segs=256).buffer(cutter / 2, quad_segs=256)
    near = Polygon(hole((20, 20), 2.5 * cutter).points())
    assert void.intersection(near).difference(swept).area < 5e-3
    taken = relief_area(cutter / 2 + CUTTER_ROOM_MM, a / 2)
    assert Polygon(corners).area - path.area == pytest.approx(taken, rel=1e-9)


def test_only_inside_corners_are_seats() -> None:
    with pytest.raises(ValueError, match="no inside corner"):
        relieved(CORNER, {1}, 6)
    with pytest.raises(ValueError, match="too short"):
        relieved(CORNER, {SEAT}, 60)
    assert relieved(CORNER, (), 6) == routed(CORNER, 3 + CUTTER_ROOM_MM)


def test_the_blanks_corner_stands_free_on_the_sled(demo: Plan) -> None:
    """Measured on the solids: the corner of top and toe end, between fence and stop."""
    fixture = sled(demo)
    (slab,) = (p.solid for p in fixture.pieces if p.name == "sled_fence_1")
    work = work_at_stage(demo, fixture.stage)
    low, high = extent(work)
    side = -1 if demo.is_left else 1
    spot = Solid.makeSphere(1e-3, Vector(low[0], side * 5, high[2]))
    assert slab.distance(spot) == pytest.approx(RELIEF_MM, abs=0.01)
    assert slab.distance(work) < 1e-6, "while both its sides bear"


@pytest.mark.parametrize("name", DEMOS)
def test_the_cutter_reaches_all_that_it_must_clear(name: str) -> None:
    """Beside every outline and in every pocket: what a disc of its size sweeps, by shapely's opening."""
    made = product(name)
    radius = made.plan.spec.shop.router.cutter / 2
    for one in cutting(made, Meshes()).plates:
        whole = Polygon(one.outline.points(1e-3))
        for cut in one.operations:
            if cut.kind not in ("outside", "inside", "pocket"):
                continue
            within = Polygon(cut.path.points(1e-3), [hole.points(1e-3) for hole in cut.holes])
            beside = whole.buffer(40).difference(whole)
            void = {"outside": beside, "inside": within}.get(cut.kind, within.union(beside))
            swept = void.buffer(-radius, quad_segs=64).buffer(radius, quad_segs=64)
            left = void.difference(swept).intersection(whole.buffer(20))
            largest = max((part.area for part in getattr(left, "geoms", [left])), default=0.0)
            assert largest < 0.02, f"{one.name}: {cut.kind}"
