"""SVG in true size for the profiles of pieces: lines and true arcs, a unit a millimetre. Loads no kernel."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from cad.outline import Arc, Path, Point
from cad.outputs.curves import half_turns
from cad.outputs.files import OutFile

if TYPE_CHECKING:
    from cad.outputs.meshes import Meshes
    from cad.outputs.product import Product

MARGIN_MM = 1.0  # so that the line on the border is not cut off
LINE_MM = 0.13  # the narrowest line of ISO 128-2


def files(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield fixtures/<profile>.svg for every profile of every piece."""
    for piece in product.pieces():
        for profile in piece.profiles:
            text = svg_text(profile.name, profile.path, profile.holes)
            yield OutFile(f"fixtures/{profile.name}.svg", text.encode(), piece.name)


def svg_text(title: str, outline: Path, holes: Sequence[Path] = ()) -> str:
    """Return an SVG of an outline in mm and the holes in it, a margin around, y up as in the outline."""
    low_x, low_y, high_x, high_y = outline.bounds()
    width, height = high_x - low_x + 2 * MARGIN_MM, high_y - low_y + 2 * MARGIN_MM

    def at(p: Point) -> str:
        # SVG has y downwards.
        return f"{_number(p[0] - low_x + MARGIN_MM)} {_number(high_y + MARGIN_MM - p[1])}"

    def drawn(path: Path) -> str:
        steps = [f"M {at(path.start)}"]
        for segment in half_turns(path):
            if isinstance(segment, Arc):
                r, sweep = _number(segment.radius), 0 if segment.ccw else 1
                steps.append(f"A {r} {r} 0 0 {sweep} {at(segment.end)}")
            else:
                steps.append(f"L {at(segment.end)}")
        return " ".join([*steps, "Z"] if path.is_closed else steps)

    curves = "\n".join(f'    <path d="{drawn(path)}"/>' for path in (outline, *holes))
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_number(width)}mm" height="{_number(height)}mm" '
        f'viewBox="0 0 {_number(width)} {_number(height)}">\n'
        f"  <title>{escape(title)}</title>\n"
        f'  <g id="profile" fill="none" stroke="black" stroke-width="{LINE_MM}">\n{curves}\n  </g>\n'
        "</svg>\n"
    )


def _number(value: float) -> str:
    """Return a length to a tenth of a micron, without needless zeros."""
    return f"{round(value, 4) + 0.0:.4f}".rstrip("0").rstrip(".")
