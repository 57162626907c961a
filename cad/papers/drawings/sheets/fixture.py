"""The fixtures: one sheet each, every piece as it lies on print bed or sheet, with its overall dimensions."""

from __future__ import annotations

from collections.abc import Iterator

from cad.kernel.measure import extent
from cad.kernel.projection import Look, seen
from cad.papers.drawings.dimension import Wording, rough
from cad.papers.drawings.features import arcs, overall, slopes
from cad.papers.drawings.layout import fits
from cad.papers.drawings.sheet import Row, Sheet
from cad.papers.drawings.subject import LaidFixture, LaidPiece, Subject
from cad.papers.drawings.view import View, view_of

PLACE = 7
FRONT = Look((0, -1, 0), (1, 0, 0))
ABOVE = Look((0, 0, 1), (1, 0, 0))
LEGIBLE_SCALE, SMALL_SCALE = 0.5, 0.2  # that pieces are drawn at, at least: small ones, and long ones
LONG_MM = 300.0

Pair = tuple[View, View]  # a piece from the front and from above


def sheets(subject: Subject) -> Iterator[Sheet]:
    """Yield the sheets of each fixture: one, or as many as legible pieces take."""
    for fixture in subject.fixtures:
        pairs = [_piece(group, rough(subject.wording)) for group in _alike(fixture.pieces)]
        filled = _filled(subject, fixture, pairs)
        for number, some in enumerate(filled, start=1):
            yield _sheet(subject, fixture, some, f" {number}" if len(filled) > 1 else "")


def _filled(subject: Subject, fixture: LaidFixture, pairs: list[Pair]) -> list[list[Pair]]:
    """Return a fixture's pieces in the sheets that hold them, each filled while they fit and are legible."""
    wanted = SMALL_SCALE if _longest(fixture) > LONG_MM else LEGIBLE_SCALE
    filled: list[list[Pair]] = [[]]
    for pair in pairs:
        more = [*filled[-1], pair]
        if len(more) == 1 or fits(
            _sheet(subject, fixture, more).options(), subject.plan.spec.paper.size, wanted
        ):
            filled[-1] = more
        else:
            filled.append([pair])
    return filled


def _sheet(subject: Subject, fixture: LaidFixture, pairs: list[Pair], suffix: str = "") -> Sheet:
    first_angle = subject.projection == "first"
    rows = [_rows(pairs, columns, first_angle) for columns in range(1, len(pairs) + 1)]
    return Sheet(
        name=(fixture.name + suffix).replace("_", "-").replace(" ", "-"),
        title=fixture.name.replace("_", " ").capitalize() + suffix,
        document="Fixture drawing",
        rows=rows[0],
        others=tuple(rows[1:]),
        material=" and ".join(sorted({piece.made for piece in fixture.pieces})),
        notes=(f"Used on the {fixture.used_on}. Each piece as it lies to be made; lettering left out.",),
    )


def _rows(pieces: list[Pair], columns: int, front_first: bool) -> tuple[Row, ...]:
    """Return pairs of views in columns, the two of a piece one above the other."""
    rows: list[Row] = []
    for i in range(0, len(pieces), columns):
        some = pieces[i : i + columns]
        pair: list[Row] = [tuple(front for front, _ in some), tuple(above for _, above in some)]
        rows += pair if front_first else pair[::-1]
    return tuple(rows)


def _piece(group: list[LaidPiece], words: Wording) -> Pair:
    """Return a piece from the front and from above, with its length, width and height."""
    piece = group[0]
    names = ", ".join(one.name for one in group)
    front = view_of(seen([piece.solid], FRONT), title=names)
    above = view_of(seen([piece.solid], ABOVE))
    key = piece.name
    return (
        front.with_marks(
            *overall(front, words, f"{key}.height", 1, "left"),
            *slopes(front, words, f"{key}.front"),
            *arcs(front, words, f"{key}.front"),
        ),
        above.with_marks(
            *overall(above, words, f"{key}.width", 1, "left"),
            *overall(above, words, f"{key}.length", 0, "bottom"),
            *slopes(above, words, f"{key}.above"),
            *arcs(above, words, f"{key}.above"),
        ),
    )


def _alike(pieces: tuple[LaidPiece, ...]) -> list[list[LaidPiece]]:
    """Return the pieces in groups that are the same but for their name."""
    groups: dict[tuple[float, ...], list[LaidPiece]] = {}
    for piece in pieces:
        low, high = extent(piece.solid)
        sides = (round(b - a, 4) for a, b in zip(low, high, strict=True))
        groups.setdefault((round(piece.solid.Volume(), 2), *sides), []).append(piece)
    return list(groups.values())


def _longest(fixture: LaidFixture) -> float:
    boxes = [extent(piece.solid) for piece in fixture.pieces]
    return max(b - a for low, high in boxes for a, b in zip(low, high, strict=True))
