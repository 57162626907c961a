"""Prints: walls, gaps and overhangs measured by other means than the report's own, holes and reliefs.

Walls of 0.8 mm and two nozzle widths, 45° from plumb: common practice, no source. The loss of a polygonised
round, r(1 - cos(pi/N)), is its closed form; densities of filament are common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from math import cos, pi, radians, sin, sqrt, tan

import numpy as np
import pytest
import trimesh
from cadquery import Solid
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon
from shapely.ops import polygonize

from cad.formulas.extrusion import least_wall_mm
from cad.formulas.facets import facet_loss_mm, facets
from cad.formulas.filament import DENSITY_G_CM3, mass_g
from cad.geometry import Plan, derive
from cad.kernel.engrave import engraved
from cad.kernel.measure import Plane, extent, flat_face_at
from cad.kernel.mesh import CHORD_MM, Mesh, tessellate
from cad.kernel.parting import faces_on, point_on
from cad.kernel.placing import laid_down, matrix_of
from cad.kernel.printability import overhangs, probes
from cad.kernel.shapes import box, cut, cylinder, prism, section_at, side_at
from cad.outline import polygon
from cad.outputs.meshes import Meshes
from cad.spec import read_spec
from fixtures.bench.model import FaceRef, Fixture, Label, Piece
from fixtures.bench.print_proof import prove_prints
from fixtures.bench.print_report import PrintFigures, print_figures, print_lines
from fixtures.bench.printing import lying_hole, printed_hole_mm
from fixtures.bench.workshop import build_fixture, fixture_names
from tests.conftest import demo_path
from tests.planes import plan_of, spec_text
from tests.products import product


def plan_with(printer: str = "", form: str = "round", radius: float = 16, arc: float = 60) -> Plan:
    return plan_of(spec_text(form, radius, arc, 50, "right") + f"[shop.printer]\n{printer}\n")


def figures(solid: Solid, labels: tuple[Label, ...] = (), plan: Plan | None = None) -> PrintFigures:
    """Return the report on a solid that lies on its lowest face."""
    low, _ = extent(solid)
    at = point_on(faces_on(solid, Plane((0, 0, low[2]), (0, 0, -1)))[0])
    piece = Piece("piece", solid, "printed", FaceRef("piece", at, (0, 0, -1)), labels)
    laid = Meshes().laid(piece)
    return print_figures(piece, laid.mesh, np.array(laid.matrix), plan or plan_with())


def wall_of(solid: Solid) -> float:
    found = figures(solid).wall
    assert found is not None
    return found.mm


def channel(wall: float, gap: float = 10.0) -> Solid:
    """Return a U of two walls on a floor 5 mm thick."""
    wide = 2 * wall + gap
    outline = [
        (0, 0),
        (wide, 0),
        (wide, 20),
        (wide - wall, 20),
        (wide - wall, 5),
        (wall, 5),
        (wall, 20),
        (0, 20),
    ]
    return prism(polygon(outline), section_at(0), (40, 0, 0))


# --- walls and gaps ----------------------------------------------------------------------------------------


@settings(max_examples=15, deadline=None)
@given(st.floats(0.2, 4.5), st.floats(0.3, 2.8))
def test_walls_and_gaps_of_a_channel_are_as_drawn(wall: float, gap: float) -> None:
    found = figures(channel(wall, gap))
    assert found.wall is not None and found.gap is not None
    assert found.wall.mm == pytest.approx(wall, abs=1e-6)
    assert found.gap.mm == pytest.approx(gap, abs=1e-6)


def test_a_tube_and_a_thick_block() -> None:
    tube = cut(
        cylinder((0, 0, 0), (0, 0, 1), 20, 30),
        cylinder((0, 0, -1), (0, 0, 1), 18.8, 32),
        part="t",
        feature="t",
    )
    assert wall_of(tube) == pytest.approx(1.2, abs=2 * CHORD_MM)
    assert wall_of(box((0, 0, 0), (60, 30, 25))) == pytest.approx(25, abs=1e-6), "sought as deep as need be"


def test_a_blunt_wedge_is_as_thin_as_its_thin_end() -> None:
    """10° between its faces, 1.5 mm thick at the end: square to one face, the ray meets the other there."""
    wedge = prism(
        polygon([(0, 0), (40, 0), (40, 1.5 + 40 * tan(radians(10))), (0, 1.5)]), side_at(0), (0, 20, 0)
    )
    assert wall_of(wedge) == pytest.approx(1.5, rel=0.03)


def test_a_square_edge_is_no_wall_but_a_knife_s_edge_is() -> None:
    for angle, thin in ((60, False), (45, False), (20, True), (8, True)):
        ridge = prism(polygon([(0, 0), (30, 0), (30, 30 * tan(radians(angle)))]), side_at(0), (0, 20, 0))
        failing = figures(ridge).failures
        assert any("wall" in failure for failure in failing) == thin, angle


def test_a_wall_too_thin_for_the_nozzle_is_refused() -> None:
    assert least_wall_mm(0.4) == 0.8 and least_wall_mm(0.6) == 1.2 and least_wall_mm(0.25) == 0.8
    assert figures(channel(0.85)).passes
    (failure,) = figures(channel(0.75)).failures
    assert "0.75 mm" in failure and "0.8" in failure
    assert not figures(channel(1.1), plan=plan_with("nozzle = 0.6")).passes
    (failure,) = figures(channel(2, gap=0.3)).failures
    assert "gap of 0.30 mm" in failure


def opened(section: Polygon, thick: float) -> float:
    """Return the area that a section loses when whatever is thinner than `thick` is wiped out of it."""
    kept = section.buffer(-thick / 2, join_style="mitre").buffer(thick / 2, join_style="mitre")
    return float(section.difference(kept.buffer(1e-6)).area)


def thinnest_of(section: Polygon) -> float:
    """Return the thickness at which walls begin to vanish: morphological opening, by bisection."""
    low, high = 0.05, 12.0
    while high - low > 1e-4:
        middle = (low + high) / 2
        low, high = (middle, high) if opened(section, middle) < 0.5 else (low, middle)
    return low


@pytest.mark.parametrize("form", ["round", "hollow"])
@pytest.mark.parametrize(("radius", "arc"), [(8, 180), (25, 90), (40, 60)])
def test_walls_of_the_blocks_agree_with_their_slices(form: str, radius: float, arc: float) -> None:
    """An independent measure: the mesh sliced by trimesh, its section opened by shapely's buffers."""
    fixture = build_fixture("sanding_blocks", plan_with("", form, radius, arc), lettered=False)
    assert isinstance(fixture, Fixture)
    piece = fixture.pieces[0]
    laid = Meshes().laid(piece)
    found = print_figures(piece, laid.mesh, np.array(laid.matrix), plan_with())
    mesh = trimesh.Trimesh(laid.mesh.points, laid.mesh.triangles)
    pairs = trimesh.intersections.mesh_plane(mesh, (0, 0, 1), (0, 0, 41.3))
    (section,) = polygonize(LineString(pair) for pair in np.round(pairs[:, :, :2], 6))
    assert found.wall is not None
    assert found.wall.mm == pytest.approx(thinnest_of(section), abs=0.05)


