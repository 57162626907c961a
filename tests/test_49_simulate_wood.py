"""What moves take off the stock, against volumes in closed form and shapely's buffers of the same paths.

Areas and volumes of capsules, rings, cones and spheres are those of any handbook of mensuration (Machinery's
Handbook, 31st ed., areas and volumes; from memory).
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import cos, hypot, pi, radians, sin, sqrt

import numpy as np
import pytest
from shapely import LineString, Point, box, unary_union

from cad.simulate.job import Job, Run, Stock, Tool
from cad.simulate.reading import read
from cad.simulate.running import Simulated, simulate
from cad.simulate.strokes import Stroke, pass_of, surface

FLAT = Tool("6 mm straight", "flat", 6.0, 20.0)
BALL = Tool("6 mm ball", "ball", 6.0, 20.0)
V = Tool("90° v", "v", 6.0, 20.0, angle_deg=90.0)
DRILL = Tool("5 mm drill", "drill", 5.0, 40.0, angle_deg=118.0)
STOCK = Stock(100, 60, 12)
HEAD = "G21 G90 G17 G94\nM3 S18000\nG0 Z5\n"


def cut(lines: str, tool: Tool = FLAT, cell_mm: float = 0.1) -> Simulated:
    done = simulate(Job(STOCK, (Run("it", HEAD + lines + "\nG90 G0 Z5\nM2\n", tool),)), cell_mm)
    assert done.passes, [str(one) for one in done.findings]
    return done


def removed(lines: str, tool: Tool = FLAT, cell_mm: float = 0.1) -> float:
    return cut(lines, tool, cell_mm).runs[0].removed_mm3


def height_at(done: Simulated, x: float, y: float) -> float:
    grid = done.wood.grid
    column, row = (round((v - f) / grid.cell_mm) for v, f in zip((x, y), grid.first, strict=True))
    return float(done.wood.height[row, column])


def test_a_slot_is_a_capsule() -> None:
    slot = "G0 X20.3 Y20.1\nG1 Z-4 F300\nG1 X70.9 Y41.7 F900"
    length = hypot(70.9 - 20.3, 41.7 - 20.1)
    assert removed(slot) == pytest.approx((length * 6 + pi * 9) * 4, rel=1e-3)


def test_a_slot_along_an_arc_is_part_of_a_ring_with_round_ends() -> None:
    """A quarter of a ring of radii 17 and 23, and two half discs."""
    arc = "G0 X50 Y10\nG1 Z-3 F300\nG3 X70 Y30 I0 J20 F900"
    assert removed(arc) == pytest.approx((pi / 4 * (23**2 - 17**2) + 9 * pi) * 3, rel=1e-3)


def test_a_bore_by_a_helix() -> None:
    """A cutter of 6 mm on a circle of 2 mm radius bores 10 mm, and leaves no core: 2 is less than 3."""
    bore = "G0 X52 Y30\nG1 Z0 F300\n" + "\n".join(f"G3 X52 Y30 Z-{z} I-2 J0" for z in (3, 6, 9, 10))
    assert removed(bore + "\nG3 X52 Y30 I-2 J0") == pytest.approx(25 * pi * 10, rel=1e-3)


def test_a_helix_leaves_a_ramp() -> None:
    """Half a turn down leaves the floor under its end at the end's height, under its middle half as deep."""
    done = cut("G0 X55 Y30\nG1 Z0 F300\nG3 X45 Y30 Z-4 I-5 J0", replace(FLAT, diameter_mm=1.0))
    assert height_at(done, 50.05, 35.05) == pytest.approx(-2, abs=0.15)
    assert height_at(done, 45.05, 30.05) == pytest.approx(-4, abs=0.05)


@pytest.mark.parametrize(
    ("start", "end", "floor"),
    [
        ("Z-1", "X50 Z-5", -1 - 0.2 * 13.05),  # falling: the tip has been 3 mm further on
        ("Z-5", "X50 Z-1", -5 + 0.2 * 7.05),  # rising: it was lower 3 mm before
        ("Z-1", "X42 Z-9", -9),  # steep and short: its lower end is within reach
    ],
)
def test_a_flat_cutter_on_a_ramp_cuts_with_its_lower_edge(start: str, end: str, floor: float) -> None:
    done = cut(f"G0 X30 Y30.05\nG1 {start} F300\nG1 {end}")
    assert height_at(done, 40.05, 30.05) == pytest.approx(floor, abs=1e-5)


@pytest.mark.parametrize("tool", [BALL, V, DRILL], ids=lambda tool: tool.shape)
@pytest.mark.parametrize("rise", [0.0, -0.3, 0.9, -1.5])
def test_shaped_cutters_on_slopes_against_many_small_steps(tool: Tool, rise: float) -> None:
    """The closed forms against the least of the cutter's surface at 20 000 places along the way."""
    stroke = Stroke(0, (2.0, 1.0, -5.0), (8.0, 4.0, -5.0 + rise * hypot(6, 3)))
    rng = np.random.default_rng(7)
    x, y = rng.uniform(-2, 12, 400), rng.uniform(-3, 8, 400)
    share = np.linspace(0, 1, 20_001)[:, None]
    off = np.hypot(x - 2 - 6 * share, y - 1 - 3 * share)
    r = tool.diameter_mm / 2
    with np.errstate(invalid="ignore"):
        point = (
            r - np.sqrt(r * r - off**2)
            if tool.shape == "ball"
            else off / np.tan(np.radians(tool.angle_deg / 2))
        )
    steps = np.where(off <= r, -5 + rise * hypot(6, 3) * share + point, np.inf).min(axis=0)
    exact = surface(tool, stroke, x, y)
    under = np.isfinite(steps)
    assert under.sum() > 100
    # At the very edge of the sweep a step may fall short of what the stroke just touches.
    assert (np.isfinite(exact) != under).mean() < 0.005
    assert np.abs(exact[under] - steps[under]).max() < 5e-3
    assert (exact[under] <= steps[under] + 1e-9).all()


