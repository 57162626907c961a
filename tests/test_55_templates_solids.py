"""Templates against the solids they are for, published figures and each other's mirror images."""

from __future__ import annotations

from functools import cache
from math import asin, cos, hypot, pi, radians, sin

import pytest
from cadquery import Face, Solid, Vertex
from shapely import Polygon

from cad.geometry import Plan, derive
from cad.geometry.stages import Stage
from cad.outline import Arc, Point
from cad.papers.templates.bezier import chain
from cad.papers.templates.block import Template
from cad.papers.templates.ink import CUT, Art, Stroke
from cad.papers.templates.kinds import templates
from cad.parts import body, cheek_plate
from cad.parts import iron as iron_part
from cad.parts import wedge as wedge_part
from cad.spec import read_spec
from tests.conftest import DEMOS, demo_path
from tests.planes import plan_of
from tests.products import product

AREA_MM2 = 0.02
ON_MM = 0.002


@cache
def demo_plan(name: str) -> Plan:
    return derive(read_spec(demo_path(name)))


def of(plan: Plan, name: str) -> Template:
    """Return a template of the plane itself by its name."""
    return next(one for one in templates(plan, ()) if one.name == name)


def closed_cuts(art: Art) -> list[Polygon]:
    """Return what the closed cutting lines of an art go round."""
    chains = [s.chain for s in art.strokes if s.pen is CUT and s.chain.closed]
    return [Polygon(one.points(64)) for one in chains]


def flat_area(solid: Solid, normal: tuple[float, float, float], at: tuple[float, float, float]) -> float:
    """Return the area of a solid's flat faces that lie in the plane through a point."""

    def lies(face: Face) -> bool:
        there, way = face.Center(), face.normalAt()
        off = sum((a - b) * n for a, b, n in zip(there.toTuple(), at, normal, strict=True))
        return (
            abs(off) < 1e-5
            and abs(abs(sum(a * b for a, b in zip(way.toTuple(), normal, strict=True))) - 1) < 1e-6
        )

    return sum(face.Area() for face in solid.Faces() if face.geomType() == "PLANE" and lies(face))


@pytest.mark.parametrize("name", DEMOS)
def test_outlines_go_round_the_faces_of_the_solids(name: str) -> None:
    plan = demo_plan(name)
    toe, _ = plan.stages.span(Stage.SOLE_SHAPED)
    end = flat_area(body.at_stage(plan, Stage.SOLE_SHAPED), (1, 0, 0), (toe, 0, 0))
    plate = flat_area(cheek_plate.at_stage(plan, Stage.PLATE_GLUED), (0, 1, 0), (0, 0, 0))
    side = (0, plan.wedge.side_clearance / 2, 0)
    wedge = flat_area(wedge_part.build(plan), (0, 1, 0), side)
    iron = flat_area(iron_part.build(plan), plan.iron.off_bed, plan.iron.origin)
    wanted = {
        "end_toe": [end],
        "end_heel": [end],
        "cheek_plate": [plate],
        "wedge": [wedge],
        "iron": [iron] * 2,
    }
    for template, areas in wanted.items():
        found = [one.area for one in closed_cuts(of(plan, template).art)]
        assert found == pytest.approx(areas, abs=AREA_MM2), template


