"""The sanding blocks: their stack, their radius as read back from STEP, and how they lie on the sole."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin, sqrt
from pathlib import Path as FilePath

import cadquery as cq
import numpy as np
import pytest
import trimesh
from cadquery import Location, Solid
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, MultiLineString, Point, Polygon

from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.kernel.curved import Cylinder, surface_of
from cad.kernel.measure import extent
from cad.kernel.mesh import tessellate
from cad.outline import Arc, Line, Path
from cad.parts import cheek_plate
from cad.parts.body import work_at_stage
from fixtures.bench.model import CutFigures, Declined, Fixture, Scene
from fixtures.bench.proof import prove
from fixtures.bench.workshop import build_fixture
from fixtures.sanding_blocks import section_for
from tests.planes import plan_of, spec_text

SOLE_MM = 0.02  # how far a working face moved by its stack may lie from the sole

# FEPA 43 / ISO 6344, median grain in µm: P60 to P220 from reprints of the standard, P400 from memory.
GRAINS_UM = {
    "P60": 269,
    "P80": 201,
    "P100": 162,
    "P120": 125,
    "P150": 100,
    "P180": 82,
    "P220": 68,
    "P400": 35,
}


def blocks(plan: Plan, lettered: bool = False) -> Fixture:
    fixture = build_fixture("sanding_blocks", plan, lettered)
    assert isinstance(fixture, Fixture), fixture
    return fixture


def plan_for(
    form: str, radius: float, arc: float, hand: str = "right", more: str = "", relief: float = 20
) -> Plan:
    text = spec_text(form, radius, arc, 50, hand)
    return plan_of(text.replace("[body]", f"relief = {relief}\n[body]") + more)


def surfacing_of(plan: Plan, solid: Solid) -> CutFigures:
    """Return what a solid put in the place of the first block does to the sole."""
    fixture = blocks(plan)
    work = work_at_stage(plan, fixture.stage)
    (cut,) = fixture.set_ups[0].cuts
    return cut.figures(Scene(work, work, {fixture.pieces[0].name: solid}))


def radii_read_back(solid: Solid, to: FilePath) -> list[tuple[float, bool]]:
    """Return radius and hollowness of the round faces of a solid after a trip through a STEP file."""
    cq.exporters.export(cq.Workplane(obj=solid), str(to))
    (read,) = cq.importers.importStep(str(to)).solids().vals()
    assert read.isValid()
    # Cones are the first-layer relief at the end that lies on the print bed.
    found = [surface_of(face, "block") for face in read.Faces() if face.geomType() != "CONE"]
    return [(one.radius, one.hollow) for one in found if isinstance(one, Cylinder)]


def slice_of(solid: Solid) -> MultiLineString:
    """Return the outline of a solid's mesh where a plane across x cuts it in the middle, in (y, z)."""
    made = tessellate(solid, 0.001)
    mesh = trimesh.Trimesh(made.points, made.triangles)
    assert mesh.is_watertight
    middle = mesh.bounds.mean(axis=0)[0] + 0.123
    pairs = trimesh.intersections.mesh_plane(mesh, (1, 0, 0), (middle, 0, 0))
    return MultiLineString([pair[:, 1:] for pair in pairs])


def sole_points(form: str, radius: float, arc: float) -> np.ndarray:
    """Return points of the sole from the circle itself, (y, z), its lowest point at z = 0."""
    a = np.radians(np.linspace(-arc / 2, arc / 2, 181))
    y, rise = radius * np.sin(a), radius * (1 - np.cos(a))
    z = rise if form == "round" else rise.max() - rise
    return np.column_stack([y + radius * sin(radians(arc / 2)), z])


# r + q for a round, r − q for a hollow; q = pad 2 + backing 0.25 + grain.
@pytest.mark.parametrize(
    ("form", "expected"),
    [("round", (18.412, 18.375, 18.318)), ("hollow", (13.588, 13.625, 13.682))],
)
@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_block_has_the_radius_of_the_sole_and_its_stack(
    form: str, expected: tuple[float, ...], hand: str, tmp_path: FilePath
) -> None:
    fixture = blocks(plan_for(form, 16, 60, hand))
    for piece, radius in zip(fixture.pieces, expected, strict=True):
        found = radii_read_back(piece.solid, tmp_path / "block.step")
        near = [r for r, hollow in found if hollow == (form == "round") and abs(r - radius) < 1e-6]
        assert len(near) == 1, (piece.name, found)


@pytest.mark.parametrize("grit", GRAINS_UM)
def test_the_stack_counts_the_grain_of_its_grit(grit: str) -> None:
    plan = plan_for("round", 16, 60, more=f'[shop.abrasive]\ngrits = ["{grit}"]\nbacking = 0.3\npad = 1.5\n')
    assert section_for(plan, grit).stack == pytest.approx(1.8 + GRAINS_UM[grit] / 1000, abs=1e-12)
    assert [piece.name for piece in blocks(plan).pieces] == [f"sanding_block_{grit}"]


