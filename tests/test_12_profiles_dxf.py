"""Profiles read from DXF files that ezdxf has written, against ezdxf's own flattening, numpy and shapely."""

from __future__ import annotations

from collections.abc import Callable
from math import hypot, pi, tan

import numpy as np
import pytest
from ezdxf import path as ezpath
from ezdxf.document import Drawing as Document
from ezdxf.layouts import Modelspace
from ezdxf.math import BSpline, Vec3
from scipy.interpolate import BSpline as SciSpline

from cad.errors import ProfileError
from tests.drawings import FIT_MM, dxf, headings_met, laid, line_of, read_dxf

Draw = Callable[[Modelspace, Document], object]

OGEE = [(0, 5, 0), (4, 5, -0.4), (12, 0, 0.35), (20, 4, 0), (22, 4, 0)]
WAVE = [(0, 0), (5, 8), (10, -6), (15, -3), (20, 4), (26, 4)]


def lines_and_arcs(space: Modelspace, document: Document) -> None:
    space.add_lwpolyline([(8, 10, 0.3), (14, 8, -0.2), (20, 9, 0)], format="xyb")
    space.add_line((3, 5), (0, 5))
    space.add_arc((3, 10), 5, 270, 360)
    space.add_text("a profile")
    space.add_point((50, 50))


def test_lines_arcs_and_bulges_are_read_as_they_are_drawn() -> None:
    drawn = read_dxf(dxf(lines_and_arcs))
    quarter = tan(pi / 8)
    wanted = [(0, 0, 0), (3, 0, quarter), (8, 5, 0.3), (14, 3, -0.2), (20, 4, 0)]
    assert np.array(drawn.corners) == pytest.approx(np.array(wanted), abs=1e-9)
    assert drawn.unit == "millimetres" and (drawn.fitted, drawn.strays_mm) == (0, 0)
    assert [name.partition(" #")[0] for name in drawn.names] == ["LINE", "ARC", "LWPOLYLINE", "LWPOLYLINE"]


def test_a_polyline_agrees_with_the_flattening_of_ezdxf() -> None:
    def draw(space: Modelspace, document: Document) -> None:
        space.add_polyline2d(OGEE, format="xyb")

    content, flat = dxf(draw), []
    dxf(lambda space, _: flat.extend(ezpath.make_path(space.add_lwpolyline(OGEE, "xyb")).flattening(1e-4)))
    measured = line_of(read_dxf(content)).hausdorff_distance(laid([(p.x, p.y) for p in flat]))
    assert measured < 3e-3, "ezdxf flattens an arc by way of Bézier curves"


@pytest.mark.parametrize(("code", "mm"), [(1, 25.4), (2, 304.8), (4, 1.0), (5, 10.0), (6, 1000.0)])
def test_insunits_gives_the_unit(code: int, mm: float) -> None:
    """1 inches, 2 feet, 4 millimetres, 5 centimetres, 6 metres (DXF reference, header variables)."""
    drawn = read_dxf(dxf(lambda space, _: space.add_line((0, 0), (0.25, 0.125)), units=code))
    assert drawn.corners[-1][:2] == pytest.approx((0.25 * mm, 0.125 * mm))


@pytest.mark.parametrize("code", [0, 3, 20])
def test_without_a_usable_unit_the_cure_is_named(code: int) -> None:
    content = dxf(lambda space, _: space.add_line((0, 0), (10, 2)), units=code)
    with pytest.raises(ProfileError, match="profile_unit"):
        read_dxf(content)
    assert read_dxf(content, 25.4).corners[-1][0] == pytest.approx(254)


