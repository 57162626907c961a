"""The build sheet: its numbers against the plan and the solids, its cautions, both renderings."""

from __future__ import annotations

import re
from functools import cache
from importlib import import_module
from math import cos, radians

import pytest
from hypothesis import given, settings
from reportlab.lib import units
from reportlab.pdfbase.pdfmetrics import stringWidth

from cad.kernel.measure import extent
from cad.papers import board, build_sheet, cautions
from cad.papers.build_sheet.pictures import fixture_pictures
from cad.papers.build_sheet.step import Bench
from cad.papers.build_sheet.steps import all_steps
from cad.papers.sheet.as_html import html
from cad.papers.sheet.as_pdf import BOLD, CELL, CELL_PADS, PLAIN, column_widths, pdf
from cad.papers.sheet.document import Caution, Document, Notice, Pictures, Table
from tests.conftest import DEMOS
from tests.handouts import bare, page, pdf_text, rows, squeezed, step, table, texts
from tests.planes import plan_of as plan_of_text
from tests.planes import specs
from tests.products import product
from tests.sample_planes import plan_of

SOME_MM3 = {"body": 5e5, "cheek_plate": 7e4, "wedge": 2e4, "iron": 8e3}
FRAME = 12  # points: reportlab's own padding of a frame


@cache
def sheet(name: str) -> Document:
    """Return the build sheet of a demo, all fixtures made."""
    made = product(name)
    volumes = {part.name: part.solid.Volume() for part in made.parts}
    return build_sheet.document(
        made.plan, made.fixtures, made.declined, volumes, fixture_pictures(made.plan, made.fixtures)
    )


def plain_sheet(changes: dict[str, object]) -> Document:
    """Return the build sheet of a sample plane with no fixtures."""
    return build_sheet.document(plan_of(changes), (), (), SOME_MM3, {})


@pytest.mark.parametrize("name", DEMOS)
def test_pdf_and_html_say_the_same(name: str) -> None:
    document = sheet(name)
    shown, read = page(html(document)), pdf_text(pdf(document), f"{name}: build sheet")
    on_screen = squeezed(shown.text)
    for text in texts(document):
        assert squeezed(text) in on_screen
        assert squeezed(text) in read


@pytest.mark.parametrize("name", DEMOS)
def test_the_page_is_well_formed_and_stands_by_itself(name: str) -> None:
    text = html(sheet(name))
    found = page(text)
    assert len(found.ids) == len(set(found.ids))
    assert all(link.startswith("#") and link[1:] in found.ids for link in found.links)
    assert "http" not in text.replace("http://www.w3.org/2000/svg", "")
    assert found.tags.count("svg") == len(product(name).fixtures)


@pytest.mark.parametrize("name", DEMOS)
def test_the_same_plan_gives_the_same_bytes(name: str) -> None:
    assert pdf(sheet(name)) == pdf(sheet(name))
    assert html(sheet(name)) == html(sheet(name))


@pytest.mark.parametrize("name", DEMOS)
def test_every_fixture_is_drawn_once_at_its_step_and_its_cautions_stand_there(name: str) -> None:
    document, made = sheet(name), product(name)
    for fixture in made.fixtures:
        spoken = fixture.name.replace("_", " ")
        homes = [
            section
            for section in document.sections
            for block in section.blocks
            if isinstance(block, Pictures) and spoken in [p.caption for p in block.pictures]
        ]
        assert len(homes) == 1, spoken
        said = [item for block in homes[0].blocks if isinstance(block, Caution) for item in block.items]
        assert set(fixture.cautions) <= set(said)


def _said(document: Document) -> set[str]:
    blocks = [*document.lead, *(block for section in document.sections for block in section.blocks)]
    return {item for block in blocks if isinstance(block, Caution) for item in block.items}


