"""A sound program passes, and each way of spoiling it is caught, on its line and by its amount."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from math import hypot, pi, sqrt

import numpy as np
import pytest
from shapely import LineString, Polygon

from cad.simulate.finding import Finding
from cad.simulate.job import Allowances, Corner, Job, Part, Run, Spared, Stock, Tool
from cad.simulate.nearness import distance_to
from cad.simulate.running import Simulated, simulate
from tests.plates import ALLOWED, CUTTER, STOCK, TABS, job, plate, program

SOUND = program()
CELL_MM = 0.4


@cache
def run(text: str, cutter: Tool = CUTTER, allowed: Allowances = ALLOWED) -> Simulated:
    return simulate(job(text, cutter=cutter, allowed=allowed), CELL_MM)


def found(text: str, kind: str, **more: Tool | Allowances) -> Finding:
    """Return the one finding of a kind."""
    (one,) = [one for one in run(text, **more).findings if one.kind == kind]  # type: ignore[arg-type]
    return one


def changed(old: str, new: str, count: int = -1) -> str:
    assert old in SOUND
    return SOUND.replace(old, new, count)


def line_of(text: str, start: str) -> int:
    return next(i for i, line in enumerate(text.splitlines(), start=1) if line.startswith(start))


def test_a_sound_program_passes_at_every_resolution() -> None:
    """Walls and floor are met to the chord of the mesh, 0.01 mm, whatever the cells."""
    figures = []
    for cell in (0.2, 0.31, 0.7):
        done = simulate(job(SOUND), cell)
        assert done.passes, [str(one) for one in done.findings]
        assert done.gouge_mm < 0.01 and done.left_mm < 0.01
        figures.append((done.gouge_mm, done.left_mm, done.runs[0].removed_mm3))
    assert all(one[:2] == pytest.approx(figures[0][:2], abs=1e-6) for one in figures)
    assert [one[2] for one in figures] == pytest.approx([figures[0][2]] * 3, rel=0.01)


def test_what_a_sound_program_takes_off_by_shapely() -> None:
    """The outline's kerf less its tabs, the pocket and the bore; the board is 12 mm thick and cut through."""
    outline = Polygon([(28, 23), (112, 23), (112, 67), (28, 67)]).buffer(8, quad_segs=64)
    kerf = outline.buffer(6, quad_segs=64).area - outline.area
    # Each tab stands between two places of the axis 8 mm apart, less the radius at both: 2 mm by 6 by 3.
    ends = 2 * (
        8 * 6
        - Polygon([(66, 75), (74, 75), (74, 81), (66, 81)])
        .intersection(
            LineString([(40, 78), (66, 78)]).buffer(3).union(LineString([(74, 78), (100, 78)]).buffer(3))
        )
        .area
    )
    pocket = 40 * 20 - (4 - pi) * 9
    wanted = kerf * 12 - ends * 3 + pocket * 5 + 25 * pi * 12
    assert simulate(job(SOUND), 0.1).runs[0].removed_mm3 == pytest.approx(wanted, rel=1e-3)


@pytest.mark.parametrize(
    ("spoil", "amount", "line"),
    [
        (lambda: changed("G1 Y45\nG1 Y67\nG0", "G1 X17.06 Y45\nG1 Y67\nG0"), 0.06, "G1 Y67"),
        (lambda: changed("G1 Y23", "G1 X122.93 Y23"), 0.07, "G1 X122.93"),
        (lambda: changed("G1 X77 Z-5 ", "G1 X77 Z-5.08 "), 0.08, None),
        (lambda: changed("G1 Y38", "G1 Y37.9"), 0.1, None),
    ],
    ids=["side", "end", "floor", "pocket"],
)
def test_a_gouge_of_less_than_a_cell_is_measured(
    spoil: Callable[[], str], amount: float, line: str | None
) -> None:
    """Of 0.06 to 0.1 mm, on cells of 0.4 mm; and smaller ones than 0.05 mm are let pass."""
    text = spoil()
    one = found(text, "gouge")
    assert one.amount_mm == pytest.approx(amount, abs=0.006)
    assert "plate" in one.words and one.place is not None
    if line:
        assert text.splitlines()[one.line - 1].startswith(line)


def test_a_gouge_within_the_allowance_passes() -> None:
    done = run(changed("G1 Y23", "G1 X122.96 Y23"))
    assert done.passes and done.gouge_mm == pytest.approx(0.04, abs=0.006)