def test_a_spline_is_fitted_within_the_distance_asked_for() -> None:
    """Against scipy's B-spline of the same knots, sampled."""
    content = dxf(lambda space, _: space.add_open_spline(WAVE))
    knots = np.array(BSpline([Vec3(p) for p in WAVE]).knots())
    exact = SciSpline(knots, np.array(WAVE, float), 3)(np.linspace(knots[3], knots[-4], 4001))
    curve = laid([tuple(p) for p in exact])
    for fit in (0.1, FIT_MM, 0.005):
        drawn = read_dxf(content, fit_mm=fit)
        measured = line_of(drawn).hausdorff_distance(curve)
        assert measured <= fit * 1.02 + 1e-3, "1e-3: how far the samples of the spline lie apart, about"
        assert drawn.strays_mm <= fit * 1.05 and drawn.fitted == len(drawn.names)
        assert max(headings_met(drawn)) < 1e-3, "tangent all along"
    assert drawn.strays_mm == pytest.approx(measured, abs=1e-3)


def test_a_rational_spline_of_a_circle_becomes_that_circle() -> None:
    def draw(space: Modelspace, document: Document) -> None:
        spline = space.add_rational_spline([(0, 0), (10, 0), (10, 10)], [1, 0.5**0.5, 1], degree=2)
        assert spline.dxf.degree == 2

    drawn = read_dxf(dxf(draw), fit_mm=1e-6)
    spots = np.array(line_of(drawn).coords)
    assert np.hypot(spots[:, 0], spots[:, 1] - 10) == pytest.approx(10, abs=2e-4)


def test_ripples_between_few_samples_are_not_missed() -> None:
    """Sixteen waves, as many as a fit measured at sixteen steps would take for a straight line."""
    content = dxf(lambda space, _: space.add_open_spline([(n, 0.4 * (n % 2)) for n in range(33)]))
    drawn = read_dxf(content, fit_mm=0.1)
    knots = np.array(BSpline([Vec3(n, 0.4 * (n % 2)) for n in range(33)]).knots())
    exact = SciSpline(knots, np.array([(n, 0.4 * (n % 2)) for n in range(33)]), 3)
    curve = laid([tuple(p) for p in exact(np.linspace(knots[3], knots[-4], 4001))])
    assert curve.bounds[3] > 0.2
    assert line_of(drawn).hausdorff_distance(curve) <= 0.1 + 2e-3


def test_a_corner_within_a_spline_is_kept() -> None:
    def draw(space: Modelspace, document: Document) -> None:
        corner = [(0, 0), (2, 4), (5, 6), (8, 6), (9, 1), (12, 0), (16, 0)]
        space.add_spline().apply_construction_tool(
            BSpline([Vec3(p) for p in corner], order=4, knots=[0, 0, 0, 0, 1, 1, 1, 2, 2, 2, 2])
        )

    drawn = read_dxf(dxf(draw))
    turns = headings_met(drawn)
    assert max(turns) == pytest.approx(np.degrees(np.arctan2(5, 1)), abs=0.01)
    assert sum(turn > 0.01 for turn in turns) == 1
    assert any(hypot(y - 8, z - 6) < 1e-6 for y, z, _ in drawn.corners)


@pytest.mark.parametrize("turned_deg", [0, 25])
def test_an_ellipse_agrees_with_its_equation(turned_deg: float) -> None:
    a = np.radians(turned_deg)
    major, ratio = np.array([10 * np.cos(a), 10 * np.sin(a)]), 0.5
    minor = ratio * np.array([-major[1], major[0]])
    drawn = read_dxf(dxf(lambda space, _: space.add_ellipse((3, 4), (*major,), ratio, pi * 1.1, pi * 1.8)))
    t = np.linspace(pi * 1.1, pi * 1.8, 2001)[:, None]
    curve = laid([tuple(p) for p in np.array([3, 4]) + np.cos(t) * major + np.sin(t) * minor])
    assert line_of(drawn).hausdorff_distance(curve) <= FIT_MM + 1e-3
    assert 0 < drawn.strays_mm <= FIT_MM * 1.05


