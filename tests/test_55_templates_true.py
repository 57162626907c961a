"""Templates read back from the PDF: pages, rulers and known lengths are true on the paper within 0.1 mm."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import pairwise
from math import atan2, cos, degrees, hypot, pi, radians, sin

import pytest

from cad.geometry import Plan
from cad.papers.templates import SIZES, templates_pdf
from cad.papers.templates.page import PaperSize
from tests.pdf_ink import Ink, Page, Point, length, read_pages
from tests.sample_planes import plan_of

TRUE_MM = 0.1  # what the issue allows; the file itself is far truer
FILE_MM = 0.005  # reportlab writes some six digits, half a micron on this page
DEMO: dict[str, object] = {
    "sole.arc": 60,
    "body.length": 250,
    "body.height": 75,
    "body.thickness": 32,
    "body.shoulder": 56,
    "body.spare": 50,
    "cheek.thickness": 6,
    "throat.bed": 50,
    "throat.front": 60,
    "throat.mouth_at": 82,
    "throat.mouth": 6,
    "iron.thickness": 3.2,
}
CUT_MM, THIN_MM = 0.25, 0.18  # line widths of ISO 128-2


@cache
def _pages(changes: tuple[tuple[str, object], ...], size: PaperSize) -> list[Page]:
    return read_pages(templates_pdf(plan_of(dict(changes)), (), size))


def pages(changes: dict[str, object], size: PaperSize = SIZES[0]) -> list[Page]:
    """Return the pages of the plain round's templates, without fixtures, some keys changed."""
    return _pages(tuple({**DEMO, **changes}.items()), size)


def ends(found: list[Page], plan: Plan, scale: tuple[float, float] = (1, 1)) -> list[Ink]:
    """Return the closed outlines that are as high and as wide as the body's end, toe first."""
    wide, high = plan.spec.body.thickness * scale[0], plan.spec.body.height * scale[1]
    return [
        ink
        for page in found
        for ink in page.inks
        if ink.closed
        and any(ink.curved)
        and abs(ink.box[2] - ink.box[0] - wide) < 0.01
        and abs(ink.box[3] - ink.box[1] - high) < 0.01
    ]


@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.name)
@pytest.mark.parametrize("scale", [1.0, 1.02])
def test_pages_are_exactly_the_papers_size(size: PaperSize, scale: float) -> None:
    """A4 by ISO 216; letter 8.5 by 11 in by ASME Y14.1."""
    wanted = {"a4": (210.0, 297.0), "letter": (8.5 * 25.4, 11 * 25.4)}[size.name]
    for page in pages({"paper.scale_x": scale}, size):
        assert (page.width, page.height) == pytest.approx(wanted, abs=1e-3)


def rulers(page: Page) -> list[tuple[str, list[float]]]:
    """Return the rulers of a page: which way each runs, and where along it its longest ticks stand."""
    fine = [(p, q) for p, q, ink in page.segments() if abs(ink.width - THIN_MM) < 0.02 and not ink.dashed]
    found = []
    for axis, way in ((0, "across"), (1, "up")):
        for p, q in fine:
            if abs(p[1 - axis] - q[1 - axis]) > 1e-6 or not 94 < length(p, q) < 108:
                continue
            level = p[1 - axis]
            ticks = sorted(
                a[axis]
                for a, b in fine
                if abs(a[axis] - b[axis]) < 1e-6
                and abs(a[1 - axis] - level) < 1e-4
                and min(p[axis], q[axis]) - 1e-4 <= a[axis] <= max(p[axis], q[axis]) + 1e-4
                and (b[1 - axis] - level) * (1 if axis == 0 else -1) > 3.6
            )
            if len(ticks) == 11:
                found.append((way, ticks))
    return found


@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.name)
@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("scale", [(1.0, 1.0), (1.006, 0.99)])
def test_every_page_has_two_rulers_at_right_angles(
    size: PaperSize, unit: str, scale: tuple[float, float]
) -> None:
    changes = {k: f"{v} mm" if isinstance(v, int | float) and _is_length(k) else v for k, v in DEMO.items()}
    spec = {**changes, "sole.radius": "16 mm", "unit": unit}
    spec |= {"paper.scale_x": scale[0], "paper.scale_y": scale[1]}
    for page in pages(spec, size):
        found = rulers(page)
        assert [way for way, _ in found] == ["across", "up"]
        for (_, ticks), factor in zip(found, scale, strict=True):
            assert ticks[-1] - ticks[0] == pytest.approx(100 * factor, abs=FILE_MM)
            steps = [b - a for a, b in pairwise(ticks)]
            assert steps == pytest.approx([10 * factor] * 10, abs=FILE_MM)
        inches = [(p, q) for p, q, _ in page.segments() if abs(length(p, q) - 101.6 * scale[0]) < FILE_MM]
        assert bool(inches) == (unit == "in")