@pytest.mark.parametrize("name", DEMOS)
def test_folded_round_the_body_the_layout_lies_on_the_edges_of_its_throat(name: str) -> None:
    """Every corner and bend of front and bed, folded back from the paper, is on an edge of the sawn body."""
    plan = demo_plan(name)
    edges = body.at_stage(plan, Stage.THROAT_SAWN).Edges()
    art = of(plan, "throat").art
    art = art.mirrored() if plan.is_left else art
    lines = [s.chain for s in art.strokes if s.pen is CUT and not s.chain.closed and len(s.chain.steps) > 1]
    assert len(lines) == 4, "front and bed, on the faces and on the sole"
    for line in lines:
        knots = [line.start, *(step[-1] for step in line.steps)]
        for spot in [fold(plan, knot) for knot in knots[:: max(1, len(knots) // 6)]] + [
            fold(plan, knots[-1])
        ]:
            vertex = Vertex.makeVertex(*spot)
            assert min(edge.distance(vertex) for edge in edges) < ON_MM, (name, spot)


def fold(plan: Plan, knot: Point) -> tuple[float, float, float]:
    """Return where a point of the layout comes to lie: p from the toe end, q round from the arris."""
    x, q = knot[0] + plan.stages.span(Stage.SOLE_SHAPED)[0], knot[1]
    section, sole = plan.section, plan.sole
    if q <= 0:
        (arc,) = sole.path.segments
        assert isinstance(arc, Arc)
        return (x, *arc.point(min(-q / arc.length, 1.0)))
    face, rail = section.shoulder - sole.plate_edge, section.height - section.shoulder
    for long, place in (
        (face, lambda run: (0.0, sole.plate_edge + run)),
        (section.plate, lambda run: (-run, section.shoulder)),
        (rail, lambda run: (-section.plate, section.shoulder + run)),
    ):
        if q <= long + 1e-9:
            return (x, *place(q))
        q -= long
    return (x, q - section.plate, section.height)


def test_sole_is_developed_to_its_arcs_length() -> None:
    """Machinery's Handbook, 31st ed.: an arc of 60 degrees with r 35 is 36.65 long (36.652)."""
    plan = plan_of('name = "x"\n[sole]\nform = "round"\nradius = 35\narc = 60\n')
    strokes = [s for s in of(plan, "throat").art.strokes if s.pen is CUT]
    assert min(s.chain.box()[1] for s in strokes) == pytest.approx(-36.652, abs=1e-3)


def test_iron_is_an_ellipse_with_the_soles_radius_and_its_stretch() -> None:
    """Half round of 9.525 mm on a bed of 50 degrees: semi-axes 9.525 and 12.43400 (computed)."""
    text = (
        'name = "x"\n[sole]\nform = "round"\nradius = 9.525\nwidth = 19.05\n[throat]\nbed = 50\nfront = 60\n'
    )
    outline = next(s.chain for s in of(plan_of(text), "iron").art.strokes if s.chain.closed)
    steps = [step for step in outline.steps if len(step) == 3][:-1]  # the last is the striking end's
    edge = [p for p in outline.points(16) if p[1] < 12.43]
    assert steps and len(edge) > 30
    assert [hypot(v / 9.525, (u - 12.43400) / 12.43400) for v, u in edge] == pytest.approx(
        [1.0] * len(edge), abs=1e-5
    )
    # The bevel line lies t / tan(bevel) up the iron: 3.2 / tan 30 = 5.5426, right triangle.
    low = sorted(s.chain.box()[1] for s in of(plan_of(text), "iron").art.strokes if s.pen.width < 1)
    assert any(abs(y - 3.2 / (sin(radians(30)) / cos(radians(30)))) < 1e-6 for y in low)


def test_throat_opens_at_the_top_as_worked_out() -> None:
    """Bed 50, front 60, mouth 6.35, height 76.2: 6.35 + 76.2 (cot 50 - cot 60) = 26.29530 (computed)."""
    text = 'name = "x"\n[sole]\nform = "round"\nradius = 16\n[body]\nheight = 76.2\n'
    text += "[throat]\nbed = 50\nfront = 60\nmouth = 6.35\n"
    lines = [
        s.chain for s in of(plan_of(text), "throat").art.strokes if s.pen is CUT and len(s.chain.steps) == 4
    ]
    ends = sorted(one.steps[-1][0][0] for one in lines if not one.closed)
    assert ends[1] - ends[0] == pytest.approx(26.29530, abs=1e-4)


@pytest.mark.parametrize("form", ["round", "hollow"])
def test_a_left_hand_is_the_mirror_image(form: str) -> None:
    """Every cut of a left hand is a right hand's seen in a mirror; the wedge alone serves both as it is."""
    text = f'name = "x"\n[sole]\nform = "{form}"\nradius = 16\n[body]\nhand = '
    right, left = plan_of(text + '"right"\n'), plan_of(text + '"left"\n')
    for one, two in zip(templates(right, ()), templates(left, ()), strict=True):
        mirrored = one.art if one.name == "wedge" else one.art.mirrored()
        if one.name == "iron":  # both faces stand side by side, the toe's on the left for either hand
            assert [round(p.area, 6) for p in closed_cuts(two.art)] == [
                round(p.area, 6) for p in closed_cuts(one.art)
            ]
        else:
            assert _cut_boxes(two.art.strokes) == pytest.approx(_cut_boxes(mirrored.strokes), abs=1e-6)


def _cut_boxes(strokes: tuple[Stroke, ...]) -> list[float]:
    return sorted(edge for s in strokes if s.pen is CUT for edge in s.chain.box())


@pytest.mark.parametrize("name", DEMOS)
def test_every_profile_of_every_fixture_is_there_in_true_size(name: str) -> None:
    made = product(name)
    profiles = [profile for piece in made.pieces() for profile in piece.profiles]
    kinds = {"sanding_block_P100", "sole_gauge", "sole_gauge_go", "sole_gauge_no_go"}
    assert kinds <= {profile.name for profile in profiles}
    found = {one.name: one for one in templates(made.plan, made.fixtures)}
    for profile in profiles:
        outlines = closed_cuts(found[profile.name].art)
        areas = sorted(abs(path.area) for path in (profile.path, *profile.holes))
        assert sorted(one.area for one in outlines) == pytest.approx(areas, abs=AREA_MM2), profile.name


def test_clipped_curves_keep_their_shape() -> None:
    """A circle of radius 40 about the corner of a window: a quarter of it is left, still round."""
    circle = chain([Arc((40.0, 0.0), (40.0, 0.0), (0.0, 0.0), ccw=True)])
    parts = circle.clipped((0.0, 0.0, 100.0, 100.0))
    points = [p for part in parts for p in part.points(16)]
    assert all(abs(hypot(*p) - 40) < 4.3e-6 * 40 + 1e-9 and min(p) > -1e-9 for p in points)
    run = sum(
        hypot(q[0] - p[0], q[1] - p[1])
        for part in parts
        for p, q in zip(part.points(16), part.points(16)[1:], strict=False)
    )
    assert run == pytest.approx(40 * pi / 2, abs=0.01)
    assert circle.clipped((50.0, 50.0, 60.0, 60.0)) == ()


@pytest.mark.parametrize("radius", [1.0, 16.0, 250.0])
def test_arcs_are_drawn_truer_than_a_hundredth(radius: float) -> None:
    half = radius * sin(asin(1.0) * 0.9)
    level = -((radius**2 - half**2) ** 0.5)
    arc = Arc((-half, level), (half, level), (0.0, 0.0), ccw=True)
    off = [abs(hypot(*p) - radius) for p in chain([arc]).points(32)]
    assert max(off) <= 4.3e-6 * radius < 0.01