@pytest.mark.parametrize("radius", [3, 16, 40])
@pytest.mark.parametrize(("form", "arc"), [("round", 45), ("round", 60), ("hollow", 60), ("hollow", 180)])
def test_the_face_moved_by_its_stack_lies_on_the_sole(form: str, radius: float, arc: float) -> None:
    plan = plan_for(form, radius, arc)
    fixture = blocks(plan)
    for piece, set_up in zip(fixture.pieces, fixture.set_ups, strict=True):
        stack = section_for(plan, piece.name.rsplit("_", 1)[1]).stack
        outline = slice_of(piece.solid)
        off = [outline.distance(Point(p)) - stack for p in sole_points(form, radius, arc)]
        assert np.abs(off).max() < SOLE_MM
        assert piece.name not in set_up.absent


def test_a_half_round_is_covered_but_for_the_mitre_of_its_corner() -> None:
    plan = plan_for("round", 9.525, 180)
    stack = section_for(plan, "P100").stack
    outline = slice_of(blocks(plan).pieces[0].solid)
    off = np.array([outline.distance(Point(p)) - stack for p in sole_points("round", 9.525, 180)])
    # At the corner the wood turns in by 20 degrees: over the mitre the block stands q/cos 10° off.
    assert off.max() == pytest.approx(stack * (1 / cos(radians(10)) - 1), abs=0.005)
    assert off.min() > -SOLE_MM / 4
    assert np.abs(off[12:-12]).max() < SOLE_MM / 4  # 12 degrees of arc, some 2 mm, at each side


@settings(max_examples=12, deadline=None)
@given(
    form=st.sampled_from(["round", "hollow"]),
    radius=st.integers(6, 80).map(lambda n: n / 2),
    arc=st.integers(45, 180),
    hand=st.sampled_from(["right", "left"]),
    relief=st.integers(10, 30),
)
def test_blocks_are_proved_over_the_range_of_soles(
    form: str, radius: float, arc: float, hand: str, relief: float
) -> None:
    plan = plan_for(form, radius, arc, hand, relief=relief)
    proof = prove(blocks(plan), plan)
    assert proof.passes, proof.failures
    assert proof.shared_mm3 == 0
    assert len(proof.cuts) == 3
    for clearance in proof.clearances:
        assert clearance.mm >= clearance.least_mm - 1e-6


@pytest.mark.parametrize(
    ("form", "radius", "arc"), [("round", 3, 140), ("hollow", 3, 45), ("hollow", 40, 180)]
)
def test_blocks_are_proved_at_the_ends_of_the_range(form: str, radius: float, arc: float) -> None:
    plan = plan_for(form, radius, arc, "left")
    proof = prove(blocks(plan), plan)
    assert proof.passes, proof.failures


@pytest.mark.parametrize("form", ["round", "hollow"])
@pytest.mark.parametrize("relief", [2, 5, 45, 60])
def test_blocks_are_proved_at_steep_and_flat_reliefs(form: str, relief: float) -> None:
    plan = plan_for(form, 16, 60, relief=relief)
    proof = prove(blocks(plan), plan)
    assert proof.passes, proof.failures


def test_the_land_lies_one_stack_off_the_relief(demo: Plan) -> None:
    for found in prove(blocks(demo), demo).clearances:
        if "relief" in found.name:
            assert found.mm == pytest.approx(found.least_mm, abs=1e-6)


@pytest.mark.parametrize(("form", "arc"), [("round", 60), ("round", 180), ("hollow", 60), ("hollow", 180)])
def test_the_other_land_fits_the_cheek_plate_once_it_is_glued(form: str, arc: float) -> None:
    plan = plan_for(form, 16, arc)
    block, plate = blocks(plan).pieces[0].solid, cheek_plate.build(plan)
    assert block.distance(plate) == pytest.approx(section_for(plan, "P100").stack, abs=1e-6)


def test_a_block_off_its_place_is_caught(demo: Plan) -> None:
    solid = blocks(demo).pieces[0].solid
    assert surfacing_of(demo, solid).offset_mm < 1e-6
    lower = surfacing_of(demo, solid.moved(Location((0, 0, -0.1))))
    assert lower.offset_mm == pytest.approx(0.1, abs=0.02)
    higher = surfacing_of(demo, solid.moved(Location((0, 0, 0.1))))
    assert higher.wood_mm3 > 10
    rolled = surfacing_of(demo, solid.moved(Location((0, 0, 0), (1, 0, 0), 0.5)))
    assert rolled.offset_mm > SOLE_MM


