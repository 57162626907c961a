"""SVG in true size for profiles, plates and sheets: lines and true arcs, a unit a millimetre.

One group for each layer of the DXF, with the same name. Loads no kernel.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from html import escape
from typing import TYPE_CHECKING

from cad.outline import Arc, Path, Point
from cad.outputs.curves import Curve, Drawing, Words, half_turns, profile_drawing
from cad.outputs.drawings import Drawn, piece_drawings, sheet_drawings
from cad.outputs.files import OutFile

if TYPE_CHECKING:
    from cad.outputs.meshes import Meshes
    from cad.outputs.product import Product

COMPANY = "router"  # which cuts the same plates from the same sheets
MARGIN_MM = 1.0  # so that the line on the border is not cut off
LINE_MM = 0.13  # the narrowest line of ISO 128-2

At = Callable[[Point], str]  # a point of the drawing as a pair of numbers on the page


def files(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield fixtures/<sheet>.svg for every sheet."""
    return _written(sheet_drawings(product, meshes))


def each(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield fixtures/<name>.svg for every profile of a piece and every plate."""
    return _written(piece_drawings(product, meshes))


def _written(drawings: Iterable[Drawn]) -> Iterator[OutFile]:
    for drawn in drawings:
        yield OutFile(f"fixtures/{drawn.stem}.svg", drawing_text(drawn.drawing).encode(), drawn.part)


def svg_text(title: str, outline: Path, holes: Sequence[Path] = ()) -> str:
    """Return an SVG of an outline in mm and the holes in it, a margin around, y up as in the outline."""
    return drawing_text(profile_drawing(title, outline, tuple(holes)))


def drawing_text(drawing: Drawing) -> str:
    """Return an SVG of a drawing in mm, a margin around, y up as in the drawing."""
    low_x, low_y, high_x, high_y = drawing.bounds()
    width, height = high_x - low_x + 2 * MARGIN_MM, high_y - low_y + 2 * MARGIN_MM

    def at(p: Point) -> str:
        # SVG has y downwards.
        return f"{_number(p[0] - low_x + MARGIN_MM)} {_number(high_y + MARGIN_MM - p[1])}"

    groups = "".join(_group(drawing, layer, at) for layer in drawing.layers)
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_number(width)}mm" height="{_number(height)}mm" '
        f'viewBox="0 0 {_number(width)} {_number(height)}">\n'
        f"  <title>{escape(drawing.title, quote=False)}</title>\n{groups}</svg>\n"
    )


def _group(drawing: Drawing, layer: str, at: At) -> str:
    curves = [f"    {_drawn(curve, at)}\n" for curve in drawing.curves if curve.layer == layer]
    words = [f"    {_lettered(words, at)}\n" for words in drawing.words if words.layer == layer]
    style = f'fill="none" stroke="black" stroke-width="{LINE_MM}"'
    return f'  <g id="{layer}" {style}>\n{"".join((*curves, *words))}  </g>\n'


def _drawn(curve: Curve, at: At) -> str:
    first = curve.path.segments[0]
    if curve.bore and isinstance(first, Arc):
        x, y = at(first.centre).split()
        return f'<circle cx="{x}" cy="{y}" r="{_number(first.radius)}"/>'
    steps = [f"M {at(curve.path.start)}"]
    for segment in half_turns(curve.path):
        if isinstance(segment, Arc):
            r, sweep = _number(segment.radius), 0 if segment.ccw else 1
            steps.append(f"A {r} {r} 0 0 {sweep} {at(segment.end)}")
        else:
            steps.append(f"L {at(segment.end)}")
    return f'<path d="{" ".join([*steps, "Z"] if curve.path.is_closed else steps)}"/>'


def _lettered(words: Words, at: At) -> str:
    x, y = at(words.at).split()
    place = f'x="{x}" y="{y}" font-size="{_number(words.height)}" text-anchor="middle"'
    text = escape(words.text, quote=False)
    return f'<text {place} font-family="sans-serif" fill="black" stroke="none">{text}</text>'


def _number(value: float) -> str:
    """Return a length to a tenth of a micron, without needless zeros."""
    return f"{round(value, 4) + 0.0:.4f}".rstrip("0").rstrip(".")