def test_the_usual_cautions_stand_where_they_matter() -> None:
    document = plain_sheet({})
    wanted = {
        "Square the blank": cautions.TABLE_SAW,
        "Cut the rabbet": cautions.TABLE_SAW,
        "shape the sole": cautions.CHISEL,
        "True the sole": cautions.DUST,
        "Saw the throat": cautions.CHISEL,
        "Pare bed and front": cautions.CHISEL,
        "Glue the plate on": cautions.GLUE,
        "fit the wedge": cautions.WEDGE,
        "fit the iron": cautions.SHARP,
        "Finish the wood": (*cautions.DUST, *cautions.RAGS),
        "Fit and tune": cautions.WEDGE,
    }
    for words, expected in wanted.items():
        said = [
            i for block in step(document, words).blocks if isinstance(block, Caution) for i in block.items
        ]
        assert set(expected) <= set(said), words
    assert set(cautions.FIRST) <= _said(document)


def test_cornice_round_s_numbers() -> None:
    """By hand from the spec: 250, 75 and 32 mm, spare 50, shoulder 56, plate 6, mouth 82 and 6."""
    document = sheet("cornice-round")
    blank = rows(step(document, "Square the blank"))
    assert blank["Blank, length × height × thickness"] == "350 × 75 × 32 mm"
    rabbet = rows(step(document, "Cut the rabbet"))
    assert rabbet["Depth of the rabbet = thickness of the plate"] == "6 mm"
    assert rabbet["Shoulder below the top (height of the rail)"] == "19 mm"
    assert rabbet["Rabbet face to blind face"] == "26 mm"
    scribed = rows(step(document, "Scribe the profile on both ends"))
    assert scribed["Depth of the profile"] == "2.14 mm"  # Machinery's Handbook, segments of circles
    laid = rows(step(document, "Lay out the throat"))
    assert laid["Mouth at the lowest of the sole: front, bed"] == "132 mm, 138 mm"
    # 132 + 75 cot 60 = 175.301; 138 + 75 cot 50 = 200.932
    assert laid["On the top: front, bed"] == "175.3 mm, 200.93 mm"
    assert laid["Depth from the rabbet face (the sole's width)"] == "16 mm"
    sawn = rows(step(document, "Saw the throat"))
    assert sawn["Hand saw: its back over the rabbet face at full depth"] == "34 mm"  # 50 - 16
    assert sawn["Table saw: blade above the table"] == "40 mm"  # 12 + 12 + 16
    trimmed = rows(step(document, "Trim the ends"))
    assert trimmed["Toe end to the front of the mouth"] == "82 mm"
    assert trimmed["Bed at the sole to the heel end"] == "162 mm"


def test_cornice_round_s_tables() -> None:
    document = sheet("cornice-round")
    sinks = table(step(document, "fit the wedge"), "Taken off one face")
    # 1 / sin 10° = 5.758770
    assert [bare(cell) for cell in sinks.rows[0][1:]] == [
        "0.12 mm",
        "0.29 mm",
        "0.58 mm",
        "1.15 mm",
        "2.88 mm",
    ]
    tune = step(document, "Fit and tune")
    # 1.822697 and 0.2617494 of what is trued: see test_20_geometry_formulas
    gaps = table(tune, "Trued off the sole")
    assert [bare(c) for c in gaps.rows[0][1:]] == ["1.82 mm", "1.85 mm", "1.88 mm", "1.95 mm", "2.03 mm"]
    round_the_sole = table(tune, "Sole turned")
    assert [row[0] for row in round_the_sole.rows] == ["0°", "10°", "20°", "30°"]
    # tan c' = tan 20° cos 30°; 0.1 / sin 50° = 0.1305; and 0.1305 / cos 30°
    last = [bare(cell) for cell in round_the_sole.rows[-1]]
    assert last == ["30°", "8 mm", "17.5°", "0.09 mm", "87 %", "0.15 mm"]
    grits = table(step(document, "True the sole"), "Grit")
    # FEPA 43 / ISO 6344: P100 162 µm; 16 + 2 + 0.25 + 0.162
    assert [bare(cell) for cell in grits.rows[0]] == ["P100", "0.162 mm", "2.412 mm", "18.41 mm"]


def test_a_half_round_scrapes_at_its_edges() -> None:
    tune = step(plain_sheet({"sole.arc": 180}), "Fit and tune")
    last = table(tune, "Sole turned").rows[-1]
    assert (last[0], last[2], last[-1]) == ("90°", "0°", "scrapes")