def test_a_drilled_hole_has_a_cone_at_its_end() -> None:
    """The point of 118° of a 5 mm drill is 1.502 mm high: r / tan(59°)."""
    tip = 2.5 / np.tan(np.radians(59))
    hole = "G0 X30 Y30\nG1 Z-8 F200"
    assert removed(hole, DRILL, 0.05) == pytest.approx(pi * 2.5**2 * (8 - tip + tip / 3), rel=3e-3)


def test_a_ball_leaves_a_trough_and_a_v_a_groove() -> None:
    track = "G0 X20 Y30\nG1 Z-2 F300\nG1 X80"
    # Section of a ball of radius 3 sunk by 2: a circular segment; ends: a cap of a sphere.
    half = np.arccos(1 / 3)
    section, cap = 9 * half - sqrt(9 - 1), pi * 4 * (3 - 2 / 3)
    assert removed(track, BALL) == pytest.approx(60 * section + cap, rel=2e-3)
    # A right-angled v sunk by 2: a triangle 4 wide, and a cone at the ends.
    assert removed(track, V) == pytest.approx(60 * 4 + pi * 4 * 2 / 3, rel=2e-3)


def test_passes_of_a_ball_leave_scallops_as_the_formula_says() -> None:
    """h = R - sqrt(R² - (s/2)²) between passes s apart (Machinery's Handbook, 31st ed., from memory)."""
    rows = "\n".join(
        f"G0 Z1\nG0 X20 Y{y:g}\nG1 Z-4 F300\nG1 X60 F900" for y in (20.05, 21.65, 23.25, 24.85, 26.45)
    )
    done = cut(rows, BALL, 0.1)
    ridge = 3 - sqrt(9 - 0.8**2)
    assert height_at(done, 40.05, 23.25) == pytest.approx(-4, abs=1e-6)
    assert height_at(done, 40.05, 22.45) == pytest.approx(-4 + ridge, abs=1e-5)


def test_a_wandering_path_is_shapelys_buffer_of_it() -> None:
    """Lines and arcs in one track: the area by shapely, its circles of 256 chords, at two sizes of cell."""
    corners = [(15, 15), (40, 22), (60, 14), (80, 30), (62, 44), (35, 38), (20, 45)]
    lines = f"G0 X{corners[0][0]} Y{corners[0][1]}\nG1 Z-5 F300\n"
    lines += "\n".join(f"G1 X{x} Y{y} F900" for x, y in corners[1:])
    lines += "\nG2 X30 Y35 I10 J0"
    turned = [(30 - 10 * cos(radians(a)), 45 + 10 * sin(radians(a))) for a in np.arange(0, 270.5, 0.5)]
    track = LineString([*corners, *turned])
    area = track.buffer(3, quad_segs=64).area
    for cell in (0.1, 0.23):
        assert removed(lines, FLAT, cell) == pytest.approx(area * 5, rel=2e-3)


def test_each_cell_is_right_by_shapely_to_its_middle() -> None:
    """Not the volume only: what is cut and what is not agrees at every cell not on the very edge."""
    points = [(20, 20), (50, 41), (33, 12)]
    lines = "G0 X20 Y20\nG1 Z-2 F300\n" + "\n".join(f"G1 X{x} Y{y}" for x, y in points[1:])
    done = cut(lines, FLAT, 0.5)
    swept = unary_union([LineString(pair).buffer(3, quad_segs=128) for pair in pairwise(points)])
    grid = done.wood.grid
    for row in range(0, grid.rows, 3):
        for column in range(0, grid.columns, 3):
            middle = Point(grid.place(row, column, 0)[:2])
            if swept.exterior.distance(middle) > 0.002:
                assert (done.wood.height[row, column] < 0) == swept.contains(middle)


def test_of_a_move_of_many_metres_only_what_lies_over_the_stock_is_looked_at() -> None:
    """A line and an arc of 9 m that cross the stock, against shapely's buffers, cut off by the stock."""
    lines = "G0 X-9000 Y-9000\nG1 Z-1 F300\nG1 X9000 Y9000\nG3 X-9000 Y9000 I-9000 J-8970"
    moves = read("it", HEAD + lines + "\nM2\n").moves
    kept = pass_of(moves, FLAT, STOCK, 0).strokes
    assert 2 < len(kept) < 80
    done = simulate(Job(STOCK, (Run("it", HEAD + lines + "\nG0 Z5\nM2\n", FLAT),)), 0.1)
    way = np.array([(p[0], p[1]) for p in moves[-1].points(0.0005)])
    swept = unary_union([LineString([(-9000, -9000), (9000, 9000)]).buffer(3), LineString(way).buffer(3)])
    assert done.runs[0].removed_mm3 == pytest.approx(swept.intersection(box(0, 0, 100, 60)).area, rel=2e-3)
    assert {one.kind for one in done.findings} == {"outside"}