def test_a_block_made_for_another_stack_is_caught() -> None:
    plan = plan_for("round", 16, 60)
    other = plan_for("round", 16, 60, more="[shop.abrasive]\npad = 1.9\n")
    found = surfacing_of(plan, blocks(other).pieces[0].solid)
    assert found.offset_mm == pytest.approx(0.1, abs=1e-6)
    assert found.wood_mm3 > 10


def test_a_block_that_leaves_part_of_the_sole_bare_is_caught() -> None:
    plan = plan_for("round", 16, 60)
    solid = blocks(plan).pieces[0].solid
    low, high = extent(solid)
    # Plane a wide groove into the working face: what is left still has the right radius.
    groove = cq.Solid.makeBox(high[0] - low[0], 4, 10, cq.Vector(low[0], 0.2, -8))
    found = surfacing_of(plan, solid.cut(groove).Solids()[0])
    assert found.offset_mm > 0.5


def test_the_edge_of_the_sole_is_never_touched() -> None:
    """Around the edge the section leaves the stack and a quirk of 1 to 1.5 mm free between the two faces."""
    for form, radius, arc in (("round", 16, 60), ("hollow", 16, 60), ("hollow", 16, 180), ("round", 3, 60)):
        plan = plan_for(form, radius, arc)
        section = section_for(plan, "P100")
        solid = Polygon(section.outline.points(1e-3))
        for edge, flank, face in (
            (plan.sole.path.start, section.plate_land, section.over_sole[0]),
            (plan.sole.path.end, section.blind_land, section.over_sole[-1]),
        ):
            near = (flank.end, face.start) if flank is section.plate_land else (flank.start, face.end)
            assert Point(edge).distance(solid) >= section.stack - 1e-3
            middle = np.mean([*near], axis=0) - edge
            towards = np.array(edge) + middle / np.linalg.norm(middle) * 30
            hit = LineString([edge, towards]).intersection(solid)
            assert Point(edge).distance(hit) - section.stack >= 1, (form, radius, arc)
            assert LineString(near).length >= 1.5 - 1e-9, "the quirk is wide enough not to close in printing"


@pytest.mark.parametrize("form", ["round", "hollow"])
@pytest.mark.parametrize("radius", [3, 16, 40])
@pytest.mark.parametrize("arc", [45, 60, 139, 180])
def test_no_wall_is_thinner_than_prints(form: str, radius: float, arc: float) -> None:
    """Walls of 0.8 mm: common practice, no source. An opening by 0.4 mm may lose only tips of corners."""
    plan = plan_for(form, radius, arc)
    section = section_for(plan, "P100")
    solid = Polygon(section.outline.points(0.005))
    assert solid.is_valid
    core = solid.buffer(-0.39)
    assert core.geom_type == "Polygon", "a neck thinner than 0.8 mm"
    lost = solid.difference(core.buffer(0.39))
    assert lost.buffer(-0.08).is_empty
    low, high = section.sides
    for below in (0.5, 12, 25):
        level = LineString([(low - 1, section.lowest - below), (high + 1, section.lowest - below)])
        assert level.intersection(solid).length >= 28 - 1e-9, "wide enough to hold, 25 mm down from the face"


def test_the_block_is_the_profile_swept_and_stands_on_one_end(demo: Plan) -> None:
    for piece in blocks(demo).pieces:
        low, high = extent(piece.solid)
        (profile,) = piece.profiles
        assert profile.name == piece.name
        assert profile.path.is_closed and profile.path.area > 0
        # Less the first-layer relief along face and lands, a chamfer of 0.4 mm at the end on the print bed.
        lost = profile.path.area * (high[0] - low[0]) - piece.solid.Volume()
        assert 1 < lost < 0.4**2 / 2 * profile.path.length
        assert piece.made == "printed"
        assert piece.bed_face.point[0] == pytest.approx(low[0], abs=1e-6)
        assert (low[0] + high[0]) / 2 == pytest.approx(demo.spec.body.length / 2, abs=1e-6)
        # Standing on end every side face is plumb: no overhang at all.
        for face in piece.solid.Faces():
            across, span = abs(face.normalAt().x), face.BoundingBox()
            relief = span.xmin > low[0] - 1e-3 and span.xmax < low[0] + 0.41
            assert across < 1e-9 or across > 1 - 1e-9 or relief


def test_a_small_printer_gets_a_shorter_block() -> None:
    plan = plan_for("round", 16, 60, more="[shop.printer]\nvolume = [100, 100, 60]\n")
    low, high = extent(blocks(plan).pieces[0].solid)
    assert 50 < high[0] - low[0] < 60
    wide = blocks(plan_for("round", 40, 180, more="[shop.printer]\nvolume = [80, 80, 100]\n"), lettered=True)
    assert any("sanding_block_P100" in note and "printer" in note for note in wide.notes)