def test_what_faces_down_is_read_as_it_is_seen() -> None:
    """An extrusion of (0, 0, -1) turns the first axis about: DXF reference, arbitrary axis algorithm."""

    below, seen = {"extrusion": (0, 0, -1)}, []

    def draw(space: Modelspace, document: Document) -> None:
        for shape in (
            space.add_arc((-10, 5), 5, 200, 320, dxfattribs=below),
            space.add_lwpolyline([(0, 9, 0), (-5, 5, 0.4), (-8, 5, 0)], "xyb", dxfattribs=below),
        ):
            seen.append(laid([(p.x, p.y) for p in ezpath.make_path(shape).flattening(1e-5)]))
            if len(seen) == 1:
                space.delete_entity(shape)

    polyline = dxf(draw)
    arc = dxf(lambda space, _: space.add_arc((-10, 5), 5, 200, 320, dxfattribs=below))
    for content, as_seen in zip((arc, polyline), seen, strict=True):
        assert line_of(read_dxf(content)).hausdorff_distance(as_seen) < 3e-3


def test_hidden_layers_are_passed_over() -> None:
    def draw(space: Modelspace, document: Document) -> None:
        lines_and_arcs(space, document)
        document.layers.add("HELP").off()
        document.layers.add("ICE").freeze()
        document.layers.add("AXES").dxf.plot = 0
        document.layers.get("Defpoints").dxf.plot = 1  # it never is plotted, whatever its flag says
        for name in ("HELP", "ICE", "AXES", "Defpoints"):
            space.add_circle((0, 0), 50, dxfattribs={"layer": name})

    assert read_dxf(dxf(draw)).corners == read_dxf(dxf(lines_and_arcs)).corners


def block(space: Modelspace, document: Document) -> None:
    document.blocks.new("B").add_line((0, 0), (10, 2))
    space.add_blockref("B", (0, 0))


def bare_spline(space: Modelspace, document: Document) -> None:
    space.add_spline(fit_points=[(0, 0), (5, 3), (10, 0)])


def smoothed(space: Modelspace, document: Document) -> None:
    space.add_polyline2d([(0, 0), (5, 3), (10, 0)]).dxf.flags = 4


def leaning(space: Modelspace, document: Document) -> None:
    space.add_arc((0, 0), 5, 200, 320, dxfattribs={"extrusion": (0, 1, 1)})


def bomb(space: Modelspace, document: Document) -> None:
    """Each block holds the one before it twice: a thousand million lines when exploded."""
    document.blocks.new("B0").add_line((0, 0), (1, 0))
    for depth in range(30):
        around = document.blocks.new(f"B{depth + 1}")
        around.add_blockref(f"B{depth}", (0, 0))
        around.add_blockref(f"B{depth}", (1, 0))
    space.add_blockref("B30", (0, 0))


def wild(space: Modelspace, document: Document) -> None:
    space.add_open_spline([(n * 0.1, (n * 7919 % 13) * 0.1) for n in range(299)])


def cusp(space: Modelspace, document: Document) -> None:
    space.add_open_spline([(0, 0), (10, 10), (0, 10), (10, 0)])


FAULTS: dict[str, tuple[Draw, str]] = {
    "block": (block, "Explode"),
    "spline of fit points alone": (bare_spline, "no control points"),
    "smoothed polyline": (smoothed, "smoothed"),
    "3D polyline": (lambda space, _: space.add_polyline3d([(0, 0, 0), (5, 3, 1)]), "no flat polyline"),
    "line out of the plane": (lambda space, _: space.add_line((0, 0, 0), (5, 0, 3)), "drawing's plane"),
    "leaning arc": (leaning, "drawing's plane"),
    "ray": (lambda space, _: space.add_ray((0, 0), (1, 0)), "cannot be part"),
    "circle": (lambda space, _: space.add_circle((0, 0), 5), "closed"),
    "closed polyline": (
        lambda space, _: space.add_lwpolyline([(0, 0), (9, 0), (5, 5)], close=True),
        "closed",
    ),
    "nothing": (lambda space, _: space.add_text("no profile"), "nothing is drawn"),
    "polyline of one point": (lambda space, _: space.add_lwpolyline([(1, 1)]), "no length"),
    "no number": (lambda space, _: space.add_line((0, 0), (float("nan"), 0)), "coordinate is nan"),
    "far away": (lambda space, _: space.add_line((0, 0), (1e12, 0)), "further out than 100000 mm"),
    "block of blocks": (bomb, "Explode"),
    "spline without end": (
        lambda space, _: space.add_open_spline([(n, n % 2) for n in range(400)]),
        "At most 300",
    ),
    "wild spline": (wild, "no arcs fit its curve"),
    "dots": (
        lambda space, _: space.add_lwpolyline([(n, n % 2) for n in range(9999)]),
        "than 120 lines and arcs",
    ),
    "cusp": (cusp, "no arcs fit its curve"),
}


