"""First-layer relief: no face that locates work or tool comes down to the print bed."""

from __future__ import annotations

import numpy as np
import pytest
from cadquery import Face
from manifold3d import Manifold
from manifold3d import Mesh as ManifoldMesh
from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union

from cad.geometry import Plan
from cad.kernel.measure import flat_face_at
from cad.kernel.mesh import tessellate
from cad.kernel.relieving import relieved
from cad.kernel.shapes import box, prism, side_at
from cad.outline import Path, polygon
from fixtures.bench.first_layer import RELIEF_MM, locating_faces
from fixtures.bench.model import Fixture, Piece
from fixtures.bench.workshop import build_fixture, fixture_names
from fixtures.sanding_blocks import section_for
from tests.planes import plan_of, spec_text


def bed_of(piece: Piece) -> Face:
    return flat_face_at(piece.solid, piece.bed_face.point, piece.bed_face.normal, piece.name)


def test_locating_edges_on_the_bed_are_relieved(demo: Plan) -> None:
    """No face that a set-up measures comes down to the bed: each stops 0.4 mm short or never came near."""
    for name in fixture_names():
        fixture = build_fixture(name, demo, lettered=False)
        assert isinstance(fixture, Fixture)
        assert not any("flare" in note for note in fixture.notes)
        for piece in fixture.pieces:
            if piece.made != "printed":
                continue
            bed = bed_of(piece)
            own = [face for face in locating_faces(piece, fixture) if not face.isSame(bed)]
            shared = [
                e for face in own for e in face.Edges() if any(e.isSame(other) for other in bed.Edges())
            ]
            assert not shared, (name, piece.name)


def test_blocks_are_relieved_at_the_foot_of_their_working_face(demo: Plan) -> None:
    fixture = build_fixture("sanding_blocks", demo, lettered=False)
    assert isinstance(fixture, Fixture)
    for piece in fixture.pieces:
        x = piece.bed_face.point[0]
        starts = [face.BoundingBox().xmin - x for face in locating_faces(piece, fixture)]
        assert starts == pytest.approx([RELIEF_MM] * len(starts), abs=1e-3)


def test_a_relief_is_a_chamfer_of_its_depth() -> None:
    block = box((0, 0, 0), (30, 20, 10))
    bed, side = (
        flat_face_at(block, (15, 10, 0), (0, 0, -1), "b"),
        flat_face_at(block, (15, 0, 5), (0, -1, 0), "b"),
    )
    made = relieved(block, bed, [side], 0.4)
    assert made is not None and made.isValid()
    assert block.Volume() - made.Volume() == pytest.approx(0.4**2 / 2 * 30, rel=1e-9)
    top = flat_face_at(block, (15, 10, 10), (0, 0, 1), "b")
    assert relieved(block, bed, [top], 0.4) is block, "a face that does not come down to the bed"


def test_steps_finer_than_the_relief_are_cut_off_all_the_same() -> None:
    """The kernel's chamfer fails here: a step of 0.1 mm in the locating faces."""
    outline = polygon([(0, 0), (30, 0), (30, 20), (10, 20), (10, 19.9), (0, 19.9)])
    block = prism(outline, side_at(0), (0, 10, 0))
    bed = flat_face_at(block, (15, 0, 10), (0, -1, 0), "b")
    faces = [flat_face_at(block, at, (0, 0, 1), "b") for at in ((20, 5, 20), (5, 5, 19.9))]
    made = relieved(block, bed, faces, 0.4)
    assert made is not None and made.isValid()
    assert block.Volume() - made.Volume() == pytest.approx(0.08 * 30, rel=0.05)


def test_arcs_that_the_kernel_cannot_chamfer_are_cut_off_where_they_lie() -> None:
    """The kernel's chamfer fails beside a slight kink, and the tool was once turned the wrong way about.

    Judged by manifold3d and shapely: half the relief above the bed the print is its outline less strips along
    the faces that are relieved.
    """
    plan = plan_of(
        'name = "t"\n[sole]\nform = "thumbnail"\nwidth = 31\ndepth = 9.4\nnose = 5\nturn = 75\n'
        '[shop.abrasive]\ngrits = ["P100"]\n'
    )
    fixture = build_fixture("sanding_blocks", plan, lettered=False)
    assert isinstance(fixture, Fixture)
    (piece,) = fixture.pieces
    block = section_for(plan, "P100")
    mesh = tessellate(piece.solid)
    across = mesh.points[:, [1, 2, 0]].astype(np.float32)  # x upwards, as manifold3d slices
    lying = Manifold(ManifoldMesh(across, mesh.triangles.astype(np.uint32)))
    (loop,) = lying.slice(piece.bed_face.point[0] + RELIEF_MM / 2).to_polygons()
    inside = Polygon(loop)
    outline = Polygon(block.outline.points(0.001))
    relieved_faces = [block.plate_land, *block.over_sole, block.blind_land]
    strips = unary_union([LineString(Path((face,)).points(0.001)) for face in relieved_faces])
    off = outline.difference(inside.buffer(0.002))
    assert off.area == pytest.approx(strips.length * RELIEF_MM / 2, rel=0.05)
    assert off.difference(strips.buffer(RELIEF_MM)).area < 1e-3


@pytest.mark.parametrize("form", ["round", "hollow"])
@pytest.mark.parametrize(("radius", "arc"), [(3, 60), (8, 180), (16, 120), (40, 180)])
def test_reliefs_over_the_range(form: str, radius: float, arc: float) -> None:
    plan = plan_of(spec_text(form, radius, arc, 50, "right"))
    for name in ("saw_guide", "sanding_blocks", "end_templates"):
        fixture = build_fixture(name, plan, lettered=False)
        if isinstance(fixture, Fixture):
            assert not any("flare" in note for note in fixture.notes), name