def test_a_gouge_in_the_middle_of_the_part_is_found_where_it_is() -> None:
    text = changed("G0 X17 Y45", "G0 X30 Y30\nG1 Z-1\nG0 Z5\nG0 X17 Y45")
    one = found(text, "gouge")
    assert one.line == line_of(text, "G0 X30 Y30") + 1
    assert one.place is not None and hypot(one.place[0] - 30, one.place[1] - 30) < 3
    assert one.amount_mm == pytest.approx(1.0, abs=1e-5)


def test_a_hole_right_through_the_part_is_no_less_a_gouge() -> None:
    """At (30, 30), 10 mm from the nearest side: deepest half way down, 6 mm from both faces."""
    text = changed("G0 X17 Y45", "G0 X30 Y30\nG0 Z1\nG1 Z-12\nG0 Z5\nG0 X17 Y45")
    one = found(text, "gouge")
    assert one.line == line_of(text, "G1 Z-12") and one.amount_mm == pytest.approx(6.0, abs=0.2)


@pytest.mark.parametrize("diameter", [5.8, 6.2])
def test_the_wrong_cutter_is_found_by_half_the_difference(diameter: float) -> None:
    kind = "left" if diameter < 6 else "gouge"
    one = found(SOUND, kind, cutter=replace(CUTTER, diameter_mm=diameter))
    assert one.amount_mm == pytest.approx(0.1, abs=0.006)


def test_wood_left_is_found() -> None:
    assert found(changed("-12.3", "-11.7"), "left").amount_mm == pytest.approx(0.3, rel=0.15)
    assert found(changed("-12.3", "-11.93"), "left").amount_mm == pytest.approx(0.07, rel=0.15)
    floor = found(changed("X77 Z-5 ", "X77 Z-4.9 "), "left")
    assert floor.amount_mm == pytest.approx(0.1, abs=1e-5)
    rows = found(changed("G1 Y45\nG1 X43\n", ""), "left")
    assert rows.place is not None and rows.place[1] == pytest.approx(45, abs=0.6)
    assert run(SOUND, allowed=replace(ALLOWED, spared=())).left_mm > 0.8


def test_wood_left_is_told_with_the_line_that_comes_nearest() -> None:
    shallow = changed("X77 Z-5 ", "X77 Z-4.9 ")
    floor = found(shallow, "left")
    assert floor.line and "Z-4.9" in "\n".join(shallow.splitlines()[: floor.line])
    wide = changed("G1 Y23", "G1 X123.1 Y23")  # 0.1 mm off the end of the plate
    wall = found(wide, "left")
    assert wide.splitlines()[wall.line - 1] in ("G1 X123.1 Y23", "G2 X112 Y12 R11"), "they meet there"
    assert "where this line comes nearest" in wall.words
    assert wall.amount_mm == pytest.approx(0.1, abs=0.006)


def test_a_cutter_that_is_left_in_the_stock_is_told() -> None:
    one = found(changed("M5", "G1 Z-0.5\nM5"), "end")
    assert "z -0.5" in one.words and one.line == SOUND.splitlines().index("M5") + 1


def test_a_steep_ramp_is_told_with_its_angle() -> None:
    text = "G21 G90\nS9000 M3\nG0 Z0\nG0 X4 Y4\nG1 X14 Z-5.7735 F500\nG0 Z5\nM2\n"
    dull = replace(CUTTER, cuts_centre=False)
    (one,) = simulate(Job(STOCK, (Run("it", text, dull),)), CELL_MM).findings
    assert one.kind == "plunge" and "goes down at 30° with" in one.words


def test_a_tab_may_stand_as_high_as_it_is_meant_to() -> None:
    low = tuple(replace(tab, top_mm=-10.0) for tab in TABS)
    assert found(SOUND, "left", allowed=replace(ALLOWED, spared=low)).words.count("plate")


