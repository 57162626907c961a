"""A sheet with plates on it as programs: one for each drill, then one for the straight cutter.

All holes, pockets and openings come before any outline, so that the sheet stays whole for as long as it can.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shapely import Polygon, unary_union
from shapely.geometry.base import BaseGeometry

from cad.geometry.cuts import Operation, Planform
from cad.outline import Arc, Path, Point, distance
from cad.routing.contours import TAB, contour
from cad.routing.holes import bored, drill_for, drilled, drilled_into_bed_mm, is_bored
from cad.routing.model import CannotCutError, Cutter, Driving, Holding, Move, Program, Spared, Stock
from cad.routing.offcuts import loose
from cad.routing.offsets import (
    SLIVER_MM2,
    UNREACHED_MM,
    along_wall,
    grown,
    inside,
    outside,
    region,
)
from cad.routing.pockets import cleared, room_for
from cad.routing.wording import Header, program
from cad.spec.router import Router
from cad.units import plain

Moves = tuple[Move, ...]

FEW_CUTTERS = 5.0  # an opening in which a disc of this many cutters finds no room is cleared: no loose piece


@dataclass(frozen=True)
class _Cuts:
    """What one cutter does: each cut from the safe height and back to it."""

    within: tuple[Moves, ...] = ()
    outlines: tuple[Moves, ...] = ()
    spared: tuple[Spared, ...] = ()
    left: tuple[str, ...] = ()
    ways: tuple[Path, ...] = ()  # of the contours that go through

    def plus(self, other: _Cuts) -> _Cuts:
        return _Cuts(
            self.within + other.within,
            self.outlines + other.outlines,
            self.spared + other.spared,
            self.left + other.left,
            self.ways + other.ways,
        )


def sheet_holding(name: str, stock: Stock, plates: Sequence[Planform], router: Router) -> Holding:
    """Return the programs for plates where they lie on a sheet.

    What a cutter cannot make of a plate is left out of its program and said in `left`: where it is an
    outline or an opening the whole plate is left out, because half a plate is none. Raises CannotCutError
    when the cutter is too short for the sheet.
    """
    cutter = Cutter("flat", router.cutter, router.flute_length)
    if stock.thickness + router.through > cutter.flute_length:
        raise CannotCutError(
            f"a cutter that cuts {cutter.flute_length:g} mm up does not go through {stock.thickness:g} mm "
            f"and {router.through:g} mm beyond (shop.router.flute_length)"
        )
    done, cuts = [], _Cuts()
    for plate in plates:
        try:
            cuts = cuts.plus(_plate(plate, cutter, router))
            done.append(plate)
        except CannotCutError as error:
            why = f"{plate.name} is not cut: {error}"
            cuts = cuts.plus(_Cuts(left=(why,)))
    tabs = tuple(one for one in cuts.spared if one.why == TAB)
    cuts = cuts.plus(_Cuts(left=tuple(loose(stock, done, cuts.ways, tabs, cutter))))
    drills = _drills(done, cutter)
    programs = [*_drilling(name, stock, done, drills, cutter, router)]
    if cuts.outlines:
        moves = _in_order(cuts.within) + _in_order(cuts.outlines)
        driving = Driving(router.speed, router.feed, router.plunge)
        header = Header(name, stock, tuple(plate.name for plate in done), cutter, driving, cuts.left)
        programs.append(program(header, moves, router))
    deepest = max((drilled_into_bed_mm(one, router.through) for one in drills), default=router.through)
    pieces = tuple(plate.name for plate in done)
    return Holding(name, stock, tuple(programs), pieces, cuts.spared, cuts.left, into_bed=deepest)


def _plate(plate: Planform, cutter: Cutter, router: Router) -> _Cuts:
    """Return what the straight cutter makes of one plate. Raises CannotCutError where it cannot."""
    cuts = _Cuts()
    for cut in plate.operations:
        cuts = cuts.plus(_cut(cut, plate, cutter, router))
    return cuts


def _cut(cut: Operation, plate: Planform, cutter: Cutter, router: Router) -> _Cuts:
    depth = plate.thickness_mm + router.through if cut.through else cut.depth_mm
    if cut.kind == "engrave":
        return _Cuts(spared=(_spared("letters", cut),))
    if cut.kind == "sawn":
        return _Cuts()
    if cut.kind == "outside":
        around = outside(cut.path, cutter)
        made = contour(_turned(around.path, router), plate.thickness_mm, cutter, router)
        words = _corner_words(plate, around.corners)
        return _Cuts((), (made.moves,), made.tabs + around.corners, words, (around.path,))
    if cut.kind == "drill" and not is_bored(cut.diameter_mm, cutter):
        if not cut.through:
            raise CannotCutError(
                f"its flat-bottomed hole of {plain(cut.diameter_mm, 2)} mm is too narrow for a cutter of "
                f"{cutter.diameter:g} mm"
            )
        return _Cuts()  # a drill's
    if cut.kind == "drill":
        return _Cuts(within=(bored(_centre(cut), cut.diameter_mm, depth, cutter, router),))
    return _opened(cut, plate, depth, cutter, router)


def _opened(cut: Operation, plate: Planform, depth: float, cutter: Cutter, router: Router) -> _Cuts:
    """Return a pocket or an opening cleared; a wide opening cut round, with tabs that hold what falls out."""
    floor = region(cut.path, cut.holes)
    if cut.through and not grown(floor, -FEW_CUTTERS * cutter.radius).is_empty:
        within = inside(cut.path, cutter)
        made = contour(_turned(within.path, router), plate.thickness_mm, cutter, router)
        words = _corner_words(plate, within.corners)
        return _Cuts((made.moves,), (), made.tabs + within.corners, words, (within.path,))
    kept = _kept(plate, cut)
    room, corners = room_for(floor, kept, cutter)
    wall = along_wall(cut.path, cutter) if _is_walled(floor, kept) else None
    return _Cuts((cleared(room, depth, cutter, router, wall),), (), corners, _corner_words(plate, corners))


def _is_walled(floor: Polygon, kept: BaseGeometry) -> bool:
    """Return whether a floor has a wall all round it, and nothing standing in it."""
    open_ = grown(floor, UNREACHED_MM).difference(unary_union([floor, kept]))
    return not floor.interiors and bool(open_.area < SLIVER_MM2)


def _turned(way: Path, router: Router) -> Path:
    """Return a way that leaves the wood on its left, for conventional milling, the way the spec wants it."""
    return way.reversed() if router.direction == "climb" else way


def _corner_words(plate: Planform, corners: Sequence[Spared]) -> tuple[str, ...]:
    if not corners:
        return ()
    many = len(corners) > 1
    which = f"{len(corners)} inside corners" if many else "an inside corner"
    return (f"{which} of {plate.name} left round: file {'them' if many else 'it'} square",)


def _kept(plate: Planform, cut: Operation) -> BaseGeometry:
    """Return the wood of a plate that must stand beside a cut: all that nothing cuts as deep."""
    deeper = [
        region(other.path, other.holes)
        for other in plate.operations
        if other.kind in ("pocket", "inside", "drill") and other.depth_mm >= cut.depth_mm - 1e-9
    ]
    return region(plate.outline).difference(unary_union(deeper))


def _spared(why: str, cut: Operation) -> Spared:
    return Spared(why, tuple(cut.path.points(0.01)[:-1]))


def _centre(cut: Operation) -> Point:
    first = cut.path.segments[0]
    assert isinstance(first, Arc)
    return first.centre


def _drills(plates: Sequence[Planform], cutter: Cutter) -> tuple[float, ...]:
    """Return the diameters of the holes that are drilled, thinnest first."""
    found = {
        round(cut.diameter_mm, 3)
        for plate in plates
        for cut in plate.operations
        if cut.kind == "drill" and not is_bored(cut.diameter_mm, cutter)
    }
    return tuple(sorted(found))


def _drilling(
    name: str,
    stock: Stock,
    plates: Sequence[Planform],
    drills: Sequence[float],
    cutter: Cutter,
    router: Router,
) -> Iterator[Program]:
    for diameter in drills:
        drill = drill_for(diameter, stock.thickness, router.through)
        depth = stock.thickness + drilled_into_bed_mm(diameter, router.through)
        holes = [
            drilled(_centre(cut), diameter, depth, router)
            for plate in plates
            for cut in plate.operations
            if cut.kind == "drill" and round(cut.diameter_mm, 3) == diameter
        ]
        driving = Driving(router.drill_speed, router.drill_feed, router.drill_feed)
        header = Header(name, stock, tuple(plate.name for plate in plates), drill, driving, ())
        yield program(header, _in_order(holes), router)


def _in_order(cuts: Sequence[Moves]) -> Moves:
    """Return cuts joined, each followed by the nearest that is left, from the zero of the stock on."""
    left, found = list(cuts), list[Move]()
    while left:
        cut = _nearest(left, found[-1].to[:2] if found else (0.0, 0.0))
        left.remove(cut)
        found += cut
    return tuple(found)


def _nearest(cuts: Sequence[Moves], at: Point) -> Moves:
    return min(cuts, key=lambda cut: distance(at, cut[0].to[:2]))
