"""Words cut into flat faces without booleans.

Outside references: shapely's areas, the kernel's boolean cut and its validity check, and trimesh's opinion
of the mesh.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import cadquery.func as cq
import numpy as np
import pytest
import trimesh
from cadquery import Face, Location, Shape, Solid, Vector, importers
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from shapely import Polygon

from cad.errors import KernelError
from cad.kernel.engrave import DEPTH_MM, MARGIN_MM, engraved, fitting_height
from cad.kernel.lettered import lettering_of
from cad.kernel.lettering import Ring, bounds, letters
from cad.kernel.measure import is_plane, plane_of, volume_mm3
from cad.kernel.mesh import tessellate
from cad.kernel.shapes import Triple, box, cut, cylinder, mirrored


@dataclass(frozen=True)
class Words:
    text: str
    at: Triple
    normal: Triple = (0, 0, 1)
    up: Triple = (0, 1, 0)
    height: float = 6.0


def area(text: str, height: float) -> float:
    """Return the inked area of a word by shapely, mm²."""
    return sum(Polygon(letter.outer, letter.holes).area for letter in letters(text, height))


def volume(solid: Solid) -> float:
    """Return the volume by the kernel's own integration, held to 1e-9 of the whole."""
    properties = GProp_GProps()
    BRepGProp.VolumePropertiesGK_s(solid.wrapped, properties, 1e-9)
    return float(properties.Mass())


def prove(before: Solid, after: Solid, lost: float) -> None:
    """Assert one valid closed solid, less the letters' volume, whose mesh is watertight."""
    assert after.ShapeType() == "Solid"
    assert after.isValid()
    assert [shell.wrapped.Closed() for shell in after.Shells()] == [True]
    assert volume(after) == pytest.approx(volume(before) - lost, rel=1e-6)
    assert volume(before) - volume(after) == pytest.approx(lost, rel=1e-5)
    mesh = tessellate(after)
    checked = trimesh.Trimesh(mesh.points, mesh.triangles, process=False)
    assert checked.is_watertight
    assert checked.is_winding_consistent
    assert checked.volume == pytest.approx(volume(after), rel=1e-4)


BLOCK = box((0, 0, 0), (150, 40, 20))
LINE = Words("HOLLOW 12.7 B8°", (75, 20, 20))


def test_a_word_takes_its_area_times_its_depth() -> None:
    prove(BLOCK, engraved(BLOCK, [LINE]), DEPTH_MM * area(LINE.text, 6.0))


def test_the_kernel_s_boolean_cut_agrees() -> None:
    made = engraved(BLOCK, [LINE])
    by_boolean = cut(BLOCK, *prisms(LINE.text, LINE.height, LINE.at), part="block", feature="letters")
    assert volume(made) == pytest.approx(volume(by_boolean), rel=1e-9)
    assert len(made.Faces()) == len(by_boolean.Faces())


def prisms(text: str, height: float, at: Triple) -> list[Shape]:
    """Return the letters as solids that reach DEPTH_MM down from a level face, by cadquery alone."""
    x, y, z = at

    def wire(ring: Ring) -> Shape:
        return cq.polygon(*((x + a, y + b, z) for a, b in ring))

    return [
        cq.extrude(cq.face(wire(letter.outer), *map(wire, letter.holes)), Vector(0, 0, -DEPTH_MM))
        for letter in letters(text, height)
    ]


SIDES: list[tuple[Triple, Triple]] = [
    ((0, 0, 1), (0, 1, 0)),
    ((0, 0, -1), (1, 0, 0)),
    ((0, 1, 0), (0, 0, 1)),
    ((0, -1, 0), (0, 0, -1)),
    ((1, 0, 0), (0, 1, 1)),
    ((-1, 0, 0), (0, 1, -3)),
]


