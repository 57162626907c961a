"""The programs of whole planes: what they sweep against the plates, and each line against the standard.

Words, tolerance of arcs and length of lines: RS274/NGC, version 3 (NIST). Sweeps by shapely.
"""

from __future__ import annotations

import re
from functools import cache

import pytest
from shapely import Polygon, box, unary_union
from shapely.geometry.base import BaseGeometry

from cad.geometry.cuts import Planform
from cad.outputs.cutting import board_for, cutting
from cad.outputs.formats.router import router_text
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.outputs.routed import BOARD_MM, Routed, Routing, routing
from cad.outputs.simulated import job_of
from cad.routing import wording
from cad.routing.flat import sheet_holding
from cad.routing.gcode import ARC_TOLERANCE_MM
from cad.routing.model import CannotCutError, Cutter, Driving, Holding, Move, Stock
from cad.routing.offsets import region
from cad.simulate.running import simulate
from fixtures.bench.workshop import build_fixtures
from tests.conftest import DEMOS
from tests.planes import plan_of, spec_text
from tests.routes import cut_product, routing_of, steps, swept, touched, words

WORDS = {"G": {0, 1, 2, 3, 17, 20, 21, 90, 94}, "M": {2, 3, 5}}
AXES = set("XYZIJFS")
THIN_MM = 0.05  # what is thinner is neither gouged nor left

NAMES = DEMOS


@cache
def plates_of(name: str) -> dict[str, tuple[Planform, ...]]:
    """Return the plates of a demo by what they are cut from."""
    made = cut_product(name)
    found = cutting(made, Meshes())
    router = made.plan.spec.shop.router
    boards = [board_for(p, router.cutter + BOARD_MM) for p in found.plates if p.name in found.off_sheet]
    return {sheet.name: sheet.plates for sheet in (*found.sheets, *boards)}


def flat(name: str) -> list[Routed]:
    return [one for one in routing_of(name).routed if one.holding.name in plates_of(name)]


def is_thin(area: BaseGeometry) -> bool:
    return bool(area.buffer(-THIN_MM / 2).is_empty)


def area_of(plate: Planform, kinds: str, depth: float = 0.0) -> BaseGeometry:
    cuts = [cut for cut in plate.operations if cut.kind in kinds.split() and cut.depth_mm >= depth]
    return unary_union([region(cut.path, cut.holes) for cut in cuts])


@pytest.mark.parametrize("name", NAMES)
def test_no_plate_is_gouged(name: str) -> None:
    for routed in flat(name):
        thick = routed.holding.stock.thickness
        for program in routed.holding.programs:
            radius = program.cutter.radius
            over = touched(program.text, radius, 0.0)
            deep = touched(program.text, radius, 2.0 - thick)
            for plate in plates_of(name)[routed.holding.name]:
                wood = region(plate.outline).difference(area_of(plate, "pocket inside drill"))
                assert is_thin(over.intersection(wood)), (plate.name, program.name)
                floor = region(plate.outline).difference(area_of(plate, "inside drill", thick))
                assert is_thin(deep.intersection(floor)), (plate.name, program.name)


@pytest.mark.parametrize("name", NAMES)
def test_all_that_should_go_goes_but_tabs_and_letters(name: str) -> None:
    for routed in flat(name):
        holding, thick = routed.holding, routed.holding.stock.thickness
        spared = unary_union([Polygon(one.ring) for one in holding.spared])
        through = unary_union([swept(p.text, p.cutter.radius, -thick) for p in holding.programs])
        # A drill goes straight down and up: what its lowest point reached it has drilled.
        holed = unary_union([touched(p.text, p.cutter.radius, -thick) for p in holding.programs])
        for plate in plates_of(name)[holding.name]:
            kerf = region(plate.outline).buffer(2.0).difference(region(plate.outline))
            assert is_thin(kerf.difference(through).difference(spared)), plate.name
            for cut in plate.operations:
                if cut.kind in ("pocket", "drill"):
                    gone = (
                        holed
                        if cut.kind == "drill"
                        else unary_union(
                            [swept(p.text, p.cutter.radius, -cut.depth_mm) for p in holding.programs]
                        )
                    )
                    assert is_thin(region(cut.path, cut.holes).difference(gone)), (plate.name, cut)


@pytest.mark.parametrize("name", NAMES)
def test_holes_come_before_any_outline(name: str) -> None:
    for routed in flat(name):
        program = routed.holding.programs[-1]
        outlines = unary_union([region(p.outline).exterior for p in plates_of(name)[routed.holding.name]])
        begun = False
        for step in steps(program.text):
            if step.word and step.lowest < -routed.holding.stock.thickness + 1:
                apart = step.line.distance(outlines)
                begun = begun or (apart < program.cutter.radius + 0.01 and step.line.length > 20)
                assert not begun or apart < program.cutter.radius + 0.05