@pytest.mark.parametrize(
    ("kind", "spoil", "line", "says"),
    [
        ("rapid", lambda: changed("G0 X17 Y45", "G0 Z-2\nG0 X17 Y45"), "G0 X17", "2.00 mm deep"),
        ("rapid", lambda: changed("G0 Z1\nG1 Z0 F300\nG3", "G0 Z-1\nG3"), "G0 Z-1", "1.00 mm deep"),
        ("feed", lambda: re.sub(r" F\d+", "", SOUND), "G1 Z0", "no feed"),
        ("arc", lambda: changed("X28 Y78 I11", "X28 Y78.01 I11", 1), "G2 X28 Y78.01", "0.0100 mm"),
        ("unit", lambda: changed("G21", "G20"), None, "plainly mm"),
        ("unit", lambda: changed("G21 ", ""), "G0 Z5", "before it says"),
        ("spindle", lambda: changed("M3 S18000", "M3"), "G3 X102", "still"),
        ("spindle", lambda: changed("M3 S18000", "S18000"), "G3 X102", "still"),
        ("spindle", lambda: changed("M3 S18000", "M4 S18000"), "G3 X102", "backwards"),
        ("bed", lambda: changed("-12.3", "-13"), "G3 X102 Y45 Z-13", "1.00 mm below"),
        ("outside", lambda: changed("G0 X17 Y45", "G0 X-17 Y45"), "G0 X-17", "17.00 mm outside"),
        ("end", lambda: changed("M2\n", ""), None, "does not end"),
        ("start", lambda: changed("G0 Z5\nM3", "M3"), "G0 X102", "raised"),
        ("word", lambda: changed("G17", "G18.5"), "G21", "G18.5"),
    ],
)
def test_a_fault_is_caught(kind: str, spoil: Callable[[], str], line: str | None, says: str) -> None:
    text = spoil()
    assert text != SOUND
    one = found(text, kind)
    assert says in one.words and one.cure
    assert text.splitlines()[one.line - 1].startswith(line) if line else one.line == 0


def test_inches_where_mm_were_said() -> None:
    text = re.sub(r"([XYZIJR])(-?[\d.]+)", lambda m: f"{m[1]}{float(m[2]) / 25.4:.5f}", SOUND)
    assert "plainly inches" in found(text, "unit").words
    right = re.sub(r"F(\d+)", lambda m: f"F{int(m[1]) / 25.4:.2f}", text).replace("G21", "G20")
    done = run(right)
    assert done.passes and done.runs[0].inch
    assert done.runs[0].seconds == pytest.approx(run(SOUND).runs[0].seconds, rel=1e-3)


def test_cutters_that_cannot_do_it() -> None:
    one = found(
        changed("Z0 F300\nG1 Y67 Z-3", "Z-3 F300\nG1 Y67 Z-3"),
        "plunge",
        cutter=replace(CUTTER, cuts_centre=False),
    )
    assert "centre" in one.words
    flute = found(SOUND, "flute", cutter=replace(CUTTER, flute_mm=10))
    assert flute.amount_mm == pytest.approx(2.3, abs=0.01)
    drill = Tool("6 mm drill", "drill", 6, 40, angle_deg=180)
    assert found(SOUND, "sideways", cutter=drill).words.startswith("a drill cuts sideways")


def test_a_ramp_needs_no_cutting_centre() -> None:
    """3 mm down along 22 mm is 7.8°; the helix of 2 mm radius, 3 mm a turn, is 13°, and is caught."""
    ended = replace(CUTTER, cuts_centre=False)
    assert "Z-3" in SOUND.splitlines()[found(SOUND, "plunge", cutter=ended).line - 1]
    lines = SOUND.splitlines()
    ramps = [line for line in lines if line.startswith(("G1 Y67 Z", "G1 X77 Z"))]
    assert len(ramps) == 6 and found(SOUND, "plunge", cutter=ended).line not in map(lines.index, ramps)


def block(spare: float = 0.0) -> tuple[Part, Stock]:
    """Return half a cylinder of radius 20 along x, 60 long, and a block as wide that it is cut from."""
    angle = np.linspace(0, pi, 91)
    rim = np.column_stack([20 - 20 * np.cos(angle), 20 * np.sin(angle) - 20 - spare])
    points = np.array([(x, y, z) for x in (0.0, 60.0) for y, z in rim])
    count = len(rim)
    triangles = [(i, i + 1, count + i) for i in range(count - 1)]
    triangles += [(i + 1, count + i + 1, count + i) for i in range(count - 1)]
    triangles = [(a, c, b) for a, b, c in triangles]
    return Part("round", points, np.array(triangles)), Stock(60, 40, 20 + spare)