def test_words_on_all_six_sides_read_rightly_from_outside() -> None:
    """An L has its foot to the right of its stem, for a reader whose line of sight is against the normal."""
    cube = box((-15, -15, -15), (15, 15, 15))
    labels = [Words("L", scaled(normal, 15), normal, up, 12.0) for normal, up in SIDES]
    made = engraved(cube, labels)
    prove(cube, made, 6 * DEPTH_MM * area("L", 12.0))
    for normal, up in SIDES:
        out, tops = np.array(normal), np.array(up) / np.linalg.norm(up)
        right = np.cross(-out, tops)  # line of sight × up
        (floor,) = [
            face
            for face in made.Faces()
            if np.allclose(plane_of(face).normal, out)
            and plane_of(face).height(scaled(normal, 15)) == pytest.approx(DEPTH_MM)
        ]
        corners = np.array([vertex.toTuple() for vertex in floor.Vertices()])
        upward, sideways = corners @ tops, corners @ right
        head, foot = sideways[upward > upward.max() - 0.1], sideways[upward < upward.min() + 0.1]
        assert upward.max() - upward.min() == pytest.approx(12.0)
        assert head.min() == pytest.approx(foot.min())
        assert foot.max() > head.max() + 3


def scaled(v: Triple, by: float) -> Triple:
    return (v[0] * by, v[1] * by, v[2] * by)


def paddle() -> Solid:
    """Return a plate with a round end, a round hole and a leaning end: curved outline, hole, odd angles."""
    plate = box((0, 0, 0), (80, 30, 8)).fuse(cylinder((80, 15, 0), (0, 0, 1), 15, 8)).clean()
    wedge = box((-40, -10, -20), (0, 40, 20)).rotate(Vector(0, 0, 0), Vector(0, 1, 0), 20)
    return cut(plate.Solids()[0], wedge, cylinder((80, 15, -1), (0, 0, 1), 4, 10), part="paddle", feature="x")


PADDLE_LABELS = (
    Words("8BO 47.5°", (40, 20, 8)),
    Words("HEEL", (40, 8, 8), up=(0.2, 1, 0), height=5.0),
    Words("R6", (60, 15, 0), (0, 0, -1), (0, -1, 0)),
    Words("É½", (30, 0, 4), (0, -1, 0), (0, 0, 1), 4.0),
)
PADDLE_LOST = DEPTH_MM * sum(area(label.text, label.height) for label in PADDLE_LABELS)


def test_several_labels_on_several_faces_in_one_go() -> None:
    prove(paddle(), engraved(paddle(), PADDLE_LABELS), PADDLE_LOST)


def test_a_moved_solid_is_lettered_where_it_stands() -> None:
    place = Location(Vector(13, -7, 21), Vector(1, 2, 3), 40)
    moved = paddle().moved(place).moved(Location(Vector(5, 5, 5), Vector(0, 1, 0), 75))
    assert not moved.wrapped.Location().IsIdentity()

    def carried(v: Triple, is_point: bool) -> Triple:
        whole = Location(Vector(5, 5, 5), Vector(0, 1, 0), 75) * place
        spot = (whole * Location(Vector(*v))).toTuple()[0]
        origin = whole.toTuple()[0]
        return spot if is_point else (spot[0] - origin[0], spot[1] - origin[1], spot[2] - origin[2])

    labels = [
        Words(one.text, carried(one.at, True), carried(one.normal, False), carried(one.up, False), one.height)
        for one in PADDLE_LABELS
    ]
    prove(moved, engraved(moved, labels), PADDLE_LOST)


@pytest.mark.parametrize(
    "mirror", [mirrored, lambda solid: solid.mirror("XZ"), lambda solid: solid.mirror("YZ")]
)
def test_a_mirrored_solid_is_lettered_unmirrored(mirror: Callable[[Solid], Shape]) -> None:
    other = mirror(paddle().moved(Location(Vector(0, 2, 0), Vector(0, 0, 1), 30)))
    (other,) = other.Solids()
    (top,) = level_faces(other, 8)
    middle = top.Center().toTuple()
    label = Words("LF", (middle[0], middle[1], 8), height=6.0)
    made = engraved(other, [label])
    prove(other, made, DEPTH_MM * area("LF", 6.0))
    stem, flag = sorted(level_faces(made, 8 - DEPTH_MM), key=lambda face: face.Center().x)
    assert stem.Center().y < middle[1] < flag.Center().y  # the L is heavy below, the F above and to its right