def brute_walls(mesh: Mesh, points: np.ndarray, normals: np.ndarray) -> np.ndarray:
    """Return the nearest hit behind each point among all triangles: rays against planes, by hand in numpy."""
    a, b, c = (mesh.points[mesh.triangles[:, i]] for i in range(3))
    found = []
    for p, n in zip(points, normals, strict=True):
        pv = np.cross(-n, c - a)
        det = np.einsum("ij,ij->i", b - a, pv)
        with np.errstate(divide="ignore", invalid="ignore"):
            u = np.einsum("ij,ij->i", p - a, pv) / det
            qv = np.cross(p - a, b - a)
            v = np.einsum("ij,j->i", qv, -n) / det
            t = np.einsum("ij,ij->i", c - a, qv) / det
            hit = (np.abs(det) > 1e-12) & (u >= -1e-9) & (v >= -1e-9) & (u + v <= 1 + 1e-9) & (t > 1e-4)
        found.append(t[hit].min() if hit.any() else np.inf)
    return np.array(found)


@pytest.mark.parametrize("name", ["cornice-round", "skirting-round"])
def test_rays_agree_with_rays_reckoned_by_hand(name: str) -> None:
    """Lettered and all: whatever the report calls a wall is as thick as plain arithmetic says."""
    for piece in product(name).pieces():
        if piece.made == "printed":
            found = probes(Meshes().laid(piece).mesh)
            some = np.flatnonzero(np.isfinite(found.walls))[::37]
            hand = brute_walls(Meshes().laid(piece).mesh, found.points[some], found.normals[some])
            assert found.walls[some] == pytest.approx(hand, abs=2e-3), piece.name