def test_shavings_thin_out_as_the_cosine() -> None:
    for row in table(step(plain_sheet({"sole.arc": 120}), "Fit and tune"), "Sole turned").rows:
        turned, share = float(row[0].rstrip("°")), float(bare(row[4]).rstrip(" %"))
        assert share == pytest.approx(100 * cos(radians(turned)), abs=0.5)


@pytest.mark.parametrize("name", DEMOS)
def test_finished_sizes_are_those_of_the_solids(name: str) -> None:
    made = product(name)
    solids = {part.name: part.solid for part in made.parts}
    low, high = extent(solids["body"])
    trimmed = rows(step(sheet(name), "Trim the ends"))["Length"]
    assert _mm(trimmed) == pytest.approx(high[0] - low[0], abs=0.006)
    finished = [bare(cell) for cell in table(step(sheet(name), "Stock and cut list"), "Piece").rows[0]]
    section = made.plan.section
    laminated = made.plan.stages.laminated
    sides = (high[0] - low[0], high[2] - low[2], section.blind_face if laminated else high[1] - low[1])
    assert _sides(finished[1]) == pytest.approx(sides, abs=0.06)
    plate_low, plate_high = extent(solids["cheek_plate"])
    plate = next(
        row for row in table(step(sheet(name), "Stock and cut list"), "Piece").rows if row[0] == "Cheek plate"
    )
    grown = tuple(b - a for a, b in zip(plate_low, plate_high, strict=True))
    assert _sides(bare(plate[1])) == pytest.approx((grown[0], grown[2], grown[1]), abs=0.06)


def _mm(text: str) -> float:
    """Return the mm of a length, whichever unit comes first."""
    return float(re.findall(r"([\d.]+) mm", bare(text))[0])


def _sides(text: str) -> tuple[float, ...]:
    """Return the mm of the sides of a size."""
    return tuple(float(side) for side in re.findall(r"[\d.]+", bare(text).rsplit("(", 1)[-1]))


@pytest.mark.parametrize("name", DEMOS)
def test_board_use_is_measured_on_the_solids(name: str) -> None:
    made = product(name)
    volumes = {part.name: part.solid.Volume() for part in made.parts}
    use = board.board_use(made.plan, volumes)
    assert use.finished == pytest.approx(volumes["body"] + volumes["cheek_plate"] + volumes["wedge"])
    assert 0 < use.waste < use.stock
    shown = rows(step(sheet(name), "Board use and cost"))[
        "Wood in the finished plane, measured on its solids"
    ]
    assert float(shown.split()[0]) == pytest.approx(use.finished / 1e6, abs=0.006)


def test_a_price_gives_a_cost() -> None:
    plan = plan_of({"wood.price": 12, "wood.board": ["48 in", "6 in", "2 in"]})
    use = board.board_use(plan, SOME_MM3)
    # 48 x 6 x 2 in³ = 576 in³ = 4 board feet, by definition; 48 of the money.
    assert use.boards_cost == pytest.approx(48)
    found = rows(board.section(plan, SOME_MM3))
    assert found["Cost of whole boards"] == "48.00"
    assert "Cost of the rough pieces" not in rows(board.section(plan_of({}), SOME_MM3))


def test_a_board_too_small_is_said_and_not_counted() -> None:
    thin = board.section(plan_of({"wood.price": 12, "wood.board": [1000, 150, 30]}), SOME_MM3)
    notices = [item for block in thin.blocks if isinstance(block, Notice) for item in block.items]
    assert len(notices) == 1 and "body block" in notices[0]
    assert "Cost of the rough pieces" in rows(thin)
    assert not [what for what in rows(thin) if what.startswith(("Boards", "Cost of whole"))]


