"""What a PDF puts on paper, read back by a library that had no part in writing it (pypdf): lines in mm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from itertools import pairwise
from math import hypot

from pypdf import PageObject, PdfReader
from pypdf.generic import ContentStream

MM = 25.4 / 72  # of a PDF's unit (ISO 32000-1)
Point = tuple[float, float]
Matrix = tuple[float, float, float, float, float, float]
IDENTITY: Matrix = (1, 0, 0, 1, 0, 0)


@dataclass(frozen=True)
class Ink:
    """One subpath on the page: knots where its pieces join, samples along it, its pen."""

    knots: tuple[Point, ...]
    curved: tuple[bool, ...]  # of each piece from knot to knot
    samples: tuple[Point, ...]
    closed: bool
    width: float  # of the line across the page's x, mm
    dashed: bool
    filled: bool

    @property
    def box(self) -> tuple[float, float, float, float]:
        xs, ys = [p[0] for p in self.samples], [p[1] for p in self.samples]
        return (min(xs), min(ys), max(xs), max(ys))

    def straight(self) -> Iterator[tuple[Point, Point]]:
        """Yield its straight pieces."""
        for (p, q), curved in zip(pairwise(self.knots), self.curved, strict=True):
            if not curved:
                yield p, q

    def arc(self) -> list[Point]:
        """Return the samples from the first curved piece to the last."""
        spots = [i for i, curved in enumerate(self.curved) if curved]
        first, last = self.knots[spots[0]], self.knots[spots[-1] + 1]
        start = self.samples.index(first)
        return list(self.samples[start : self.samples.index(last, start) + 1])


@dataclass(frozen=True)
class Word:
    """A run of text and where it begins."""

    text: str
    at: Point


@dataclass(frozen=True)
class Page:
    width: float
    height: float
    inks: tuple[Ink, ...]
    words: tuple[Word, ...]
    text: str

    def segments(self) -> Iterator[tuple[Point, Point, Ink]]:
        """Yield every straight piece on the page that is stroked."""
        for ink in self.inks:
            if not ink.filled:
                for p, q in ink.straight():
                    yield p, q, ink


def read_pages(data: bytes) -> list[Page]:
    """Return the pages of a PDF."""
    reader = PdfReader(BytesIO(data))
    return [_page(page, reader) for page in reader.pages]


def length(p: Point, q: Point) -> float:
    return hypot(q[0] - p[0], q[1] - p[1])


def _page(page: PageObject, reader: PdfReader) -> Page:
    box = page.mediabox
    words: list[Word] = []

    def visit(text: str, user: list[float], matrix: list[float], font: object, size: float) -> None:
        if text.strip():
            x, y = _through((matrix[4], matrix[5]), tuple(user))  # type: ignore[arg-type]
            words.append(Word(text.strip(), (x * MM, y * MM)))

    text = page.extract_text(visitor_text=visit)
    contents = page.get_contents()
    assert contents is not None
    inks = tuple(_inks(ContentStream(contents, reader)))
    return Page(float(box.width) * MM, float(box.height) * MM, inks, tuple(words), text)


def _inks(stream: ContentStream) -> Iterator[Ink]:
    """Yield what a content stream draws (path operators of ISO 32000-1, 8.5)."""
    state: tuple[Matrix, float, bool] = (IDENTITY, 1.0, False)
    stack = [state]
    paths: list[_Path] = []
    for operands, operator in stream.operations:
        matrix, width, dashed = state
        name = operator.decode()
        if name == "q":
            stack.append(state)
        elif name == "Q":
            state = stack.pop()
        elif name == "cm":
            state = (_product(tuple(map(float, operands)), matrix), width, dashed)  # type: ignore[arg-type]
        elif name == "w":
            state = (matrix, float(operands[0]), dashed)
        elif name == "d":
            state = (matrix, width, bool(operands[0]))
        elif name in ("m", "l", "c", "h"):
            _extend(paths, name, [float(value) for value in operands], matrix)
        elif name in ("S", "s", "f", "F", "f*", "B", "b", "n"):
            shown = name != "n"
            filled = name.lower().startswith("f")
            yield from (
                path.ink(width * matrix_scale(matrix) * MM, dashed, filled) for path in paths if shown
            )
            paths = []


class _Path:
    def __init__(self, start: Point) -> None:
        self.knots, self.samples = [start], [start]
        self.curved: list[bool] = []
        self.closed = False

    def ink(self, width: float, dashed: bool, filled: bool) -> Ink:
        return Ink(
            tuple(self.knots), tuple(self.curved), tuple(self.samples), self.closed, width, dashed, filled
        )


def _extend(paths: list[_Path], name: str, numbers: list[float], matrix: Matrix) -> None:
    points = [
        (x * MM, y * MM)
        for x, y in (_through(pair, matrix) for pair in zip(numbers[::2], numbers[1::2], strict=True))
    ]
    if name == "m":
        paths.append(_Path(points[0]))
        return
    path = paths[-1]
    if name == "h":
        path.closed = True
        if length(path.knots[-1], path.knots[0]) > 1e-6:
            path.knots.append(path.knots[0])
            path.samples.append(path.knots[0])
            path.curved.append(False)
        return
    here = path.knots[-1]
    if name == "c":
        path.samples += [_bezier((here, *points), i / 16) for i in range(1, 16)]
    path.knots.append(points[-1])
    path.samples.append(points[-1])
    path.curved.append(name == "c")


def _bezier(points: tuple[Point, ...], t: float) -> Point:
    """Return a point of a cubic Bézier (ISO 32000-1, 8.5.2.2)."""
    weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
    return (
        sum(w * p[0] for w, p in zip(weights, points, strict=True)),
        sum(w * p[1] for w, p in zip(weights, points, strict=True)),
    )


def _product(one: Matrix, two: Matrix) -> Matrix:
    a, b, c, d, e, f = one
    p, q, r, s, t, u = two
    return (a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s, e * p + f * r + t, e * q + f * s + u)


def _through(point: Point, matrix: Matrix) -> Point:
    x, y = point
    a, b, c, d, e, f = matrix
    return (a * x + c * y + e, b * x + d * y + f)


def matrix_scale(matrix: Matrix) -> float:
    return hypot(matrix[0], matrix[1])
