"""The sheets as they lie on paper: nothing overlaps or is clipped, views stand in line, practice is kept."""

from __future__ import annotations

import itertools
from collections import defaultdict

import pytest
from shapely import box

from cad.papers.drawings.ink import Ink
from cad.papers.drawings.layout import Placed
from cad.papers.drawings.lettering import PLAIN_MM
from cad.papers.drawings.paper import A3, A4, LETTER, SCALES, TABLOID, largest_scale, scale_text
from cad.papers.drawings.placing import dim_line
from cad.papers.drawings.view import Linear
from tests.conftest import DEMOS, demo_path
from tests.planes import spec_text
from tests.sheets import chords, drawn, overlaps, subject

TEXTS = {name: demo_path(name).read_text() for name in DEMOS}
OTHERS = {
    "third angle, both units": TEXTS["cornice-round"] + '\n[paper]\nunits = "both"\nprojection = "third"\n',
    "small hollow": spec_text("hollow", 3, 180, 45, "right", unit="in"),
    "wide half round": spec_text("round", 40, 180, 60, "left"),
    "shallow hollow": spec_text("hollow", 6, 45, 60, "left", unit="in") + '[paper]\nunits = "both"\n',
}
LEAST_LANE_MM = 7.0  # between dimension lines, ISO 129-1 (from memory)
ALIGNED_MM = 1e-3  # the kernel draws its lines to some 1e-4


@pytest.mark.parametrize("name", DEMOS)
def test_text_overlaps_neither_lines_nor_other_text(name: str) -> None:
    found = {leaf.name: overlaps(leaf.ink) for leaf in drawn(TEXTS[name])}
    assert {sheet: faults for sheet, faults in found.items() if faults} == {}


@pytest.mark.parametrize("name", OTHERS)
def test_text_overlaps_nothing_on_the_parts_of_other_planes(name: str) -> None:
    found = {leaf.name: overlaps(leaf.ink) for leaf in drawn(OTHERS[name], with_fixtures=False)}
    assert {sheet: faults for sheet, faults in found.items() if faults} == {}


def test_the_check_for_overlaps_finds_them() -> None:
    leaf = drawn(TEXTS["cornice-round"])[0]
    first, second, *rest = leaf.ink.words
    moved = type(first)(first.text, second.at, first.height, first.turn_deg)
    assert overlaps(Ink(leaf.ink.strokes, leaf.ink.fills, (moved, second, *rest)))


@pytest.mark.parametrize("name", DEMOS)
def test_everything_lies_within_the_frame(name: str) -> None:
    for leaf in drawn(TEXTS[name]):
        left, bottom, right, top = leaf.laid.page.frame
        frame = box(left - 0.01, bottom - 0.01, right + 0.01, top + 0.01)
        points = [p for stroke in leaf.ink.strokes for p in chords(stroke)]
        points += [p for words in leaf.ink.words for p in words.corners()]
        across, up = [p[0] for p in points], [p[1] for p in points]
        assert frame.covers(box(min(across), min(up), max(across), max(up))), leaf.name


@pytest.mark.parametrize("name", DEMOS)
def test_views_of_one_row_or_column_stand_in_line(name: str) -> None:
    """ISO 5456-2: views are projected square to each other."""
    for leaf in drawn(TEXTS[name]):
        if leaf.name not in ("assembly", "body", "cheek-plate"):
            continue
        front, *others = leaf.laid.placed
        end = next(p for p in others if _span(p, 1) == pytest.approx(_span(front, 1), abs=ALIGNED_MM))
        assert end.origin[1] == pytest.approx(front.origin[1], abs=ALIGNED_MM)
        for above in (p for p in others if p is not end and p.scale == front.scale):
            assert _span(above, 0) == pytest.approx(_span(front, 0), abs=ALIGNED_MM)


def _span(placed: Placed, axis: int) -> tuple[float, float]:
    low, high = placed.view.box[axis], placed.view.box[axis + 2]
    return (placed.origin[axis] + placed.scale * low, placed.origin[axis] + placed.scale * high)


@pytest.mark.parametrize("name", [*DEMOS, *OTHERS])
def test_dimension_lines_stand_outside_their_view_and_apart(name: str) -> None:
    text = {**TEXTS, **OTHERS}[name]
    for leaf in drawn(text, with_fixtures=name in DEMOS):
        for placed in leaf.laid.placed:
            a0, b0, a1, b1 = (placed.scale * c for c in placed.view.box)
            lanes: dict[str, set[float]] = defaultdict(set)
            for mark in placed.view.marks:
                if isinstance(mark, Linear):
                    x, y = dim_line(mark, placed.view, placed.scale).ends[0]
                    off = {"left": a0 - x, "right": x - a1, "bottom": b0 - y, "top": y - b1}[mark.side]
                    assert off >= LEAST_LANE_MM
                    lanes[mark.side].add(round(off, 6))
            for side in lanes.values():
                assert all(b - a >= LEAST_LANE_MM for a, b in itertools.pairwise(sorted(side)))


@pytest.mark.parametrize("name", DEMOS)
def test_lines_are_wide_and_narrow_two_to_one(name: str) -> None:
    """ISO 128-2: widths out of .13 .18 .25 .35 .5 .7 1 1.4 2, wide to narrow 2 : 1."""
    for leaf in drawn(TEXTS[name]):
        by_layer = {stroke.layer: stroke.width for stroke in leaf.ink.strokes}
        assert by_layer["VISIBLE"] == by_layer["FRAME"] == 0.5
        assert by_layer["DIMENSIONS"] == 0.25
        assert {stroke.width for stroke in leaf.ink.strokes} == {0.25, 0.5}