def test_letters_are_told_apart_from_walls() -> None:
    block = box((0, 0, 0), (60, 20, 3))
    label = Label("R16 TOE", (30, 10, 3), (0, 0, 1), (0, 1, 0), 6.0)
    found = figures(engraved(block, (label,)), (label,))
    assert found.wall is not None and found.wall.mm == pytest.approx(3 - 0.6, abs=1e-6), "under the letters"
    assert found.stroke is not None and 0.15 * 6 - 0.05 <= found.stroke.mm <= 0.26 * 6 + 0.05
    assert found.island is not None and found.island.mm > 0.4
    unsaid = figures(engraved(block, (label,)))
    assert unsaid.wall is not None and unsaid.wall.mm < 2.4, "without the labels they are walls like any"


def test_an_open_mesh_is_refused() -> None:
    mesh = tessellate(box((0, 0, 0), (5, 5, 5)))
    with pytest.raises(ValueError, match="not closed"):
        probes(Mesh(mesh.points, mesh.triangles[1:]))


# --- overhangs ---------------------------------------------------------------------------------------------


def leaning(angle: float) -> Solid:
    """Return a column whose one side hangs over by an angle from plumb, 20 mm high and 30 mm deep."""
    lean = 20 * tan(radians(angle))
    return prism(polygon([(0, 0), (30, 0), (30, 20), (-lean, 20)]), side_at(0), (0, 30, 0))


@pytest.mark.parametrize("angle", [0, 20, 44.9, 45])
def test_up_to_45_degrees_from_plumb_nothing_hangs(angle: float) -> None:
    assert figures(leaning(angle)).overhang_mm2 == 0


@pytest.mark.parametrize("angle", [45.2, 50, 70])
def test_what_hangs_over_is_measured_and_must_be_owned_up_to(angle: float) -> None:
    found = figures(leaning(angle))
    assert found.overhang_mm2 == pytest.approx(30 * 20 / cos(radians(angle)), rel=1e-6)
    assert any("hang over" in failure for failure in found.failures)
    owned = replace(found, overhang_ok="it bridges")
    assert not any("hang over" in failure for failure in owned.failures)


def test_a_lying_hole_prints_without_support_and_a_round_one_does_not() -> None:
    block = box((0, 0, 0), (20, 20, 20))
    kept = cut(block, lying_hole((10, -1, 10), (0, 1, 0), (0, 0, 1), 3, 22), part="b", feature="hole")
    plain = cut(block, cylinder((10, -1, 10), (0, 1, 0), 3, 22), part="b", feature="hole")
    assert figures(kept).overhang_mm2 == 0
    assert figures(plain).overhang_mm2 == pytest.approx(2 * 3 * (pi / 4) * 20, rel=0.08)
    assert block.Volume() - kept.Volume() == pytest.approx(20 * 9 * (pi * 0.75 + 1), rel=1e-6)


# --- mass, holes -------------------------------------------------------------------------------------------


def test_mass_is_volume_times_density() -> None:
    assert DENSITY_G_CM3 == {"PLA": 1.24, "PETG": 1.27, "ABS": 1.04}
    found = figures(box((0, 0, 0), (50, 40, 10)), plan=plan_with('filament = "PETG"'))
    assert found.size == pytest.approx((50, 40, 10)) and found.volume_mm3 == pytest.approx(20_000)
    assert found.mass_g == pytest.approx(25.4) == mass_g(20_000, "PETG")


def test_facets_take_off_what_the_closed_form_says() -> None:
    """r(1 - cos(pi/N)): r 4, N 32 gives 0.0193 mm."""
    assert facet_loss_mm(4, 32) == pytest.approx(0.0193, abs=5e-5)
    for radius in (0.9, 2.2, 6.0, 40.0):
        count = facets(radius, 0.01, 0.2)
        assert facet_loss_mm(radius, count) <= 0.01 + 1e-9 and 2 * pi / count <= 0.2 + 1e-9


@pytest.mark.parametrize("diameter", [1.75, 4.0, 8.0])
def test_a_pin_passes_a_printed_hole_with_the_clearance_all_round(diameter: float) -> None:
    plan = plan_with()
    hole = printed_hole_mm(diameter, plan)
    block = cut(
        box((-9, -9, 0), (9, 9, 9)), cylinder((0, 0, -1), (0, 0, 1), hole / 2, 11), part="b", feature="hole"
    )
    mesh = tessellate(block)
    middles = (mesh.points[mesh.triangles] @ np.diag([1.0, 1.0, 0.0])).reshape(-1, 3, 3)
    edges = np.concatenate([(middles[:, i] + middles[:, i - 1]) / 2 for i in range(3)])
    nearest = np.linalg.norm(edges, axis=1)
    nearest = nearest[nearest > 0.1].min()
    assert nearest >= diameter / 2 + plan.spec.shop.printer.clearance - 2e-3


