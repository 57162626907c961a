"""From the pieces of a drawing, in whatever order and sense they were drawn, to one chain of corners."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from cad.errors import ProfileError
from cad.outline import Point, Segment, distance
from cad.profiles.bulges import Corner, corners_of
from cad.profiles.drawing import Curve, Piece, check_points, points_of

JOIN_MM = 0.02  # ends nearer than this are one corner: what rounding in a file leaves, and no more
MOST_SEGMENTS = 120  # lines and arcs of a profile; a curve drawn as dots has more
MOST_PIECES = 500
MOST_SPANS = 300  # of curves: each takes at least an arc, but for a few that run on smoothly


@dataclass(frozen=True)
class Strand:
    """A piece as lines and arcs; `fitted` of them stand for curves, which stray at most `strays_mm`."""

    name: str
    segments: tuple[Segment, ...]
    fitted: int = 0
    strays_mm: float = 0.0

    @property
    def ends(self) -> tuple[Point, Point]:
        return self.segments[0].start, self.segments[-1].end

    def reversed(self) -> Strand:
        turned = tuple(segment.reversed() for segment in reversed(self.segments))
        return Strand(self.name, turned, self.fitted, self.strays_mm)


@dataclass(frozen=True)
class Chain:
    """One open chain: its corners, the piece that each segment comes from, and what was fitted."""

    corners: tuple[Corner, ...]
    names: tuple[str, ...]
    fitted: int
    strays_mm: float


def chained(pieces: Sequence[Piece], fit_mm: float) -> Chain:
    """Return the chain that pieces make, curves as arcs within `fit_mm`.

    Raises ProfileError for pieces that are no single open chain of lines, arcs and curves.
    """
    if not pieces:
        raise ProfileError("", "nothing is drawn that could be a profile", "Draw it with lines and arcs")
    if len(pieces) > MOST_PIECES:
        raise ProfileError(
            "",
            f"{len(pieces)} pieces are drawn, more than {MOST_PIECES}",
            "Keep only the profile in the file",
        )
    strands = _in_order(_strands(pieces, fit_mm))
    segments = tuple(segment for strand in strands for segment in strand.segments)
    return Chain(
        corners_of(segments),
        tuple(strand.name for strand in strands for _ in strand.segments),
        sum(strand.fitted for strand in strands),
        max(strand.strays_mm for strand in strands),
    )


def _strands(pieces: Sequence[Piece], fit_mm: float) -> list[Strand]:
    """Return the pieces as lines and arcs. Raises ProfileError as soon as they are too many."""
    spans = sum(len(part.spans) for piece in pieces for part in piece.parts if isinstance(part, Curve))
    found: list[Strand] = []
    count = 0
    for piece in pieces if spans <= MOST_SPANS else ():
        found.append(_strand(piece, fit_mm))
        count += len(found[-1].segments)
        if count > MOST_SEGMENTS:
            break
    if spans > MOST_SPANS or count > MOST_SEGMENTS:
        raise ProfileError(
            "",
            f"the profile comes to more than {MOST_SEGMENTS} lines and arcs",
            "Draw it with longer lines and arcs, or allow its curves a greater fit",
        )
    return found


def _strand(piece: Piece, fit_mm: float) -> Strand:
    segments: list[Segment] = []
    fitted, strays = 0, 0.0
    for part in piece.parts:
        check_points(piece.name, points_of(part))
        if isinstance(part, Curve):
            arcs = _fitted(piece.name, part, fit_mm)
            fitted, strays = fitted + len(arcs), max(strays, part.strays_mm(arcs))
            segments += arcs
        else:
            segments.append(part)
    for segment in segments:
        if segment.length <= JOIN_MM:
            where = _spell(segment.start)
            raise ProfileError(
                piece.name,
                f"a part of it at {where} is {segment.length:.3g} mm long, which is no length",
                "Delete that part and join its neighbours",
            )
    return Strand(piece.name, tuple(segments), fitted, strays)


def _fitted(name: str, curve: Curve, fit_mm: float) -> tuple[Segment, ...]:
    try:
        arcs = curve.fitted(fit_mm)
    except ValueError as error:
        raise ProfileError(name, f"no arcs fit its curve: {error}", "Draw it with lines and arcs") from error
    short = next((arc for arc in arcs if arc.length <= JOIN_MM), None)
    if short is not None:
        where = f"no arcs fit its curve: it turns too sharply at {_spell(short.start)}"
        raise ProfileError(name, where, "Draw it with lines and arcs")
    return arcs


def _in_order(strands: list[Strand]) -> list[Strand]:
    """Return strands in the order of the chain, each turned to run along it."""
    _refuse_twice(strands)
    meets = [_met(strands, at) for at in range(len(strands))]
    free = [(at, end) for at, found in enumerate(meets) for end in (0, 1) if not found[end]]
    if not free:
        raise ProfileError(
            strands[0].name,
            "the profile is closed: it comes back to where it began",
            "Draw the sole's curve alone, open at both edges",
        )
    if len(free) > 2:
        raise _broken(strands, free)
    at, end = free[0]
    order: list[Strand] = []
    while True:
        order.append(strands[at] if end == 0 else strands[at].reversed())
        onward = meets[at][1 - end]
        if not onward:
            break
        at, end = onward[0]
    if len(order) < len(strands):
        rest = next(strand for strand in strands if strand not in order and strand.reversed() not in order)
        raise ProfileError(
            rest.name, "beside the profile a closed line is drawn", "Keep only the profile in the file"
        )
    return order


def _met(strands: Sequence[Strand], at: int) -> tuple[list[tuple[int, int]], list[tuple[int, int]]]:
    """Return what meets the start and the end of a strand: which strand, with which of its ends."""
    own = strands[at]
    found: tuple[list[tuple[int, int]], list[tuple[int, int]]] = ([], [])
    for end in (0, 1):
        for other, strand in enumerate(strands):
            for its in (0, 1):
                if (other, its) != (at, end) and distance(own.ends[end], strand.ends[its]) <= JOIN_MM:
                    found[end].append((other, its))
        if len(found[end]) > 1:
            names = ", ".join(strands[other].name for other, _ in found[end])
            raise ProfileError(
                own.name,
                f"it branches at {_spell(own.ends[end])}, where it meets {names}",
                "Keep only the profile in the file: one line from edge to edge",
            )
    return found


def _refuse_twice(strands: Sequence[Strand]) -> None:
    for one, two in combinations(strands, 2):
        if any(_alike(one, turned) for turned in (two, two.reversed())):
            raise ProfileError(two.name, f"it lies on {one.name}: drawn twice", "Delete one of the two")


def _alike(one: Strand, two: Strand) -> bool:
    return len(one.segments) == len(two.segments) and all(
        distance(a.point(share), b.point(share)) <= JOIN_MM
        for a, b in zip(one.segments, two.segments, strict=True)
        for share in (0.0, 0.5, 1.0)
    )


def _broken(strands: Sequence[Strand], free: Sequence[tuple[int, int]]) -> ProfileError:
    """Return the error of more than two free ends, naming the narrowest gap."""
    gaps = [
        (distance(strands[a].ends[i], strands[b].ends[j]), a, b, strands[a].ends[i])
        for (a, i), (b, j) in combinations(free, 2)
        if a != b
    ]
    gap, a, b, where = min(gaps)
    return ProfileError(
        strands[a].name,
        f"the profile is in {len(free) // 2} parts: between {strands[a].name} and {strands[b].name} there is "
        f"a gap of {gap:.3g} mm at {_spell(where)}, and ends must meet within {JOIN_MM:g} mm",
        "Join the ends, and keep only the profile in the file",
    )


def _spell(p: Point) -> str:
    return f"({p[0]:.2f}, {p[1]:.2f})"