def _is_length(key: str) -> bool:
    return key.split(".")[1] not in ("arc", "bed", "front")


def test_every_page_says_what_it_is() -> None:
    found = pages({})
    for number, page in enumerate(found, start=1):
        text = " ".join(page.text.split())
        assert f"page {number}/{len(found)}" in text
        assert "Scale 1:1." in text and "100 %, no fit to page" in text
        assert "both rulers must measure exactly 100 mm" in text
        assert "sample: true-size templates" in text and "On this page:" in text
        assert "No correction applied" in text
    corrected = " ".join(pages({"paper.scale_x": 1.006, "paper.scale_y": 0.99})[0].text.split())
    assert "× 1.006 across (paper.scale_x)" in corrected and "× 0.99 up (paper.scale_y)" in corrected


def sagitta(points: list[Point]) -> tuple[float, float]:
    """Return the chord of a curve and how far it stands off the chord."""
    (ax, ay), (bx, by) = points[0], points[-1]
    chord = hypot(bx - ax, by - ay)
    off = [abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / chord for x, y in points]
    return chord, max(off)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.name)
@pytest.mark.parametrize(
    ("radius", "width", "chord", "high"),
    [
        # Machinery's Handbook, 31st ed., segments of circles: r 60, h 8 gives a chord of 59.86 (59.8665).
        (60, 59.8665, 59.8665, 8.0),
        # The same tables for r = 1, 60 degrees: chord 1, height 0.133975.
        (16, None, 16.0, 16 * 0.133975),
        # The same for 180 degrees: chord 2, height 1.
        (9.525, 19.05, 19.05, 9.525),
    ],
)
def test_chord_and_sagitta_of_the_sole(
    size: PaperSize, radius: float, width: float | None, chord: float, high: float
) -> None:
    changes: dict[str, object] = {"sole.radius": radius}
    if width is not None:
        changes |= {"sole.width": width, "sole.arc": None}
        changes |= dict.fromkeys(("body.thickness", "body.height", "body.shoulder"))
    outlines = ends(pages(changes, size), plan_of({**DEMO, **changes}))
    assert len(outlines) == 2
    for outline in outlines:
        assert sagitta(outline.arc()) == pytest.approx((chord, high), abs=FILE_MM)


def test_arcs_are_round_on_the_paper() -> None:
    outline = ends(pages({}), plan_of(DEMO))[0]
    arc = outline.arc()
    (ax, ay), (bx, _) = arc[0], arc[-1]
    centre = ((ax + bx) / 2, ay + 16 * cos(pi / 6))
    assert [length(centre, p) for p in arc] == pytest.approx([16.0] * len(arc), abs=0.002)


def test_correction_stretches_templates_as_it_stretches_rulers() -> None:
    scale = (1.0125, 0.985)
    changes = {"paper.scale_x": scale[0], "paper.scale_y": scale[1]}
    plan = plan_of({**DEMO, **changes})
    outlines = ends(pages(changes), plan, scale)
    assert len(outlines) == 2
    chord, high = sagitta(outlines[0].arc())
    assert chord == pytest.approx(16 * scale[0], abs=FILE_MM)
    assert high == pytest.approx(16 * 0.133975 * scale[1], abs=FILE_MM)
    # On a printer that is off the other way both come out true.
    assert (chord / scale[0], high / scale[1]) == pytest.approx((16.0, 2.1436), abs=TRUE_MM / 10)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.name)
@pytest.mark.parametrize(("long", "tiles"), [(250, 2), (380, 3), (560, 4)])
def test_tiles_join_to_the_plates_length(size: PaperSize, long: int, tiles: int) -> None:
    """Walk from one end of the plate over the registration marks of each seam to the other end."""
    tall = 56 - plan_of(DEMO).sole.plate_edge
    spans = [
        tile_span(page, tall, shoulder, marks)
        for flat in pages({"body.length": long, "throat.mouth_at": 82}, size)
        for page in (flat, turned(flat))  # the plate stands turned to the left, or lies
        for shoulder, marks in tiles_of(page, tall).items()
    ]
    assert len(spans) == tiles
    assert sum(spans) == pytest.approx(long + 100, abs=FILE_MM)