def level_faces(solid: Shape, z: float) -> list[Face]:
    """Return the level faces at one height."""
    flat = [face for face in solid.Faces() if is_plane(face) and abs(plane_of(face).normal[2]) > 1 - 1e-9]
    return [face for face in flat if face.Center().z == pytest.approx(z, abs=1e-9)]


def test_a_hollow_solid_keeps_its_hollow() -> None:
    hollow = cut(BLOCK, box((10, 10, 5), (140, 30, 15)), part="block", feature="hollow")
    assert len(hollow.Shells()) == 2
    made = engraved(hollow, [LINE])
    assert made.isValid()
    assert len(made.Shells()) == 2
    assert volume(hollow) - volume(made) == pytest.approx(DEPTH_MM * area(LINE.text, 6.0), rel=1e-6)


def test_old_triangles_do_not_outlive_the_face_they_were_made_for() -> None:
    block = box((0, 0, 0), (60, 20, 10))
    assert tessellate(block).volume == pytest.approx(12000)
    prove(block, engraved(block, [Words("BOO", (30, 10, 10))]), DEPTH_MM * area("BOO", 6.0))


def test_triangles_and_volume_agree_with_what_the_kernel_finds_of_the_faces() -> None:
    made = engraved(paddle(), PADDLE_LABELS)
    known_by_faces_alone = Solid(made.wrapped)
    assert lettering_of(made) and not lettering_of(known_by_faces_alone)
    ours, kernel_s = tessellate(made), tessellate(known_by_faces_alone)
    assert np.unique(ours.points.round(6), axis=0) == pytest.approx(
        np.unique(kernel_s.points.round(6), axis=0), abs=1e-6
    )
    assert len(ours.triangles) == len(kernel_s.triangles)
    areas = [trimesh.Trimesh(mesh.points, mesh.triangles).area for mesh in (ours, kernel_s)]
    assert areas[0] == pytest.approx(areas[1], rel=1e-9)
    assert volume_mm3(made) == pytest.approx(volume(known_by_faces_alone), rel=1e-9)


def test_a_moved_copy_is_measured_by_its_faces() -> None:
    made = engraved(BLOCK, [LINE])
    there = made.moved(Location(Vector(1, 2, 3)))
    assert isinstance(there, Solid) and lettering_of(there) is None
    assert tessellate(there).points.min(axis=0) == pytest.approx((1, 2, 3))
    assert volume_mm3(there) == pytest.approx(volume_mm3(made), rel=1e-9)


def test_a_lettered_face_can_be_lettered_again_beside_the_first_words() -> None:
    first = engraved(BLOCK, [Words("ONE", (75, 30, 20))])
    prove(first, engraved(first, [Words("TWO", (75, 10, 20))]), DEPTH_MM * area("TWO", 6.0))
    with pytest.raises(KernelError, match=r"'TWO'.*do not fit"):
        engraved(first, [Words("TWO", (75, 28, 20))])


def test_letters_measure_the_same_when_read_back_from_step(tmp_path: Path) -> None:
    made = engraved(BLOCK, [LINE])
    made.exportStep(str(tmp_path / "block.step"))
    (back,) = importers.importStep(str(tmp_path / "block.step")).solids().vals()
    assert back.isValid()
    assert volume(BLOCK) - volume(back) == pytest.approx(DEPTH_MM * area(LINE.text, 6.0), rel=1e-6)
    floors = sum(face.Area() for face in level_faces(back, 20 - DEPTH_MM))
    assert floors == pytest.approx(area(LINE.text, 6.0), rel=1e-9)


