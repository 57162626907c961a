"""Offcuts that come loose: waste that no tab and no wood holds to the sheet once all contours are cut."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely import LineString, Polygon, box, unary_union

from cad.geometry.cuts import Planform
from cad.outline import Path
from cad.routing.model import Cutter, Spared, Stock
from cad.routing.offsets import CHORD_MM, polygons, region

LEAST_MM = 1.0  # what is thinner is dust
SMALL_MM = 3.0  # what is no longer goes with the chips; common practice, no source


def loose(
    stock: Stock, plates: Sequence[Planform], ways: Sequence[Path], tabs: Sequence[Spared], cutter: Cutter
) -> Iterator[str]:
    """Yield the offcuts of a sheet that hang on nothing, in words: how large, and where."""
    held = unary_union([Polygon(tab.ring) for tab in tabs])
    kerfs = [LineString(way.points(CHORD_MM)).buffer(cutter.radius) for way in ways]
    wood = unary_union([region(plate.outline) for plate in plates])
    waste = box(0, 0, stock.length, stock.width).difference(unary_union(kerfs).difference(held))
    parts = sorted(polygons(waste.difference(wood).buffer(-LEAST_MM / 2)), key=lambda part: -part.area)
    for part in parts[1:]:  # the largest is what is left of the sheet
        low_x, low_y, high_x, high_y = part.bounds
        wide, high = high_x - low_x, high_y - low_y
        if max(wide, high) > SMALL_MM and not part.buffer(LEAST_MM).intersects(held):
            yield (
                f"a loose offcut of {wide:.0f} x {high:.0f} mm at x {low_x:.0f} mm, y {low_y:.0f} mm: stop "
                "and take it out when it comes free"
            )