def test_wood_that_would_bind_the_iron_is_said_and_printed_under_movement() -> None:
    moist = {"sole.radius": 30, "wood.grain": "flat", "wood.moisture_now": 12, "wood.moisture_range": [6, 13]}
    movement = step(plain_sheet(moist), "Movement of the wood")
    notices = [item for block in movement.blocks if isinstance(block, Notice) for item in block.items]
    # 30 x .00431 x 6 = 0.776 mm (Wood Handbook, eq. 13-2)
    assert any("pushes plate or blind wall off: 0.78 mm" in item for item in notices)
    play = next(
        row for row in table(movement, "").rows if row[0] == "Play of an iron that just fits when made"
    )
    assert bare(play[1]) == "binds by 0.78 mm"
    dry = step(plain_sheet({"wood.moisture_now": 6}), "Movement of the wood")
    assert not [block for block in dry.blocks if isinstance(block, Notice)]


def test_the_table_of_woods_and_of_air() -> None:
    movement = step(plain_sheet({}), "Movement of the wood")
    woods = {row[0]: row for row in table(movement, "Wood").rows}
    assert len(woods) >= 10
    # Wood Handbook, FPL-GTR-190, tables 4-3 and 13-5; 100 x .00431 x 6.
    assert woods["American beech"][1:] == ("5.5, 11.9", "0.00190", "0.00431", "1.14 mm", "2.59 mm")
    assert woods["apple"][1] == "–"
    air = table(movement, "Relative humidity")
    room = next(row for row in air.rows if row[0].startswith("21.1"))
    # Table 4-2, from memory.
    found = dict(zip(air.head, room, strict=True))
    assert (found["50 %"], found["65 %"], found["80 %"]) == ("9.2 %", "12.0 %", "16.0 %")
    assert "Wood Handbook" in " ".join(texts(plain_sheet({})))


@settings(max_examples=12, deadline=None)
@given(specs())
def test_any_plane_gets_its_sheet(text: str) -> None:
    document = build_sheet.document(plan_of_text(text), (), (), SOME_MM3, {})
    page(html(document))
    assert pdf(document).startswith(b"%PDF")


@settings(max_examples=12, deadline=None)
@given(specs())
def test_no_word_is_wider_than_its_column(text: str) -> None:
    document = build_sheet.document(plan_of_text(text), (), (), SOME_MM3, {})
    pdf(document)  # makes the fonts known
    body = (210 - 20 - 12) * units.mm - FRAME
    for section in document.sections:
        for block in section.blocks:
            if isinstance(block, Table):
                _check_words(block, body)


def _check_words(found: Table, wide: float) -> None:
    widths = column_widths(found, wide)
    for row, font in ((found.head, BOLD), *((row, PLAIN) for row in found.rows)):
        for cell, column in zip(row, widths, strict=False):
            # A space that ties does not break the line.
            for word in cell.split(" "):
                assert stringWidth(word, font, CELL.fontSize) <= column - CELL_PADS, (word, found.head)


def test_steps_are_found_by_their_files_in_the_order_of_work() -> None:
    bench = Bench(plan_of({}), {}, {})
    titles = [step.title for step in all_steps(bench)]
    assert titles[0] == "Square the blank"
    assert titles[-1] == "Fit and tune"
    assert titles.index("True the sole") < titles.index("Saw the throat") < titles.index("Glue the plate on")
    module = import_module("cad.papers.build_sheet.steps.tune")
    assert next(iter(module.steps(bench))).title in titles


def test_a_moulding_is_worked_and_tuned_member_by_member() -> None:
    document = plain_sheet({"sole.form": "ogee", "sole.radius": None, "sole.width": 20})
    told = squeezed(" ".join(texts(document)))
    assert squeezed("An ogee, 20 mm wide; right hand") in told
    # The sole is the negative of the work: it is hollow over what the work has round.
    assert squeezed("Where the sole is hollow (over the round of the work): take it out") in told
    assert squeezed("Where the sole is round (over the hollow of the work): plane flats") in told
    assert "radius of the sole" not in told.lower()
    found = table(step(document, "Fit and tune"), "Member")
    cells = [tuple(bare(cell) for cell in row[:5]) for row in found.rows if row[0] == "round"]
    # The round rises from (2.5, 0) to (10, 4.3): θ = 2 · atan(4.3 / 7.5) = 59.68°; tan c' = tan 20° · cos θ.
    assert cells[0] == ("round", "2.5 mm", "59.7°", "10.4°", "0.05 mm")
    assert cells[2] == ("round", "10 mm", "0°", "20°", "0.1 mm")
