"""Profiles read from SVG: lengths of CSS, transforms by numpy, curves by equations; and hostile files."""

from __future__ import annotations

from math import comb

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cad.errors import ProfileError
from tests.drawings import FIT_MM, headings_met, laid, line_of, read_dxf, read_svg, svg

LINE = '<path d="M 0 10 L 30 4"/>'


def test_z_runs_up_where_svg_runs_down() -> None:
    assert read_svg(svg(LINE)).corners == ((0, 0, 0), (30, 6, 0))


@pytest.mark.parametrize(
    ("size", "mm"),
    [
        ('width="60mm" height="40mm" viewBox="0 0 60 40"', 1.0),
        ('width="6cm" height="4cm" viewBox="0 0 60 40"', 1.0),
        ('width="6in" height="4in" viewBox="0 0 60 40"', 2.54),
        ('width="96" height="64" viewBox="0 0 96 64"', 25.4 / 96),
        ('width="72pt" height="48pt" viewBox="0 0 96 64"', 25.4 / 96),
        ('width="6pc" height="4pc" viewBox="0 0 96 64"', 25.4 / 96),
        ('width="240Q" height="160Q" viewBox="-5 -5 60 40"', 1.0),
        ("", 25.4 / 96),
    ],
)
def test_the_unit_is_that_of_width_and_height(size: str, mm: float) -> None:
    """1 in = 2.54 cm = 96 px = 72 pt = 6 pc, 1 Q = 1/40 cm: CSS Values and Units, level 3, section 6.2."""
    assert read_svg(svg(LINE, size)).corners[-1] == pytest.approx((30 * mm, 6 * mm, 0), abs=1e-8)


@pytest.mark.parametrize(
    "size",
    [
        'viewBox="0 0 60 40"',
        'width="100%" height="100%" viewBox="0 0 60 40"',
        'width="60mm" viewBox="0 0 60 40"',
        'width="60furlong" height="40furlong" viewBox="0 0 60 40"',
        'width="60mm" height="50mm" viewBox="0 0 60 40"',
    ],
)
def test_without_a_real_size_the_cure_is_named(size: str) -> None:
    with pytest.raises(ProfileError, match="profile_unit") as caught:
        read_svg(svg(LINE, size))
    assert caught.value.place == "<svg>"
    assert read_svg(svg(LINE, size), 25.4).corners[-1][:2] == pytest.approx((30 * 25.4, 6 * 25.4))


def bezier(*corners: tuple[float, float]) -> list[tuple[float, float]]:
    """Return points of a Bézier curve by Bernstein's polynomials, z up."""
    t, n = np.linspace(0, 1, 2001)[:, None], len(corners) - 1
    spots = sum(comb(n, k) * t**k * (1 - t) ** (n - k) * np.array(p) for k, p in enumerate(corners))
    return [(y, -z) for y, z in spots]


def test_bezier_curves_are_fitted_and_run_on_smoothly() -> None:
    curve = read_svg(svg('<path d="M 0 10 C 4 16 8 2 12 8 S 18 10 20 8 Q 26 2 30 8"/>'))
    exact = bezier((0, 10), (4, 16), (8, 2), (12, 8))
    exact += bezier((12, 8), (16, 14), (18, 10), (20, 8))[1:]
    exact += bezier((20, 8), (26, 2), (30, 8))[1:]
    assert line_of(curve).hausdorff_distance(laid(exact)) <= FIT_MM + 1e-3
    assert 0 < curve.strays_mm <= FIT_MM * 1.05
    assert sum(turn > 0.01 for turn in headings_met(curve)) == 0


def test_a_control_point_on_its_end_leaves_the_curve_readable() -> None:
    curve = read_svg(svg('<path d="M 0 10 C 0 10 12 2 20 8"/>'))
    exact = bezier((0, 10), (0, 10), (12, 2), (20, 8))
    assert line_of(curve).hausdorff_distance(laid(exact)) <= FIT_MM + 1e-3


ARC = "M 0 10 A 8 8 0 0 1 12 14"