@pytest.mark.parametrize("name", FAULTS)
def test_faults_are_named_with_the_entity_and_the_cure(name: str) -> None:
    draw, words = FAULTS[name]
    with pytest.raises(ProfileError) as caught:
        read_dxf(dxf(draw))
    assert words in str(caught.value)
    assert caught.value.cure
    assert "#" in caught.value.place or name in ("nothing", "dots")


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "cannot be read as DXF"),
        (b"AutoCAD Binary DXF\r\n\x1a\x00" + b"\x00" * 50, "binary DXF"),
        (b"AC1032" + b"\x00" * 50, "DWG"),
        (bytes(range(256)) * 20, "cannot be read as DXF"),
        (b"0\nSECTION\n2\nENTITIES\n0\nLINE\n10\nabc\n", "cannot be read as DXF"),
        (b"0\nSECTION\n" * 50_000, "cannot be read as DXF"),
        (b"<svg/>", "cannot be read as DXF"),
    ],
)
def test_what_is_no_dxf_is_refused(content: bytes, words: str) -> None:
    with pytest.raises(ProfileError, match=words):
        read_dxf(content)


@pytest.mark.parametrize("kind", ["LAYER", "BLOCK", "XRECORD", "MATERIAL", "CLASS"])
def test_what_is_never_drawn_is_refused_among_what_is(kind: str, capfd: pytest.CaptureFixture[str]) -> None:
    """ezdxf refuses to ask these for a layer, and says more of a spoiled file than anybody should read."""
    head, _, tail = dxf(lines_and_arcs).decode().partition("  0\nLINE\n")
    with pytest.raises(ProfileError, match="cannot be part of a profile"):
        read_dxf(f"{head}  0\n{kind}\n{tail}".encode())
    assert capfd.readouterr().err == ""


def test_what_a_file_says_cannot_command_the_terminal() -> None:
    with pytest.raises(ProfileError) as caught:
        read_dxf(dxf(lines_and_arcs).replace(b"ENTITIES\n", b"ENTITIES\n\x1b]0;mine\x07\x00\n"))
    assert str(caught.value).isprintable() and "x1b" in str(caught.value)


def test_a_file_without_a_model_space_is_refused() -> None:
    content = dxf(lines_and_arcs).replace(b"*Model_Space", b"*Nodel_Space").replace(b"Model\n", b"Nodel\n")
    with pytest.raises(ProfileError, match="cannot be"):
        read_dxf(content)


def test_a_spoiled_file_never_breaks_the_reader() -> None:
    """Each line of a sound file in turn replaced by nonsense: it is read, or refused in words."""
    lines = dxf(lines_and_arcs).decode().split("\n")
    start = lines.index("ENTITIES")
    refused = 0
    for at in range(start, start + 60, 3):
        for nonsense in ("-1", "x", "1e999"):
            spoiled = "\n".join([*lines[:at], nonsense, *lines[at + 1 :]]).encode()
            try:
                read_dxf(spoiled)
            except ProfileError:
                refused += 1
    assert refused > 10