@pytest.mark.parametrize("name", DEMOS)
def test_text_is_large_enough_to_read_in_print(name: str) -> None:
    """Figures stand 2.5 mm high, a step of ISO 3098; nothing is smaller than 1.5 mm, some 6 points."""
    for leaf in drawn(TEXTS[name]):
        figures = {d.text for d in leaf.laid.dimensions}
        assert all(words.height >= 1.5 for words in leaf.ink.words)
        printed = {words.text for words in leaf.ink.words if words.height == PLAIN_MM}
        assert figures <= printed


@pytest.mark.parametrize("name", DEMOS)
def test_scales_are_standard_and_named(name: str) -> None:
    """ISO 5455: 1:1; 2, 5, 10, 20, 50 : 1; 1 : 2, 5, 10 … (from memory)."""
    for leaf in drawn(TEXTS[name]):
        words = {one.text for one in leaf.ink.words}
        assert scale_text(leaf.laid.scale) in words
        for placed in leaf.laid.placed:
            assert placed.scale in SCALES
            if placed.scale != leaf.laid.scale:
                assert any(scale_text(placed.scale) in text for text in words)


def test_scales_are_the_largest_that_fit() -> None:
    assert (largest_scale(250, 180), largest_scale(90, 180), largest_scale(1e6, 1)) == (0.5, 2.0, SCALES[-1])
    assert [scale_text(scale) for scale in (5.0, 1.0, 0.2)] == ["5:1", "1:1", "1:5"]


def test_sheets_have_standard_sizes() -> None:
    """A4 210 × 297, A3 297 × 420: ISO 5457. Letter 8.5 × 11 in, tabloid 11 × 17 in: ASME Y14.1."""
    assert (A4.width, A4.height, A3.height, A3.width) == (210, 297, 297, 420)
    assert (LETTER.width, LETTER.height) == (8.5 * 25.4, 11 * 25.4)
    assert (TABLOID.height, TABLOID.width) == (11 * 25.4, 17 * 25.4)
    for page in (A4, A3, LETTER, TABLOID):  # borders 20 mm left, 10 mm elsewhere: ISO 5457 (from memory)
        assert page.frame == (20, 10, page.width - 10, page.height - 10)


def test_the_small_paper_is_a4_in_millimetres_and_letter_in_inches() -> None:
    for name, size in (("cornice-round", "A4"), ("skirting-round", "letter")):
        names = [leaf.laid.page.name for leaf in drawn(TEXTS[name])]
        assert names.count(size) > len(names) / 2


@pytest.mark.parametrize("name", DEMOS)
def test_the_title_block_has_the_fields_of_the_standard(name: str) -> None:
    """ISO 7200: owner, identification, date of issue, sheet, title, approver, creator, type of document."""
    leaves = drawn(TEXTS[name])
    for number, leaf in enumerate(leaves, start=1):
        words = {one.text for one in leaf.ink.words}
        captions = {"Owner", "Identification", "Date of issue", "Sheet", "Title", "Approved by", "Created by"}
        assert captions | {"Document type"} <= words
        assert {leaf.laid.sheet.title, leaf.laid.sheet.document, f"{number} / {len(leaves)}"} <= words


@pytest.mark.parametrize("projection", ["first", "third"])
def test_views_and_symbol_follow_the_projection(projection: str) -> None:
    """First angle: seen from above stands below, seen from the left to the right; third angle the reverse.

    In the symbol the large end of the cone is turned to the circles in first angle, the small end in third
    (ISO 5456-2, from memory).
    """
    text = TEXTS["cornice-round"] + f'\n[paper]\nprojection = "{projection}"\n'
    leaf = next(leaf for leaf in drawn(text, with_fixtures=False) if leaf.name == "body")
    by_size = sorted(leaf.laid.placed, key=lambda p: p.view.box[2] - p.view.box[0])
    end, (above, front) = by_size[0], sorted(by_size[1:], key=lambda p: p.view.box[3] - p.view.box[1])
    is_first = projection == "first"
    assert (_span(end, 0)[0] > _span(front, 0)[1]) == is_first
    assert (_span(above, 1)[1] < _span(front, 1)[0]) == is_first

    low_x, high_y = leaf.laid.page.frame[2] - 30, leaf.laid.page.frame[1] + 20
    symbol = [
        s for s in leaf.ink.strokes if s.width == 0.5 and all(x > low_x and y < high_y for x, y in chords(s))
    ]
    ends = sorted(
        (points[0][0], abs(points[1][1] - points[0][1]))
        for stroke in symbol
        if len(points := chords(stroke)) == 2
        and points[0][0] == points[1][0]
        and stroke.layer == "TITLE_BLOCK"
    )
    circles = [chords(s) for s in symbol if s.layer == "VISIBLE"]
    middle = sum(p[0] for p in circles[0]) / len(circles[0])
    near, far = sorted(ends, key=lambda end: abs(end[0] - middle))
    assert (near[1] > far[1]) == is_first


def test_the_hand_shows_in_the_front_view() -> None:
    """The open side is seen, a right-hand plane with its toe to the left, a left-hand one to the right."""
    for name, toe_is_left in (("cornice-round", True), ("skirting-round", False)):
        plan = subject(TEXTS[name], with_fixtures=False).plan
        leaf = next(leaf for leaf in drawn(TEXTS[name], with_fixtures=False) if leaf.name == "body")
        front = leaf.laid.placed[0]
        mouth = next(m for m in front.view.marks if isinstance(m, Linear) and m.dimension.key == "mouth_at")
        assert mouth.dimension.value == plan.throat.mouth_at
        assert (mouth.start[0] < mouth.end[0]) == toe_is_left
        assert mouth.start[0] == pytest.approx(front.view.box[0 if toe_is_left else 2], abs=1e-3)
