"""A template larger than the page, cut into tiles that overlap and are joined over registration marks."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from cad.outline import Point, polygon
from cad.papers.templates.bezier import Box, chain
from cad.papers.templates.block import LEAST_CAPTION_MM, UNDER_CAPTION_MM, Block, Template, block
from cad.papers.templates.ink import (
    CLEAR_MM,
    FINE,
    LEAST_TEXT_MM,
    ROW_MM,
    TILE,
    TITLE_MM,
    Art,
    Words,
    apart,
    cross,
    drawn,
    joined,
    line,
    rows,
    wrapped,
)

OVERLAP_MM = 14.0
SIDE_MM = ROW_MM + 1.0  # beside a tile, for the name of its neighbour
MARK_MM = 3.5  # half the width of a registration mark
SEAM_STEP_MM = 1.0
MARK_STEP_MM = 1.0
NOTES_MM = 110.0  # width of notes that stand by themselves
MOST_EXTRA = 4  # tiles more than the fewest, before a seam is given up

JOIN = (
    "In tiles, named by row/column: {rows} by {columns}. Cut each along its dotted edge, lay it over its "
    "neighbour till the diamonds meet, and paste. Measure over the seam before you trust it."
)
ELSEWHERE = "How to use it stands in a block of its own."


@dataclass(frozen=True)
class Tile:
    """One tile: row from the top, column from the left, both from 1, and its window on the art."""

    row: int
    column: int
    window: Box


def blocks(template: Template, room: tuple[float, float]) -> list[Block]:
    """Return a template as blocks that each fit a page's field: one, turned where it must, or tiles."""
    ways = (template.art, template.art.turned())
    for art in ways:
        whole = block(template.title, template.title, template.notes, art)
        if _fits(whole, room):
            return [whole]
    for art in ways:
        bare = block(template.title, template.title, (ELSEWHERE,), art)
        if _fits(bare, room):
            return [bare, _notes(template, ())]
    cut = [_tiles(art, _room(template, room)) for art in ways]
    turned = len(cut[1]) < len(cut[0])
    art, tiles = ways[turned], cut[turned]
    join = JOIN.format(rows=tiles[-1].row, columns=tiles[-1].column)
    return [_notes(template, (join,)), *(_tile_block(template, art, tile, tiles) for tile in tiles)]


def _fits(one: Block, room: tuple[float, float]) -> bool:
    return one.size[0] <= room[0] and one.size[1] <= room[1]


def _notes(template: Template, more: tuple[str, ...]) -> Block:
    """Return the notes of a template that leaves no room for them, and more, as a block of their own."""
    words = [text for note in (*template.notes, *more) for text in wrapped(note, NOTES_MM)]
    title = f"{template.title}: how to use it"
    return block(title, title, (), Art((), tuple(rows(words, (0.0, 0.0)))))


def _room(template: Template, room: tuple[float, float]) -> tuple[float, float]:
    """Return the largest window: the field less the names of neighbours and the caption."""
    heads = wrapped(_tile_name(template, 9, 9), LEAST_CAPTION_MM, TITLE_MM)
    tall = len(heads) * ROW_MM * TITLE_MM / LEAST_TEXT_MM + UNDER_CAPTION_MM
    return room[0] - 2 * SIDE_MM, room[1] - 2 * SIDE_MM - tall


def _tile_name(template: Template, row: int, column: int) -> str:
    return f"{template.title}, tile\u00a0{row}/{column}"


def _tiles(art: Art, most: tuple[float, float]) -> list[Tile]:
    """Return the tiles of an art, row by row from the top."""
    low_x, low_y, high_x, high_y = art.box
    boxes = [words.box for words in art.words]
    across = windows((low_x, high_x), most[0], [(box[0], box[2]) for box in boxes])
    up = windows((low_y, high_y), most[1], [(box[1], box[3]) for box in boxes])
    return [
        Tile(row, column, (left, low, right, high))
        for row, (low, high) in enumerate(reversed(up), start=1)
        for column, (left, right) in enumerate(across, start=1)
    ]


def windows(
    span: tuple[float, float], most: float, words: list[tuple[float, float]]
) -> list[tuple[float, float]]:
    """Return windows no longer than `most` that cover a span, each overlapping the next by OVERLAP_MM.

    The seams lie as evenly as they can without cutting through words, given by their extents along the
    span. Raises ValueError when no seams do that.
    """
    low, high = span
    fewest = max(1, ceil((high - low - OVERLAP_MM) / (most - OVERLAP_MM) - 1e-9))
    for number in range(fewest, fewest + MOST_EXTRA + 1):
        found = _seams(low, high, most, number, words)
        if found is not None:
            half = OVERLAP_MM / 2
            starts = [low, *(seam - half for seam in found)]
            ends = [*(seam + half for seam in found), high]
            return list(zip(starts, ends, strict=True))
    raise ValueError(f"no seams in {high - low:.0f} mm leave every line of text whole")


