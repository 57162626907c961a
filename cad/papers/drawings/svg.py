"""A sheet as SVG, true to scale: a millimetre of paper is a unit of the view box, words are words."""

from __future__ import annotations

from collections.abc import Iterator
from xml.sax.saxutils import escape, quoteattr

from cad.papers.drawings.ink import Ink, Stroke, Words
from cad.papers.drawings.lettering import points_of
from cad.papers.drawings.paper import Page
from cad.units import plain

PLACES = 3
FAMILY = "DejaVu Sans, sans-serif"


def svg_bytes(title: str, page: Page, ink: Ink) -> bytes:
    """Return a sheet as SVG with its size in mm."""
    wide, high = _n(page.width), _n(page.height)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" '
        f'viewBox="0 0 {wide} {high}">',
        f"<title>{escape(title)}</title>",
        f'<rect width="{wide}" height="{high}" fill="white"/>',
        f'<g transform="translate(0 {high}) scale(1 -1)" stroke="black" fill="none" stroke-linecap="round">',
        *_strokes(ink),
        "</g>",
        f'<path transform="translate(0 {high}) scale(1 -1)" d="{_fills(ink)}"/>',
        f'<g font-family="{FAMILY}" fill="black">',
        *(_text(words, page) for words in ink.words),
        "</g>",
        "</svg>",
    ]
    return "\n".join(lines).encode() + b"\n"


def _strokes(ink: Ink) -> Iterator[str]:
    """Yield one path for each layer and width, in the order in which they first come."""
    for layer, width in dict.fromkeys((stroke.layer, stroke.width) for stroke in ink.strokes):
        drawn = [_data(s) for s in ink.strokes if (s.layer, s.width) == (layer, width)]
        name = quoteattr(f"{layer}-{_n(width)}")
        yield f'<path id={name} stroke-width="{_n(width)}" d="{"".join(drawn)}"/>'


def _data(stroke: Stroke) -> str:
    return "".join(
        command + " ".join(f"{_n(x)} {_n(y)}" for x, y in points) for command, points in stroke.commands
    )


def _fills(ink: Ink) -> str:
    return "".join("M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in fill.points) + "Z" for fill in ink.fills)


def _text(words: Words, page: Page) -> str:
    x, y = words.at
    turn = f" rotate({_n(-words.turn_deg)})" if words.turn_deg else ""
    # The length holds the text to its room where another font must stand in.
    return (
        f'<text transform="translate({_n(x)} {_n(page.height - y)}){turn}" '
        f'font-size="{_n(points_of(words.height))}" textLength="{_n(words.width)}" '
        f'lengthAdjust="spacingAndGlyphs">{escape(words.text)}</text>'
    )


def _n(number: float) -> str:
    return plain(number, PLACES)