def test_a_round_arc_stays_one_arc() -> None:
    drawn = read_svg(svg(f'<g transform="rotate(10) scale(1.5) translate(3 4)"><path d="{ARC}"/></g>'))
    assert len(drawn.corners) == 2 and drawn.fitted == 0
    # Sweep flag 1 turns clockwise on the page; chord √160, radius 8: half angle asin(√40/8).
    assert drawn.corners[0][2] == pytest.approx(-np.tan(np.arcsin(40**0.5 / 8) / 2))


@pytest.mark.parametrize(
    "matrix", [(1.2, 0.3, 0.5, 0.9, 3, 4), (1.5, 0, 0, 0.7, 0, 0), (-1, 0.2, 0.1, 1, 9, 9)]
)
def test_an_arc_in_a_skewed_group_agrees_with_its_image(matrix: tuple[float, ...]) -> None:
    """The image of the circle's points under the matrix, by numpy; the last one mirrors."""
    a, b, c, d, e, f = matrix
    centre = np.array([6, 12]) + np.array([-4, 12]) / 160**0.5 * (64 - 40) ** 0.5
    angles = [np.arctan2(*(np.array(p) - centre)[::-1]) for p in ((0, 10), (12, 14))]
    t = np.linspace(angles[0], angles[1] + (2 * np.pi if angles[1] < angles[0] else 0), 2001)[:, None]
    spots = centre + 8 * np.hstack([np.cos(t), np.sin(t)])
    image = spots @ np.array([[a, b], [c, d]]) + np.array([e, f])
    drawn = read_svg(svg(f'<g transform="matrix{matrix}"><path d="{ARC}"/></g>'))
    assert line_of(drawn).hausdorff_distance(laid([(y, -z) for y, z in image])) <= FIT_MM + 2e-3


def test_shapes_and_several_elements_make_one_profile() -> None:
    body = (
        '<defs><path d="M0 0 L1 1"/></defs><title>ogee</title><text x="3" y="3">no line</text>'
        '<line id="flat" x1="5" y1="10" x2="0" y2="10"/><polyline points="5,10 9,8 12,8"/>'
        '<path d="M 20 8 L 12 8" style="stroke:#000"/><path display="none" d="M 0 0 H 50"/>'
    )
    drawn = read_svg(svg(body))
    assert [corner[:2] for corner in drawn.corners] == [(0, 0), (5, 0), (9, 2), (12, 2), (20, 2)]
    assert drawn.names[0] == 'line "flat"' and drawn.names[-1].startswith("path")


def test_what_is_hidden_is_passed_over_as_a_browser_does() -> None:
    """CSS 2, 11.2: `visibility` is inherited, and a child may be visible again."""
    body = (
        "<style>.aside { visibility: hidden }</style>"
        '<g visibility="hidden"><rect width="5" height="5"/>'
        '<path visibility="visible" d="M 0 20 L 4 20 L 9 17"/></g>'
        '<circle style="visibility: collapse" r="3"/><path class="aside" d="M 0 0 L 9 9"/>'
    )
    assert [corner[:2] for corner in read_svg(svg(body)).corners] == [(0, 0), (4, 0), (9, 3)]