def _seams(
    low: float, high: float, most: float, number: int, words: list[tuple[float, float]]
) -> list[float] | None:
    """Return the middles of the seams between so many windows, None where words are always cut."""
    half = OVERLAP_MM / 2
    found: list[float] = []
    start = low
    for i in range(1, number):
        wanted = low + (high - low) * i / number
        # What is left beyond the seam must still go into the windows that are left.
        least = high - (number - i) * (most - OVERLAP_MM) - half
        latest = start + most - half
        spots = (wanted + way * step * SEAM_STEP_MM for step in range(1000) for way in (1, -1))
        seam = next(
            (
                spot
                for spot in spots
                if max(least, start + OVERLAP_MM) <= spot <= latest and not _cuts(spot, words)
            ),
            None,
        )
        if seam is None:
            return None
        found.append(seam)
        start = seam - half
    return found


def _cuts(seam: float, words: list[tuple[float, float]]) -> bool:
    half = OVERLAP_MM / 2 - CLEAR_MM
    return any(start < seam - half and end > seam + half for start, end in words)


def _tile_block(template: Template, art: Art, tile: Tile, tiles: list[Tile]) -> Block:
    near = {(other.row, other.column): other for other in tiles}
    parts = [art.clipped(tile.window)]
    for side in _SIDES:
        neighbour = near.get((tile.row + side.rows, tile.column + side.columns))
        if neighbour is not None:
            parts.append(_seam(art, tile, neighbour, side))
    name = _tile_name(template, tile.row, tile.column)
    return block(name, name, (), joined(parts))


@dataclass(frozen=True)
class _Side:
    rows: int
    columns: int


_SIDES = (_Side(-1, 0), _Side(1, 0), _Side(0, -1), _Side(0, 1))


def _seam(art: Art, tile: Tile, other: Tile, side: _Side) -> Art:
    """Return the dotted edge of a tile beside a neighbour, the marks they share and the neighbour's name."""
    low_x, low_y, high_x, high_y = tile.window
    name = f"joins tile {other.row}/{other.column}"
    if side.rows:
        y, out = (high_y, 1) if side.rows < 0 else (low_y, -1)
        edge = line(TILE, (low_x, y), (high_x, y))
        words = Words(name, ((low_x + high_x) / 2, y + out * SIDE_MM / 2), align="middle")
    else:
        x, out = (high_x, 1) if side.columns > 0 else (low_x, -1)
        edge = line(TILE, (x, low_y), (x, high_y))
        words = Words(name, (x + out * SIDE_MM / 2, (low_y + high_y) / 2), align="middle", upright=True)
    return edge + Art((), (words,)) + joined(map(mark, marks(art, tile.window, other.window)))


def marks(art: Art, one: Box, two: Box) -> list[Point]:
    """Return where two neighbouring windows carry their registration marks: the same for both, off all words.

    They stand in the middle of the overlap, as far from each other as it allows, and clear of the corners
    where four tiles meet and other marks stand.
    """
    shared = (max(one[0], two[0]), max(one[1], two[1]), min(one[2], two[2]), min(one[3], two[3]))
    middle = ((shared[0] + shared[2]) / 2, (shared[1] + shared[3]) / 2)
    along = 0 if shared[2] - shared[0] > shared[3] - shared[1] else 1
    ends = (shared[along], shared[along + 2])
    inner = [abs(end - art.box[along + 2 * i]) > 1e-6 for i, end in enumerate(ends)]
    low, high = (MARK_MM + 0.5 + (OVERLAP_MM if corner else 0.0) for corner in inner)
    count = int((ends[1] - high - ends[0] - low) / MARK_STEP_MM)
    along_seam = [ends[0] + low + i * MARK_STEP_MM for i in range(count + 1)]
    spots = [(at, middle[1]) if along == 0 else (middle[0], at) for at in along_seam]
    free = [spot for spot in spots if _is_free(art, spot)] or [middle]
    return list(dict.fromkeys((free[0], free[-1])))


def _is_free(art: Art, spot: Point) -> bool:
    """Return whether a mark hides nothing: lines that it crosses say what they say all the same."""
    taken = [words.box for words in art.words]
    taken += [stroke.chain.box() for stroke in art.strokes if stroke.filled]
    box = (spot[0] - MARK_MM, spot[1] - MARK_MM, spot[0] + MARK_MM, spot[1] + MARK_MM)
    return all(apart(box, other, 0.3) for other in taken)


def mark(at: Point) -> Art:
    """Return a registration mark: a diamond about a cross."""
    x, y, half = *at, MARK_MM * 0.7
    diamond = chain(polygon([(x - half, y), (x, y - half), (x + half, y), (x, y + half)]))
    return drawn(FINE, diamond) + cross(at, MARK_MM)