def whole_words(text: str) -> None:
    """Hold every line of a program to the standard's words, lengths and tolerances."""
    assert text.isascii() and text.endswith("M5\nM2\n")
    modes: set[int] = set()
    for line in text.splitlines():
        assert len(line) <= 256
        for letter, number in words(line):
            assert number in WORDS[letter] if letter in WORDS else letter in AXES, line
            modes |= {int(number)} if letter == "G" else set()
    assert modes >= {17, 90, 94} and len(modes & {20, 21}) == 1
    for step in steps(text):
        assert step.word == 0 or step.feed > 0, "a feed is missing"
        if step.radii:
            assert abs(step.radii[0] - step.radii[1]) < ARC_TOLERANCE_MM


@pytest.mark.parametrize("name", NAMES)
def test_every_line_keeps_to_the_standard(name: str) -> None:
    for routed in routing_of(name).routed:
        for program in routed.holding.programs:
            whole_words(program.text)


@pytest.mark.parametrize("name", NAMES)
def test_every_cutter_stays_within_what_the_holding_says(name: str) -> None:
    for routed in routing_of(name).routed:
        stock, beyond = routed.holding.stock, routed.holding.beyond + 1e-3
        for program in routed.holding.programs:
            for step in steps(program.text):
                for x, y, z in step.points:
                    assert -beyond <= x <= stock.length + beyond and -beyond <= y <= stock.width + beyond
                    assert z >= -stock.thickness - routed.holding.into_bed - 1e-3
                if program.cutter.shape != "drill" and step.word and step.lowest < 0:
                    sunk = step.points[0][2] - step.points[-1][2]
                    beside = not 0 <= step.points[0][0] <= stock.length
                    assert sunk < 1e-3 or step.length > 5 * sunk or beside, "straight down into wood"


def test_every_flat_piece_and_block_of_the_demos_has_its_programs() -> None:
    for name in NAMES:
        found = routing_of(name)
        pieces = {piece for routed in found.routed for piece in routed.solids}
        cut = {piece.name for piece in cut_product(name).pieces() if piece.made == "cut"}
        carved = {piece.name for piece in cut_product(name).pieces() if piece.carved}
        assert pieces == cut | carved and not found.refused
        assert any("sanding_block" in piece for piece in carved) and "cradle_toe" in carved


def test_the_same_plane_gives_the_same_bytes() -> None:
    name = NAMES[0]
    again = routing(cut_product(name), Meshes())
    texts = [
        [p.text for one in found.routed for p in one.holding.programs] for found in (routing_of(name), again)
    ]
    assert texts[0] == texts[1]


def test_the_header_says_unit_zero_wood_cutter_speeds_time_and_cautions() -> None:
    text = routing_of(NAMES[0]).routed[0].holding.programs[-1].text
    comments = " ".join(re.findall(r"\((.*)\)", text))
    for said in (
        "Units: mm",
        "Zero: front left corner",
        "Wood: 600 mm x 400 mm x 12 mm",
        "diameter 6 mm",
        "Spindle",
        "feed",
        "min",
        "manual",
        "air first",
        "Hold the wood down",
        "Eyes and ears",
        "dust",
    ):
        assert said in comments


def test_an_inch_program_tells_its_wood_and_cutter_in_inches() -> None:
    more = '[shop.router]\nunits = "in"\ncutter = 6.35\nflute_length = 25.4\n'
    router = plan_of(spec_text("round", 16, 60, 50, "right") + more).spec.shop.router
    driving = Driving(router.speed, router.feed, router.plunge)
    cutter, wood = Cutter("flat", router.cutter, router.flute_length), Stock(609.6, 406.4, 12.7)
    up = Move((9, 0, 6), rapid=True)
    way = [Move((0, 0, 6), rapid=True), Move((0, 0, 0.5), rapid=True), Move((9, 0, -0.2)), up]
    text = wording.program(wording.Header("sheet_1", wood, ("one",), cutter, driving, ()), way, router).text
    comments = " ".join(re.findall(r"\((.*)\)", text))
    # 1 in = 25.4 mm; the mm is what the file is named by.
    assert "Wood: 24 in x 16 in x 0.5 in." in comments
    assert "straight cutter, diameter 0.25 in [6.35 mm], cuts 1 in [25.4 mm] up." in comments
    found = Routing((Routed(Holding("sheet_1", wood, (), ("one",), into_bed=2.54), {}),), {})
    assert "Wood of 24 in × 16 in × 0.5 in. The waste board is cut 0.1 in deep." in " ".join(
        router_text("plane", found, router).split()
    )


