"""Outlines of words as flat polygons, from the one font file that a dependency ships.

DejaVu Sans Bold is read straight from the file in matplotlib's folder, without importing matplotlib: a font
asked for by name may be swapped for another without a word. This module loads no CAD kernel, and the font
reader only with the first word.

Its capitals of height h have stems 0.26 h wide, cross strokes some 0.19 h, and no capital or digit has a
stroke under 0.15 h (measured in tests/test_31_lettering.py). Capitals of 4 mm, the least that
`cad.kernel.engrave.fitting_height` gives, so have stems of 1.0 mm, more than two widths of a 0.4 mm nozzle,
and nothing under one and a half (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.util import find_spec
from math import ceil, hypot, sqrt
from pathlib import Path
from typing import Any

from cad.errors import KernelError
from cad.outline import Point

Ring = tuple[Point, ...]

FONT_FILE = "mpl-data/fonts/ttf/DejaVuSans-Bold.ttf"
CHORD_MM = 0.1  # how far a chord may stand off a letter's curve
LEAST_GAP = 0.1  # between the boxes of neighbouring letters, in heights of capitals: a nozzle's width at 4 mm

_Curve = tuple[Point, ...]  # a chord (2 points) or a quadratic Bézier curve (3), in font units


@dataclass(frozen=True)
class Letter:
    """One connected patch of a character, in mm; an i is two, a space none.

    The outer ring runs counter-clockwise, the holes clockwise; the last point joins the first.
    """

    character: str
    outer: Ring
    holes: tuple[Ring, ...] = ()

    @property
    def area(self) -> float:
        """Return the area of the patch in mm², its holes left out."""
        return sum(map(ring_area, (self.outer, *self.holes)))


def ring_area(ring: Ring) -> float:
    """Return the area within a ring, positive when it runs counter-clockwise (Gauss's shoelace formula)."""
    turned = ring[1:] + ring[:1]
    return sum(a * d - c * b for (a, b), (c, d) in zip(ring, turned, strict=True)) / 2


def letters(text: str, height_mm: float) -> list[Letter]:
    """Return the outlines of a line of text whose capitals are `height_mm` high.

    The baseline runs along the first axis; the ink is centred on it, and half the height of the capitals
    lies above and half below it. Letters stand at the font's own advance widths, but never nearer to each
    other than LEAST_GAP, so that some wall is left between any two.

    Raises KernelError naming the character that the font lacks, or when the font file is missing.

    >>> [(letter.character, len(letter.holes)) for letter in letters("B 8i", 6.0)]
    [('B', 2), ('8', 2), ('i', 0), ('i', 0)]
    """
    return list(_laid_out(text, height_mm))


@lru_cache(256)  # more than a plane has: a family of planes must not fill the memory
def _laid_out(text: str, height_mm: float) -> tuple[Letter, ...]:
    """Return what `letters` does: one label is asked for by its layout, its engraver and its print report."""
    _refuse_unknown(text)
    scale = height_mm / capital_units()
    pen, ink_end = 0.0, None
    placed: list[Letter] = []
    for character in text:
        patches = _patches(character, scale)
        if patches:
            west, east = _span(patches)
            if ink_end is not None:
                pen = max(pen, ink_end + LEAST_GAP * height_mm - west)
            ink_end = pen + east
        placed += [_moved(patch, pen, -height_mm / 2) for patch in patches]
        pen += advance_units(character) * scale
    if not placed:
        return ()
    west, east = _span(placed)
    return tuple(_moved(letter, -(west + east) / 2, 0.0) for letter in placed)


@lru_cache(1024)
def _patches(character: str, scale: float) -> tuple[Letter, ...]:
    """Return the patches of a character with the pen at the origin, scaled to mm."""
    return tuple(_nested(character, [flattened(contour, scale) for contour in _contours(character)]))


def bounds(patches: list[Letter]) -> tuple[float, float, float, float]:
    """Return (least a, least b, greatest a, greatest b) of letters; raises ValueError when there are none."""
    points = [point for letter in patches for point in letter.outer]
    return (
        min(p[0] for p in points),
        min(p[1] for p in points),
        max(p[0] for p in points),
        max(p[1] for p in points),
    )


@cache
def capital_units() -> float:
    """Return the height of the capitals in font units, measured off the H."""
    return max(point[1] for contour in _contours("H") for curve in contour for point in curve)


@cache
def advance_units(character: str) -> float:
    """Return how far the font moves on after a character that it has, in font units."""
    return float(_font().getGlyphSet()[_glyph_names()[ord(character)]].width)


def font_path() -> Path:
    """Return where the font file is. Raises KernelError when it is missing."""
    spec = find_spec("matplotlib")
    if spec is None or spec.origin is None:
        raise KernelError("lettering", "font", "matplotlib ships the font and is missing: install it")
    path = Path(spec.origin).parent / FONT_FILE
    if not path.is_file():
        raise KernelError("lettering", "font", f"{path} is missing: install matplotlib anew")
    return path


def flattened(contour: tuple[_Curve, ...], scale: float) -> Ring:
    """Return a closed contour of chords and quadratic curves as a ring, scaled to mm.

    A curve P0 P1 P2 cut into n equal parts stands off its chords by at most |P0 − 2 P1 + P2| / 4 n²
    (its second derivative is constant), which gives the fewest parts that keep within CHORD_MM.
    """
    points: list[Point] = []
    for curve in contour:
        if len(curve) == 2:
            points.append(curve[1])
            continue
        (ax, ay), (bx, by), (cx, cy) = curve
        bulge = hypot(ax - 2 * bx + cx, ay - 2 * by + cy) * scale / 4
        parts = max(1, ceil(sqrt(bulge / CHORD_MM)))
        for i in range(1, parts + 1):
            u, v = i / parts, 1 - i / parts
            points.append(
                (v * v * ax + 2 * u * v * bx + u * u * cx, v * v * ay + 2 * u * v * by + u * u * cy)
            )
    return _without_idle(tuple((a * scale, b * scale) for a, b in points))


@cache
def _font() -> Any:
    from fontTools.ttLib import TTFont  # here, so that importing this module stays cheap

    return TTFont(font_path(), lazy=True)


@cache
def _glyph_names() -> dict[int, str]:
    return dict(_font().getBestCmap())


def _refuse_unknown(text: str) -> None:
    for character in text:
        if ord(character) not in _glyph_names():
            what = f"the font has no character {character!r} (U+{ord(character):04X})"
            raise KernelError(f"label {text!r}", "lettering", what)


@cache
def _contours(character: str) -> tuple[tuple[_Curve, ...], ...]:
    """Return the closed contours of a character that the font has."""
    from fontTools.pens.recordingPen import DecomposingRecordingPen

    glyphs = _font().getGlyphSet()
    pen = DecomposingRecordingPen(glyphs)
    glyphs[_glyph_names()[ord(character)]].draw(pen)
    found: list[tuple[_Curve, ...]] = []
    contour: list[tuple[str, tuple[Any, ...]]] = []
    for action, points in pen.value:
        if action != "closePath":
            contour.append((action, points))
            continue
        found.append(_curves(contour))
        contour = []
    return tuple(found)


def _curves(contour: list[tuple[str, tuple[Any, ...]]]) -> tuple[_Curve, ...]:
    """Return the chords and curves of one contour as a TrueType pen was told it, closed."""
    from fontTools.pens.basePen import decomposeQuadraticSegment

    action, points = contour[0]
    if points[-1] is None:  # all curve: it starts midway between its last control point and its first
        (ax, ay), (bx, by) = points[-2], points[0]
        start: Point = ((ax + bx) / 2, (ay + by) / 2)
        contour = [("moveTo", (start,)), (action, (*points[:-1], start))]
    start = last = contour[0][1][0]
    curves: list[_Curve] = []
    for action, points in contour[1:]:
        if action == "lineTo":
            curves.append((last, points[0]))
        else:
            for middle, end in decomposeQuadraticSegment(points):
                curves.append((last, middle, end))
                last = end
        last = points[-1]
    return (*curves, (last, start))


def _nested(character: str, rings: list[Ring]) -> list[Letter]:
    """Return the patches that rings bound.

    In TrueType outer rings run clockwise and holes the other way; the fill is by winding number, so that a
    ring within no other is an outer one whichever way it runs.
    """
    outers = [ring for ring in rings if ring_area(ring) < 0]
    holes: dict[int, list[Ring]] = {}
    loose: list[Ring] = []
    for ring in rings:
        if ring_area(ring) > 0:
            around = [(-ring_area(outer), i) for i, outer in enumerate(outers) if _holds(outer, ring[0])]
            (holes.setdefault(min(around)[1], []) if around else loose).append(ring)
    return [
        Letter(character, outer[::-1], tuple(hole[::-1] for hole in holes.get(i, ())))
        for i, outer in enumerate(outers)
    ] + [Letter(character, ring) for ring in loose]


def _holds(ring: Ring, point: Point) -> bool:
    """Return whether a point lies within a ring: a ray from it crosses the ring an odd number of times."""
    x, y = point
    inside = False
    for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1], strict=True):
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            inside = not inside
    return inside


def _without_idle(ring: Ring) -> Ring:
    """Return the ring less the points that repeat the one before or lie on the chord between neighbours."""
    kept: list[Point] = []
    for point in ring:
        if not kept or hypot(point[0] - kept[-1][0], point[1] - kept[-1][1]) > 1e-6:
            kept.append(point)
    if hypot(kept[0][0] - kept[-1][0], kept[0][1] - kept[-1][1]) <= 1e-6:
        kept.pop()
    return tuple(
        here
        for before, here, after in zip(kept[-1:] + kept[:-1], kept, kept[1:] + kept[:1], strict=True)
        if abs(ring_area((before, here, after))) > 1e-9
    )


def _span(letters: Sequence[Letter]) -> tuple[float, float]:
    across = [point[0] for letter in letters for point in letter.outer]
    return min(across), max(across)


def _moved(letter: Letter, da: float, db: float) -> Letter:
    outer, *holes = (tuple((a + da, b + db) for a, b in ring) for ring in (letter.outer, *letter.holes))
    return Letter(letter.character, outer, tuple(holes))