def passes(step_deg: float, sunk: float = 0.0) -> str:
    """Return passes of a 6 mm ball along x over the half cylinder, its centre on the parallel 3 mm out."""
    rows = ["G21 G90 G17 G94", "M3 S18000", "G0 Z10"]
    for angle in np.arange(12, 168.01, step_deg):
        y = 20 - 23 * np.cos(np.radians(angle))
        z = 23 * np.sin(np.radians(angle)) - 20 - 3 - sunk
        rows += [f"G0 X-4 Y{y:.4f}", f"G0 Z{z:.4f}", "G1 X64 F900", "G0 Z10"]
    return "\n".join([*rows, "M2", ""])


def test_ridges_on_a_curve_are_as_high_as_the_formula_says() -> None:
    """Between two passes of a ball of radius r, s apart on their parallel of radius R + r, a ridge stands
    h = (R + r) cos(a/2) - sqrt(r² - ((R + r) sin(a/2))²) - R high, by Pythagoras; a is their angle."""
    part, stock = block()
    step, r, big = 4.0, 3.0, 20.0
    half = np.radians(step / 2)
    ridge = (big + r) * np.cos(half) - sqrt(r * r - ((big + r) * np.sin(half)) ** 2) - big
    flanks = tuple(
        Spared("below the passes", ((-1, y0), (61, y0), (61, y1), (-1, y1)))
        for y0, y1 in ((-1, 0.9), (39.1, 41))
    )
    ball = Tool("6 mm ball", "ball", 6, 25)
    allowed = Allowances(beyond_mm=5, scallop_mm=0.15, spared=flanks)
    done = simulate(Job(stock, (Run("it", passes(step), ball),), (part,), allowed), 0.4)
    assert done.passes, [str(one) for one in done.findings]
    assert done.ridge_mm == pytest.approx(ridge, abs=0.012)
    low = replace(allowed, scallop_mm=ridge - 0.03)
    (left,) = simulate(Job(stock, (Run("it", passes(step), ball),), (part,), low), 0.4).findings
    assert left.kind == "left" and left.amount_mm == pytest.approx(ridge, abs=0.012)
    (deep,) = simulate(Job(stock, (Run("it", passes(step, 0.07), ball),), (part,), allowed), 0.4).findings
    assert deep.kind == "gouge" and deep.amount_mm == pytest.approx(0.07, abs=0.01)


def test_beside_an_edge_a_gouge_is_no_deeper_than_to_the_nearer_face() -> None:
    """Under a slope of 40° stands a plumb wall. A ball that runs 0.01 mm inside the wall, its centre level
    with the edge, lies far below the slope there and yet takes off no more than 0.01 mm."""
    rim = np.array(
        [(0, -20), (30, -20), (30, -2), (20.0, -2), (10, -2 - 10 * np.tan(np.radians(40))), (10, -19)]
    )
    rim = np.array([*rim, (0, -19)])
    points = np.array([(x, y, z) for x in (0.0, 40.0) for y, z in rim])
    count = len(rim)
    triangles = [
        face
        for i in range(count)
        for a, b in [(i, (i + 1) % count)]
        for face in ((b, a, count + a), (b, count + a, count + b))
    ]
    part = Part("stair", points, np.array(triangles))
    edge = -2 - 10 * np.tan(np.radians(40))
    text = f"G21 G90 G94\nM3 S9000\nG0 Z5\nG0 X-4 Y7.01\nG0 Z{edge - 3:.4f}\nG1 X44 F900\nG0 Z5\nM2\n"
    ball = Tool("6 mm ball", "ball", 6, 25)
    everywhere = Spared("not cut here", ((-1, -1), (41, -1), (41, 31), (-1, 31)))
    allowed = Allowances(beyond_mm=5, spared=(everywhere,))
    done = simulate(Job(Stock(40, 30, 20), (Run("it", text, ball),), (part,), allowed), 0.4)
    assert done.passes, [str(one) for one in done.findings]
    assert 0.005 < done.gouge_mm < 0.015
    deeper = text.replace("Y7.01", "Y7.08")
    (one,) = simulate(Job(Stock(40, 30, 20), (Run("it", deeper, ball),), (part,), allowed), 0.4).findings
    assert one.kind == "gouge" and one.amount_mm == pytest.approx(0.08, abs=0.012)


