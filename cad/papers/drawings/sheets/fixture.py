"""The fixtures: one sheet each, every piece as it lies on print bed or sheet, with its overall dimensions."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from cad.kernel.measure import extent
from cad.kernel.projection import Look, seen
from cad.papers.drawings.dimension import Wording
from cad.papers.drawings.features import feature_marks
from cad.papers.drawings.sheet import Row, Sheet
from cad.papers.drawings.subject import LaidFixture, LaidPiece, Subject
from cad.papers.drawings.view import Linear, View, view_of

PLACE = 7
FRONT = Look((0, -1, 0), (1, 0, 0))
ABOVE = Look((0, 0, 1), (1, 0, 0))
MOST_PIECES = 4  # on one sheet


def sheets(subject: Subject) -> Iterator[Sheet]:
    """Yield the sheets of each fixture: one, or several where it has many pieces."""
    for fixture in subject.fixtures:
        groups = _alike(fixture.pieces)
        count = ceil(len(groups) / MOST_PIECES)
        each = ceil(len(groups) / count)
        for number in range(count):
            suffix = f" {number + 1}" if count > 1 else ""
            yield _sheet(subject, fixture, groups[number * each : (number + 1) * each], suffix)


def _sheet(subject: Subject, fixture: LaidFixture, groups: list[list[LaidPiece]], suffix: str) -> Sheet:
    views = [_piece(group, subject.wording) for group in groups]
    first_angle = subject.projection == "first"
    rows = [_rows(views, columns, first_angle) for columns in range(1, len(views) + 1)]
    made = sorted({piece.made for group in groups for piece in group})
    return Sheet(
        name=(fixture.name + suffix).replace("_", "-").replace(" ", "-"),
        title=fixture.name.replace("_", " ").capitalize() + suffix,
        document="Fixture drawing",
        rows=rows[0],
        others=tuple(rows[1:]),
        material=" and ".join(made),
        notes=(f"Used on the {fixture.used_on}. Each piece as it lies to be made; lettering left out.",),
    )


def _rows(pieces: list[tuple[View, View]], columns: int, front_first: bool) -> tuple[Row, ...]:
    """Return pairs of views in columns, the two of a piece one above the other."""
    rows: list[Row] = []
    for i in range(0, len(pieces), columns):
        some = pieces[i : i + columns]
        pair: list[Row] = [tuple(front for front, _ in some), tuple(above for _, above in some)]
        rows += pair if front_first else pair[::-1]
    return tuple(rows)


def _piece(group: list[LaidPiece], words: Wording) -> tuple[View, View]:
    """Return a piece from the front and from above, with its length, width and height."""
    piece = group[0]
    (x0, y0, z0), (x1, y1, z1) = extent(piece.solid)
    names = ", ".join(one.name for one in group)
    front = view_of(seen([piece.solid], FRONT), title=names)
    above = view_of(seen([piece.solid], ABOVE))
    key = piece.name
    front = front.with_marks(
        Linear(words.length(f"{key}.height", z1 - z0), (x0, z0), (x0, z1), "left"),
        *feature_marks(front, words, key),
    )
    above = above.with_marks(
        Linear(words.length(f"{key}.width", y1 - y0), (x0, y0), (x0, y1), "left"),
        Linear(words.length(f"{key}.length", x1 - x0), (x0, y0), (x1, y0), "bottom"),
    )
    return front, above


def _alike(pieces: tuple[LaidPiece, ...]) -> list[list[LaidPiece]]:
    """Return the pieces in groups that are the same but for their name."""
    groups: dict[tuple[float, ...], list[LaidPiece]] = {}
    for piece in pieces:
        low, high = extent(piece.solid)
        sides = (round(b - a, 4) for a, b in zip(low, high, strict=True))
        groups.setdefault((round(piece.solid.Volume(), 2), *sides), []).append(piece)
    return list(groups.values())