# --- all fixtures ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", fixture_names())
def test_every_print_of_the_demos_comes_out(name: str, demo: Plan) -> None:
    fixture = build_fixture(name, demo, lettered=False)
    assert isinstance(fixture, Fixture)
    proof = prove_prints(fixture, demo)
    assert proof.passes, proof.failures
    assert len(proof.prints) == sum(piece.made == "printed" for piece in fixture.pieces)


def test_lettered_prints_come_out_too() -> None:
    for demo in ("cornice-round", "skirting-round"):
        plan, meshes = derive(read_spec(demo_path(demo))), Meshes()
        for piece in product(demo).pieces():
            if piece.made == "printed":
                laid = meshes.laid(piece)
                found = print_figures(piece, laid.mesh, np.array(laid.matrix), plan)
                assert found.passes, found.failures
                mesh = trimesh.Trimesh(laid.mesh.points, laid.mesh.triangles)
                assert mesh.is_watertight and mesh.volume == pytest.approx(found.volume_mm3)
                # All that hangs over is told, the roofs of letters by themselves.
                lifted = mesh.triangles[:, :, 2].max(axis=1) > 0.45
                hanging = (mesh.face_normals[:, 2] < -sin(radians(45.05))) & lifted
                told = found.overhang_mm2 + found.letter_roofs_mm2
                assert told == pytest.approx(float(mesh.area_faces[hanging].sum()), abs=0.05)
                said = any(" mm² over letters" in line for line in print_lines(found))
                assert said == (found.letter_roofs_mm2 > 1)


@pytest.mark.parametrize("name", fixture_names())
def test_overhangs_are_those_that_trimesh_finds(name: str, demo: Plan) -> None:
    fixture = build_fixture(name, demo, lettered=False)
    assert isinstance(fixture, Fixture)
    for found in prove_prints(fixture, demo).prints:
        (piece,) = (piece for piece in fixture.pieces if piece.name == found.piece)
        laid = Meshes().laid(piece).mesh
        mesh = trimesh.Trimesh(laid.points, laid.triangles, process=False)
        lifted = mesh.triangles[:, :, 2].max(axis=1) > 0.45
        hanging = (mesh.face_normals[:, 2] < -sin(radians(45.05))) & lifted
        assert found.overhang_mm2 == pytest.approx(float(mesh.area_faces[hanging].sum()), abs=0.01), (
            piece.name
        )


def test_words_too_fine_for_a_nozzle_are_left_to_the_pen() -> None:
    plan = plan_with("nozzle = 1.2")
    made = build_fixture("saw_guide", plan)
    assert isinstance(made, Fixture)
    assert made.pieces[0].labels == ()
    assert any("by hand" in note and "HEEL" in note for note in made.notes)


def test_a_broken_piece_makes_prove_fail(demo: Plan) -> None:
    fixture = build_fixture("saw_guide", demo, lettered=False)
    assert isinstance(fixture, Fixture)
    (piece,) = fixture.pieces
    low, high = extent(piece.solid)
    # A slot that leaves 0.5 mm of the hook's top, less beside the relief.
    slot = box((low[0] - 1, low[1] + 5, high[2] - 1.5), (high[0] + 1, low[1] + 10, high[2] - 0.5))
    thin = replace(piece, solid=cut(piece.solid, slot, part="guide", feature="slot"))
    proof = prove_prints(replace(fixture, pieces=(thin,)), demo)
    assert any("a wall of 0.3" in failure for failure in proof.failures), proof.failures


def test_laid_down_pieces_keep_their_overhangs_with_them() -> None:
    """The same column lying on its long side hangs nowhere."""
    column = leaning(60)
    bed = flat_face_at(column, (30, 15, 10), (1, 0, 0), "column")
    mesh = tessellate(column)
    lying = mesh.moved(matrix_of(laid_down(mesh, bed, "column")))
    assert overhangs(lying).area() == pytest.approx(0)
    assert overhangs(mesh).area() == pytest.approx(30 * sqrt(20**2 + (20 * tan(radians(60))) ** 2))


def test_tips_of_a_half_round_s_template_are_owned_up_to() -> None:
    fixture = build_fixture("end_templates", plan_with("", "hollow", 8, 180), lettered=False)
    assert isinstance(fixture, Fixture)
    proof = prove_prints(fixture, plan_with("", "hollow", 8, 180))
    assert proof.passes and all(found.is_thin and found.thin_ok for found in proof.prints)
    assert any("dividers" in note and "tips" in note for note in fixture.notes)
    blunt = build_fixture("end_templates", plan_with("", "hollow", 8, 90), lettered=False)
    assert isinstance(blunt, Fixture)
    assert not any(piece.thin_ok for piece in blunt.pieces) and prove_prints(blunt, plan_with()).passes