FAULTS = {
    "closed": ('<path d="M 0 0 L 9 0 L 5 5 Z"/>', "closed"),
    "circle": ('<circle cx="5" cy="5" r="3"/>', "closed"),
    "rect": ('<rect x="0" y="0" width="9" height="4"/>', "closed"),
    "nothing": ("<text>no profile</text>", "nothing is drawn"),
    "two strokes": ('<path id="p" d="M 0 0 L 5 0 M 6 0 L 9 0"/>', "a gap of 1 mm"),
    "use": ('<defs><path id="a" d="M0 0 L5 1"/></defs><use href="#a"/>', "<use> draws by reference"),
    "frame": ('<svg width="5" height="5"><path d="M0 0 L5 1"/></svg>', "frame of its own"),
    "spoiled path": ('<path d="M 0 0 L 5"/>', "cannot be read as SVG"),
    "flattened arc": ('<g transform="scale(1 0)"><path d="M 0 9 A 5 5 0 0 1 10 9"/></g>', "no width or"),
    "arc without end": ('<path d="M 0 9 A 1e308 1e308 0 0 1 10 9"/>', "no width or"),
    "endless name": (f'<path id="{"a" * 9000}" d="M 0 0 L 5 0 M 6 0 L 9 0"/>', f'path "{"a" * 40}"'),
    "far away": ('<path d="M 0 0 L 1e30 0"/>', "further out"),
    "no number": ('<path d="M 0 0 L nan 0"/>', ""),
    "deep": ("<g>" * 60 + LINE + "</g>" * 60, "nested more than"),
    "many": ("<g/>" * 6_000, "over 5000 elements"),
    "many shapes": (LINE * 600, "over 500 shapes"),
    "long path": (f'<path d="M 0 0{" l 1 1" * 20_000}"/>', "far longer than any profile"),
    "long transform": (f'<g transform="{"rotate(1) " * 500}">{LINE}</g>', "far longer than any profile"),
    "long class": (f'<path class="{"a " * 20_000}" d="M 0 0 H 9"/>', "far longer than any profile"),
    "long style": (f"<style>{'a{b:c}' * 9_000}</style>{LINE}", "far more text than a drawing"),
    "too many curves": (f'<path d="M 0 9{" c .1 .5 .2 -.5 .3 0" * 290}"/>', "more than 120 lines and arcs"),
}


@pytest.mark.parametrize("name", FAULTS)
def test_faults_are_named_with_the_cure(name: str) -> None:
    body, words = FAULTS[name]
    with pytest.raises(ProfileError) as caught:
        read_svg(svg(body))
    assert words in str(caught.value)
    assert caught.value.cure


BOMB = (
    b'<!DOCTYPE svg [<!ENTITY a "ha"><!ENTITY b "'
    + b"&a;" * 10
    + b'"><!ENTITY c "'
    + b"&b;" * 10
    + b'">]><svg xmlns="http://www.w3.org/2000/svg"><text>&c;</text></svg>'
)
OUTSIDE = b'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/hostname">]><svg xmlns="http://www.w3.org/2000/svg">&x;</svg>'


@pytest.mark.parametrize("content", [BOMB, OUTSIDE, BOMB.replace(b"ENTITY a", b"ENTITY % p ''><!ENTITY a")])
def test_documents_that_declare_entities_are_refused(content: bytes) -> None:
    with pytest.raises(ProfileError, match="declares entities"):
        read_svg(content)


def test_a_plain_doctype_is_no_harm() -> None:
    head = (
        b'<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">'
    )
    assert read_svg(head + svg(LINE)).corners[-1][0] == 30


@pytest.mark.parametrize(
    "content", [b"", b"\x00\xff" * 40, b"<html/>", b"<svg>", svg(LINE)[:-20], b"0\nSECTION"]
)
def test_what_is_no_svg_is_refused(content: bytes) -> None:
    with pytest.raises(ProfileError) as caught:
        read_svg(content)
    assert caught.value.place.startswith("line ")


def test_a_name_decides_the_reader() -> None:
    with pytest.raises(ProfileError, match="DXF"):
        read_dxf(svg(LINE))


LETTERS = st.sampled_from(list('<>"/=M0LCAzeE-.,% \n&;x9'))


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 400), st.sampled_from(list('<>"/=M0LCAzeE-.,% \n&;x9'))), max_size=4)
)
def test_a_spoiled_document_is_read_or_refused_in_words(changes: list[tuple[int, str]]) -> None:
    whole = svg('<g transform="scale(2)"><path id="p" d="M0 5 L5 5 A5 5 0 0 1 10 10 C12 12 16 2 20 5"/></g>')
    text = list(whole.decode())
    for at, letter in changes:
        text[at % len(text)] = letter
    try:
        drawn = read_svg("".join(text).encode())
    except ProfileError as error:
        assert error.problem and error.cure
    else:
        assert len(drawn.names) == len(drawn.corners) - 1