def test_distances_from_triangles_against_the_least_of_many_places_on_them() -> None:
    rng = np.random.default_rng(3)
    corners, places = rng.uniform(-5, 5, (6, 3, 3)), rng.uniform(-9, 9, (40, 3))
    u, v = np.meshgrid(np.linspace(0, 1, 160), np.linspace(0, 1, 160))
    s, t = np.where(u + v > 1, 1 - u, u).ravel(), np.where(u + v > 1, 1 - v, v).ravel()
    over = corners[:, None, 0] + s[:, None] * (corners[:, None, 1] - corners[:, None, 0])
    over = (over + t[:, None] * (corners[:, None, 2] - corners[:, None, 0])).reshape(-1, 3)
    least = np.linalg.norm(places[:, None] - over[None], axis=2).min(axis=1)
    exact = distance_to(corners, places)
    assert (exact <= least + 1e-9).all() and np.abs(exact - least).max() < 0.06


def test_two_programs_work_on_one_board() -> None:
    """The bore by a drill in a program of its own; a rapid move into what it has opened is sound."""
    bore = "\n".join([*SOUND.splitlines()[:4], "G0 X100 Y45", "G1 Z-12.3 F200", "G0 Z5", "M2", ""])
    lines = SOUND.splitlines()
    rest = "\n".join([*lines[:4], *lines[line_of(SOUND, "G0 X43 Y38") - 1 :], ""])
    drill = Tool("10 mm drill", "drill", 10, 40, angle_deg=180)
    runs = (Run("bore", bore, drill), Run("rest", rest, CUTTER))
    done = simulate(Job(STOCK, runs, (plate(),), ALLOWED), CELL_MM)
    assert done.passes, [str(one) for one in done.findings]
    down = rest.replace("G0 X17 Y45", "G0 X100 Y45\nG0 Z-6\nG0 Z5\nG0 X17 Y45")
    sound = simulate(Job(STOCK, (runs[0], Run("rest", down, CUTTER)), (plate(),), ALLOWED), CELL_MM)
    assert sound.passes
    (wrong,) = simulate(Job(STOCK, (Run("rest", down, CUTTER),), (), ALLOWED), CELL_MM).findings
    assert wrong.kind == "rapid"


@pytest.mark.parametrize(
    ("zero", "by"), [("front right", (-140, 0)), ("back left", (0, -90)), ("back right", (-140, -90))]
)
def test_zero_may_lie_at_any_corner(zero: Corner, by: tuple[int, int]) -> None:
    def moved(match: re.Match[str]) -> str:
        return f"{match[1]}{float(match[2]) + by[match[1] == 'Y']:g}"

    text = re.sub(r"([XY])(-?[\d.]+)", moved, SOUND)
    here = job(text)
    part = replace(here.parts[0], points=here.parts[0].points + np.array([*by, 0]))
    tabs = tuple(replace(tab, ring=tuple((x + by[0], y + by[1]) for x, y in tab.ring)) for tab in TABS)
    stock = replace(STOCK, zero=zero)
    done = simulate(
        replace(here, stock=stock, parts=(part,), allowances=replace(ALLOWED, spared=tabs)), CELL_MM
    )
    assert done.passes, [str(one) for one in done.findings]
    assert done.gouge_mm == pytest.approx(run(SOUND).gouge_mm, abs=1e-6)
    (astray,) = simulate(replace(here, stock=stock), 1.0).findings  # the part where it was, beside the stock
    assert astray.kind == "outside" and "plate stands" in astray.words


@pytest.mark.parametrize(
    "made",
    [
        lambda: Stock(100, 0, 12),
        lambda: Tool("t", "flat", 0, 20),
        lambda: Tool("t", "flat", 6, -1),
        lambda: Tool("t", "v", 6, 20),
        lambda: Tool("t", "drill", 6, 20, angle_deg=190),
        lambda: Tool("t", "flat", 6, 20, angle_deg=90),
    ],
)
def test_stock_and_tools_that_cannot_be_are_refused(made: Callable[[], object]) -> None:
    with pytest.raises(ValueError, match=r"needs|must be|no angle"):
        made()


def test_progress_is_told_and_never_goes_back() -> None:
    told: list[float] = []
    simulate(job(SOUND), 1.0, told.append)
    assert told == sorted(told) and told[0] < 0.1 and told[-1] == 1.0 and len(told) > 5
