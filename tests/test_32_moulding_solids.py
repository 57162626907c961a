"""Solids of mouldings against fine chords in numpy, and the iron's edge as the kernel sees it."""

from __future__ import annotations

from itertools import combinations
from math import radians, sin, tan

import cadquery.func as cq
import numpy as np
import pytest
from cadquery import Solid

from cad.geometry import Plan, derive
from cad.geometry.stages import Stage
from cad.kernel.measure import shared_mm3
from cad.kernel.projection import Look, seen
from cad.kernel.shapes import Frame, flat_face, outline_wire
from cad.outline import polygon
from cad.parts import build_parts
from cad.parts.body import work_at_stage
from cad.spec import read_spec
from tests.conftest import demo_path
from tests.mouldings import BUILDS, MOULDINGS, built

PLANS = {form: built(form, 20, BUILDS[form]) for form in MOULDINGS}
PLANS["demo"] = derive(read_spec(demo_path("dado-ogee")))
CHORD_MM = 1e-5


def chain(plan: Plan) -> np.ndarray:
    """Return the sole as fine chords (y, z), right hand."""
    return np.array(plan.sole.path.points(CHORD_MM))


def apart(points: np.ndarray, line: np.ndarray) -> float:
    """Return the greatest distance of points from a chain of chords, by numpy alone."""
    start, way = line[:-1], np.diff(line, axis=0)
    length = (way**2).sum(axis=1)
    worst = 0.0
    for p in points:
        share = np.clip(((p - start) * way).sum(axis=1) / length, 0, 1)
        worst = max(worst, float(np.hypot(*(start + way * share[:, None] - p).T).min()))
    return worst


@pytest.mark.parametrize("name", PLANS)
def test_the_parts_fit_and_have_the_volumes_of_their_section(name: str) -> None:
    plan = PLANS[name]
    solids = {part.name: part.solid for part in build_parts(plan)}
    for one, two in combinations(["body", "cheek_plate", "wedge", "iron"], 2):
        assert shared_mm3(solids[one], solids[two]) < 1e-3, (one, two)
    assert all(solid.isValid() and solid.Volume() > 0 for solid in solids.values())
    # Body and waste: from the sole (by trapezoids) up to the top, less the relief's triangle, and the rail.
    y, z = chain(plan).T
    section, rise = plan.section, plan.section.blind_wall / tan(radians(plan.sole.relief_deg))
    area = section.height * section.sole.width - np.trapezoid(z, y)
    area += section.blind_wall * (section.height - z[-1]) - section.blind_wall * rise / 2
    area += section.plate * (section.height - section.shoulder)
    made = solids["body"].Volume() + solids["throat"].Volume()
    assert made == pytest.approx(area * plan.spec.body.length, rel=1e-6)


def cut_by_the_iron(plan: Plan) -> np.ndarray:
    """Return where the plane of the iron's upper face cuts the shaped body, in (v, u), by the kernel."""
    body, iron, way = work_at_stage(plan, Stage.SOLE_SHAPED), plan.iron, -1 if plan.is_left else 1
    frame = Frame(iron.origin, (0.0, float(way), 0.0), iron.up_bed)
    square = polygon([(-500, -500), (500, -500), (500, 500), (-500, 500)])
    met = cq.intersect(flat_face(outline_wire(square, frame)), body)
    points = [
        (np.array(edge.positionAt(i / 24).toTuple()) - iron.origin) for edge in met.Edges() for i in range(25)
    ]
    return np.array([(way * p[1], p @ np.array(iron.up_bed)) for p in points])


@pytest.mark.parametrize("name", PLANS)
def test_the_plane_of_the_iron_cuts_the_sole_in_its_edge(name: str) -> None:
    plan = PLANS[name]
    stretched = chain(plan) * (1, 1 / sin(radians(plan.throat.bed_deg)))
    v, u = cut_by_the_iron(plan).T
    on_sole = (v > 1e-6) & (v < plan.sole.width - 1e-6) & (u < stretched[:, 1].max() + 1e-6)
    points = np.column_stack([v, u])[on_sole]
    assert len(points) > 40
    assert apart(points, stretched) < 1e-4
    edge = np.array([segment.point(i / 40) for segment in plan.iron.edge() for i in range(41)])
    assert apart(edge, stretched) < 1e-4


@pytest.mark.parametrize("name", PLANS)
def test_the_kernel_s_projection_of_the_iron_on_to_its_face_is_the_stretched_sole(name: str) -> None:
    plan = PLANS[name]
    iron: Solid = next(part.solid for part in build_parts(plan, ["iron"]))
    look = Look(plan.iron.off_bed, plan.iron.up_bed)
    start, _ = look.flat(plan.iron.origin)
    shown = [p for path in seen([iron], look).visible for p in path.points(0.001)]
    # The page's right is up the bed; how far off its middle line a point lies is how far across the iron.
    seen_at = np.array([(abs(across), along - start) for along, across in shown])
    stretched = chain(plan) * (1, 1 / sin(radians(plan.throat.bed_deg)))
    inside = (seen_at[:, 0] > 1e-3) & (seen_at[:, 0] < plan.sole.width - 1e-3)
    edge = seen_at[inside & (seen_at[:, 1] < stretched[:, 1].max() + 1e-6)]
    assert np.ptp(edge[:, 0]) > 0.5 * plan.sole.width
    assert apart(edge, stretched) < 0.01