def turned(page: Page) -> Page:
    """Return a page after a quarter turn to the left."""

    def turn(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((page.height - y, x) for x, y in points)

    inks = tuple(replace(ink, knots=turn(ink.knots), samples=turn(ink.samples)) for ink in page.inks)
    return replace(page, width=page.height, height=page.width, inks=inks)


Side = tuple[float, float, float]  # x of an upright line, and where it begins and ends


def cut(page: Page) -> list[tuple[Point, Point]]:
    """Return the straight pieces drawn with the pen for cuts."""
    return [(p, q) for p, q, ink in page.segments() if abs(ink.width - CUT_MM) < 0.01 and not ink.dashed]


def tiles_of(page: Page, tall: float) -> dict[Side, list[Point]]:
    """Return the marks of each tile of the plate by the tile's shoulder line, left of its lower edge."""
    sides = [(p[0], *sorted((p[1], q[1]))) for p, q in cut(page) if abs(p[0] - q[0]) < 1e-6]
    found: dict[Side, list[Point]] = {}
    for side in sides:
        x, low, high = side
        if any(abs(other[0] - x - tall) < FILE_MM and low < sum(other[1:]) / 2 < high for other in sides):
            within = [spot for spot in diamonds(page) if x < spot[0] < x + tall and low < spot[1] < high]
            found |= {side: within} if within else {}
    return found


def tile_span(page: Page, tall: float, shoulder: Side, marks: list[Point]) -> float:
    """Return the length of plate that a tile gives: from mark to mark, or from mark to the plate's end."""
    levels = sorted({round(y, 3) for _, y in marks})
    assert len(marks) == 2 * len(levels), "two marks on each seam"
    ends = [
        p[1]
        for p, q in cut(page)
        if abs(length(p, q) - tall) < FILE_MM and abs(p[1] - q[1]) < 1e-6
        if abs(min(p[0], q[0]) - shoulder[0]) < FILE_MM and shoulder[1] - 0.01 < p[1] < shoulder[2] + 0.01
    ]
    stations = sorted([*levels, *ends])
    assert len(stations) == 2
    return stations[1] - stations[0]


def diamonds(page: Page) -> list[Point]:
    """Return the middles of the registration marks of a page."""
    found = []
    for ink in page.inks:
        low_x, low_y, high_x, high_y = ink.box
        square = abs((high_x - low_x) - (high_y - low_y)) < 1e-3 and 4 < high_x - low_x < 6
        if ink.closed and len(ink.knots) == 5 and not any(ink.curved) and square:
            found.append(((low_x + high_x) / 2, (low_y + high_y) / 2))
    return found


def right_of_viewer(forward: tuple[float, float, float]) -> float:
    """Return how far y points to the right of one who looks along `forward` with z up (cross product)."""
    return -forward[0]  # the y of forward × (0, 0, 1) is f_z·0 − f_x·1


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.name)
def test_ends_are_mirrored_as_they_are_seen(size: PaperSize, hand: str) -> None:
    """A right hand has its rabbet at y < 0. Who pastes on the toe looks along +x, on the heel along -x."""
    plan = plan_of({**DEMO, "body.hand": hand})
    found = pages({"body.hand": hand}, size)
    for word, forward in (("TOE", 1.0), ("HEEL", -1.0)):
        outline = next(
            ink
            for page in found
            for ink in ends([page], plan)
            for words in page.words
            if words.text == word and ink.box[0] < words.at[0] < ink.box[2] and words.at[1] > ink.box[1] + 60
            if words.at[1] < ink.box[3]
        )
        low_x, _, high_x, _ = outline.box
        inset = [x for x, y in outline.samples if abs(y - (outline.box[1] + 56)) < 0.01]
        rail = min(inset, key=lambda x: min(x - low_x, high_x - x))
        side = 1 if high_x - rail < rail - low_x else -1  # the shoulder runs out to the rail on this side
        rabbet_y = -1.0 if hand == "right" else 1.0
        assert side == rabbet_y * right_of_viewer((forward, 0.0, 0.0))


def test_lines_of_the_throat_stand_at_their_angles() -> None:
    """On the A4 page the layout stands turned: front and bed make their angles with the fold lines."""
    lines = [
        (degrees(atan2(abs(q[0] - p[0]), abs(q[1] - p[1]))), length(p, q))
        for page in pages({})
        for p, q in cut(page)
    ]
    face = 56 - plan_of(DEMO).sole.plate_edge
    for angle in (50.0, 60.0):
        near = [long for found, long in lines if abs(found - angle) < 0.01]
        assert any(long == pytest.approx(face / sin(radians(angle)), abs=FILE_MM) for long in near), angle


def test_nothing_lies_where_a_printer_cannot_print() -> None:
    for scale in ((1.0, 1.0), (0.95, 1.05), (1.05, 0.95)):
        for size in SIZES:
            changes = {"paper.scale_x": scale[0], "paper.scale_y": scale[1]}
            for page in pages(changes, size):
                for ink in page.inks:
                    low_x, low_y, high_x, high_y = ink.box
                    assert min(low_x, low_y) >= 8 and high_x <= page.width - 8 and high_y <= page.height - 8
                assert all(word.at[0] >= 8 and word.at[1] >= 8 for word in page.words)


def test_lines_are_thin() -> None:
    widths = {round(ink.width, 2) for page in pages({}) for ink in page.inks if not ink.filled}
    assert widths == {CUT_MM, THIN_MM}