# --- refusals ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("solid", "labels", "words"),
    [
        (BLOCK, [Words("HEEL", (5, 20, 20))], "do not fit on the face"),
        (BLOCK, [Words("I", (75, 36.8, 20))], "within 0.20 mm of an edge"),
        (BLOCK, [Words("HEEL", (75, 20, 30))], "no flat face"),
        (BLOCK, [Words("HEEL", (75, 20, 20), up=(0, 0, 1))], "up does not lie"),
        (BLOCK, [Words("  ", (75, 20, 20))], "no letters"),
        (
            BLOCK,
            [Words("HEEL", (75, 20, 20)), Words("TOE", (75, 26.2, 20))],
            r"within 0\.\d+ mm of those of 'HEEL'",
        ),
        (
            BLOCK,
            [Words("HEEL", (75, 20, 20)), Words("TOE", (80, 20, 20))],
            "within 0.00 mm of those of 'HEEL'",
        ),
        (paddle(), [Words("I", (75.1, 15, 8))], r"within 0\.1\d mm of an edge or hole"),
        (paddle(), [Words("HEEL", (72, 15, 8))], "do not fit"),
        (paddle(), [Words("HI", (85, 22, 8))], "of an edge or hole|do not fit"),
        (box((0, 0, 0), (60, 20, 0.8)), [Words("HEEL", (30, 10, 0.8))], "within 0.20 mm of another face"),
        (
            box((0, 0, 0), (60, 20, 1.4)),
            [Words("HEEL", (30, 10, 1.4)), Words("HEEL", (30, 10, 0), (0, 0, -1))],
            "within 0.20 mm of another face",
        ),
    ],
)
def test_letters_that_would_spoil_the_part_are_refused(solid: Solid, labels: list[Words], words: str) -> None:
    with pytest.raises(KernelError, match=words) as caught:
        engraved(solid, labels)
    assert any(repr(label.text) in str(caught.value) for label in labels)


def test_a_pocket_that_would_break_through_a_leaning_side_is_refused() -> None:
    leaning = cut(
        box((0, 0, 0), (40, 20, 20)),
        box((-40, -5, -40), (0, 25, 40)).rotate(Vector(0, 0, 20), Vector(0, 1, 20), -45),
        part="block",
        feature="undercut",
    )
    low = bounds(letters("I", 6.0))[0]
    with pytest.raises(KernelError, match="another face"):
        engraved(leaning, [Words("I", (1.0 - low, 10, 20))])
    wide = Words("I", (2.0 - low, 10, 20))
    prove(leaning, engraved(leaning, [wide]), DEPTH_MM * area("I", 6.0))


def test_a_label_between_thin_plate_s_other_labels_is_no_trouble() -> None:
    plate = box((0, 0, 0), (60, 20, 1.4))
    labels = [Words("HEEL", (15, 10, 1.4)), Words("HEEL", (45, 10, 0), (0, 0, -1))]
    prove(plate, engraved(plate, labels), 2 * DEPTH_MM * area("HEEL", 6.0))


def test_a_depth_must_be_positive() -> None:
    with pytest.raises(ValueError, match="deep"):
        engraved(BLOCK, [LINE], 0.0)


# --- fitting ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", ["HEEL 47.5°", "R12", "jig, B8", "I"])
@pytest.mark.parametrize(("width", "height"), [(40.0, 9.0), (28.0, 30.0), (60.0, 6.6), (90.0, 20.0)])
def test_the_fitting_height_is_the_tallest_that_can_be_cut(text: str, width: float, height: float) -> None:
    found = fitting_height(text, width, height, most=12.0, least=1.0)
    assert found is not None
    assert found <= 12.0
    plate = box((0, 0, 0), (width, height, 5))
    middle = (width / 2, height / 2, 5.0)
    made = engraved(plate, [Words(text, middle, height=found)])
    assert volume(plate) - volume(made) == pytest.approx(DEPTH_MM * area(text, found), rel=1e-6)
    if found < 12.0:
        with pytest.raises(KernelError, match=r"edge|fit"):
            engraved(plate, [Words(text, middle, height=found + 0.1)])


def test_no_height_fits_a_face_too_small_for_the_nozzle() -> None:
    assert fitting_height("HEEL", 200, 4 + 2 * MARGIN_MM) == pytest.approx(4.0)
    assert fitting_height("HEEL", 200, 3.9 + 2 * MARGIN_MM) is None
    assert fitting_height("HEEL", 12, 50) is None
    assert fitting_height("HEEL", 0.5, 50) is None
    assert fitting_height("  ", 50, 50) is None
    assert fitting_height("HEEL", 200, 200) == 6.0