def test_each_grit_is_engraved_on_the_end_printed_last(demo: Plan) -> None:
    plain, lettered = blocks(demo), blocks(demo, lettered=True)
    for before, after, grit in zip(plain.pieces, lettered.pieces, demo.spec.shop.abrasive.grits, strict=True):
        (way,) = {label.normal for label in after.labels if label.text.startswith(grit)}
        assert way == tuple(-n for n in after.bed_face.normal)
        assert after.solid.isValid()
        assert before.solid.Volume() - after.solid.Volume() > 20


def test_one_block_at_a_time_at_the_shaped_sole(demo: Plan) -> None:
    fixture = blocks(demo)
    assert fixture.stage is Stage.SOLE_SHAPED
    names = {piece.name for piece in fixture.pieces}
    assert [names - set_up.absent for set_up in fixture.set_ups] == [{piece.name} for piece in fixture.pieces]
    said = " ".join((*fixture.notes, *fixture.cautions))
    for word in ("mask", "extract", "P100, then P120, then P220"):
        assert word in said


def test_paper_is_parted_only_where_there_is_a_quirk() -> None:
    assert any("three strips" in note for note in blocks(plan_for("round", 16, 60)).notes)
    assert any("one sheet" in note for note in blocks(plan_for("round", 16, 180)).notes)


def test_a_stack_too_thick_for_a_small_hollow_is_declined_in_figures() -> None:
    made = build_fixture("sanding_blocks", plan_for("hollow", 3, 60, more="[shop.abrasive]\npad = 2.5\n"))
    assert isinstance(made, Declined)
    for words in ("radius 3 mm", "2.912 mm", "pad 2.5", "P100", "shop.abrasive.pad"):
        assert words in made.reason


def with_sole(plan: Plan, path: Path) -> Plan:
    """Return the plan with another sole of the same width: a form that is yet to come."""
    names = tuple(f"part {i}" for i, _ in enumerate(path, start=1))
    sole = replace(plan.sole, form="other", path=path, names=names)
    section = replace(plan.section, sole=sole)
    return replace(plan, sole=sole, section=section, stages=replace(plan.stages, section=section))


def ogee(width: float) -> Path:
    """Return a round that runs on smoothly into a hollow, each over half the width, 60 degrees of turn."""
    r, a = width / 2 / sin(radians(60)), radians(60)
    turn, end = (width / 2, r * (1 - cos(a))), (width, 2 * r * (1 - cos(a)))
    return Path((Arc((0.0, 0.0), turn, (0.0, r), ccw=True), Arc(turn, end, (width, end[1] - r), ccw=False)))


def stepped(width: float) -> Path:
    """Return a flat fillet, a step down, and a half round with a flat fillet beside it."""
    w = width / 4
    rise = sqrt(w**2 - (w / 2) ** 2)
    arc = Arc((w, rise), (3 * w, rise), (2 * w, rise), ccw=True)
    low = arc.point(0.5)[1]
    flat = (Line((0.0, rise), (w, rise)), arc, Line((3 * w, rise), (width, rise)))
    return Path(flat).moved(0, -low)


def keel(width: float) -> Path:
    """Return two flats that meet in an edge along the middle of the sole, 20 degrees from level each."""
    rise = width / 2 * np.tan(radians(20))
    return Path((Line((0.0, rise), (width / 2, 0.0)), Line((width / 2, 0.0), (width, rise))))


def test_an_edge_within_the_sole_has_its_quirk_too() -> None:
    plan = plan_for("round", 30, 60)
    plan = with_sole(plan, keel(plan.sole.width))
    section = section_for(plan, "P100")
    solid = Polygon(section.outline.points(1e-3))
    below = LineString([(15, 0), (15, -9)]).intersection(solid)
    assert Point(15, 0).distance(below) == pytest.approx(section.stack + 1.25, abs=1e-3)
    # The mouth spans the turn of 40 degrees about the edge.
    assert section.over_sole[1].start[0] - section.over_sole[0].end[0] == pytest.approx(
        2 * section.stack * sin(radians(20)), abs=1e-9
    )


@pytest.mark.parametrize("shape", [ogee, stepped, keel])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_soles_of_several_segments_are_fitted_and_proved(shape: object, hand: str) -> None:
    assert callable(shape)
    plan = plan_for("round", 30, 60, hand)
    plan = with_sole(plan, shape(plan.sole.width))
    fixture = blocks(plan)
    proof = prove(fixture, plan)
    assert proof.passes, proof.failures
    labels = {label.text for label in fixture.pieces[0].labels}
    assert ("P100 HEEL" in labels) == (shape is ogee), "a block that fits one way only says which"