# --- planes not seen before ------------------------------------------------------------------------------


def made_of(text: str) -> Product:
    plan = plan_of(text)
    fixtures, declined = build_fixtures(
        plan, ("sled", "glue_caul", "sanding_blocks", "cradle", "sole_gauge"), False
    )
    return Product(plan, (), tuple(fixtures), tuple(declined))


@pytest.mark.parametrize(
    ("form", "radius", "arc", "hand", "extra"),
    [
        ("round", 3, 90, "left", ""),
        ("hollow", 40, 45, "right", '[shop.router]\nmaterial = "MDF"\nunits = "in"\n'),
        ("round", 25, 120, "right", '[shop.router]\ncutter = 4\nball = 4\ndirection = "climb"\n'),
        ("hollow", 5, 180, "left", "[shop.router]\ncutter = 5\nball = 3\n"),
    ],
)
def test_planes_of_all_kinds_are_routed(form: str, radius: float, arc: float, hand: str, extra: str) -> None:
    made = made_of(spec_text(form, radius, arc, 50, hand) + extra)
    found = routing(made, Meshes())
    cuts = cutting(made, Meshes())
    for routed in found.routed:
        for program in routed.holding.programs:
            whole_words(program.text)
        for sheet in cuts.sheets:
            if sheet.name == routed.holding.name:
                radii = {p.cutter.radius: p.text for p in routed.holding.programs}
                for plate in sheet.plates:
                    wood = region(plate.outline).difference(area_of(plate, "pocket inside drill"))
                    for cutter_radius, text in radii.items():
                        assert is_thin(touched(text, cutter_radius, 0.0).intersection(wood)), plate.name
    assert {piece for one in found.routed for piece in one.solids} | set(found.refused) >= {
        plate.name for plate in cuts.plates
    }


def test_wide_ridges_are_allowed_where_they_are_asked_for() -> None:
    """Even where the trough of a block is level; and they are no wider than asked for, by the simulator."""
    plan = plan_of(spec_text("round", 40, 60, 50, "left") + "[shop.router]\nscallop = 0.2\n")
    fixtures, _ = build_fixtures(plan, ("sanding_blocks",), lettered=False)
    found = routing(Product(plan, (), tuple(fixtures), whole=False), Meshes())
    done = simulate(job_of(found.routed[0], Meshes()), 0.6)
    assert done.passes, [str(one) for one in done.findings]
    assert 0.1 < done.ridge_mm < 0.215


def test_too_short_a_cutter_is_refused_with_its_length() -> None:
    made = cut_product(NAMES[0])
    router = made.plan.spec.shop.router.model_copy(update={"flute_length": 10.0})
    sheet = cutting(made, Meshes()).sheets[0]
    with pytest.raises(CannotCutError, match=r"cuts 10 mm up does not go through 12 mm.*flute_length"):
        sheet_holding("sheet_1", Stock(600, 400, 12), sheet.plates, router)


def test_too_wide_a_ball_is_refused_in_numbers() -> None:
    made = made_of(spec_text("round", 3, 90, 50, "right") + "[shop.router]\nball = 20\n")
    found = routing(made, Meshes())
    assert all("shop.router.ball" in why for name, why in found.refused.items() if "sanding" in name)
    assert any("sanding" in name for name in found.refused)


def held(name: str) -> Holding:
    return next(one.holding for one in routing_of(NAMES[0]).routed if one.holding.name == name)


def test_what_is_left_is_said() -> None:
    block = held("sanding_block_P100")
    assert any("mm across" in words_ for words_ in block.left)
    assert block.stock.length == pytest.approx(95) and block.scallop == 0.05
    assert any("plate" in line for line in held("cradle_toe").programs[0].text.splitlines())


@pytest.mark.parametrize("name", NAMES)
def test_tabs_hold_every_plate_to_the_sheet_and_what_nothing_holds_is_said(name: str) -> None:
    for routed in flat(name):
        holding, stock = routed.holding, routed.holding.stock
        flat_end = holding.programs[-1]
        through = swept(flat_end.text, flat_end.cutter.radius, -stock.thickness)
        left = box(0, 0, stock.length, stock.width).difference(through).buffer(-0.5)
        parts = sorted(getattr(left, "geoms", [left]), key=lambda part: -part.area)
        for plate in plates_of(name)[holding.name]:
            assert parts[0].intersects(region(plate.outline).buffer(-5)), f"{plate.name} hangs on nothing"
        loose = [
            part
            for part in parts[1:]
            if max(part.bounds[2] - part.bounds[0], part.bounds[3] - part.bounds[1]) > 4
        ]
        assert len(loose) == sum("loose offcut" in line for line in holding.left)
