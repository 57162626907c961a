"""The throat's layout, to be folded round the shaped blank: sole, rabbet face, shoulder, rail and top.

Unfolded, p runs along the plane from the toe end of the blank and q up from the arris between sole and rabbet
face: down the sole (laid round its curve), up the rabbet face, out along the shoulder, up the rail, across
the top. Front and bed are planes, so that their lines on the flat faces are straight and on the curved sole
bend as the sole rises: p(s) = x(z(s)), s the length along the sole's curve.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil, radians, sin
from typing import TYPE_CHECKING

from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.outline import Arc, Point, polygon
from cad.papers.templates.bezier import Chain, chain, polyline, through
from cad.papers.templates.block import Template
from cad.papers.templates.fonts import width_mm
from cad.papers.templates.ink import (
    CUT,
    EDGE,
    FOLD,
    LEAST_TEXT_MM,
    ROW_MM,
    TITLE_MM,
    Art,
    Words,
    drawn,
    leader,
    line,
    toe_mark,
)
from cad.papers.templates.room import labelled
from cad.units import format_length, plain

if TYPE_CHECKING:
    from fixtures.bench.model import Fixture

BEHIND_MM = 12.0  # of paper behind the throat at the top
PART_DEG = 5.0  # of the sole's turn in one Bézier of the developed lines
DEPTH_BEYOND_MM = 6.0  # how far the line of the depth runs on past front and bed
AWAY_MM = 2.5  # from a line to words beside it


def templates(plan: Plan, fixtures: Sequence[Fixture]) -> Iterator[Template]:
    """Yield the layout."""
    throat, unit, spare = plan.throat, plan.spec.unit, plan.stages.spare
    oversize = (
        f"That is {format_length(spare + throat.mouth_at, unit)} from the toe end of the oversize blank, "
        f"which has {format_length(spare, unit)} spare. Dashed across: the finished toe."
        if spare
        else ""
    )
    notes = (
        "Fold on the dash-dot lines round the body with its sole shaped, the edge marked TOE flush with the "
        "toe end: out over the rail's two arrises, in at the shoulder, round the sole.",
        f"Front of the mouth {format_length(throat.mouth_at, unit)} from the toe, mouth "
        f"{format_length(throat.mouth, unit)} along the sole. {oversize}",
        f"Front {plain(throat.front_deg)}°, bed {plain(throat.bed_deg)}° from the sole. The waste lies "
        f"between the lines, {format_length(throat.depth, unit)} deep from the rabbet face: to the line on "
        "the top, to the far edge of the sole.",
    )
    art = _Layout(plan).art()
    yield Template(
        "throat", "Throat, to fold round the blank", notes, art.mirrored() if plan.is_left else art
    )


@dataclass(frozen=True)
class _Layout:
    """The unfolded layout, right hand."""

    plan: Plan

    @property
    def toe(self) -> float:
        """x of the blank's toe end, where p = 0."""
        return self.plan.stages.span(Stage.SOLE_SHAPED)[0]

    @property
    def end(self) -> float:
        """p of the paper's other end."""
        heel = self.plan.stages.span(Stage.SOLE_SHAPED)[1]
        return min(self.plan.throat.bed_x(self.plan.section.height) + BEHIND_MM, heel) - self.toe

    @property
    def folds(self) -> tuple[float, ...]:
        """q of the four folds from the sole's arris up."""
        section = self.plan.section
        face = section.shoulder - section.sole.plate_edge
        rail = face + section.plate
        return (0.0, face, rail, rail + section.height - section.shoulder)

    @property
    def top(self) -> float:
        """q of the paper's upper edge, the far arris of the top."""
        return self.folds[3] + self.plan.section.thickness

    @property
    def depth(self) -> float:
        """q of the line on the top to which the throat is sawn."""
        return self.folds[3] + self.plan.section.plate + self.plan.throat.depth

    def art(self) -> Art:
        low = -self.plan.sole.path.length
        paper = polygon([(0.0, low), (self.end, low), (self.end, self.top), (0.0, self.top)])
        art = drawn(CUT, chain(paper))
        for q in self.folds:
            art += line(FOLD, (0.0, q), (self.end, q))
        for x_at in (self.plan.throat.front_x, self.plan.throat.bed_x):
            art += drawn(CUT, self.face_line(x_at), self.sole_line(x_at))
        p_front, p_bed = self._at_top
        last = min(p_bed + DEPTH_BEYOND_MM, self.end)
        art += line(CUT, (p_front - DEPTH_BEYOND_MM, self.depth), (last, self.depth))
        if self.plan.stages.spare:
            art += line(EDGE, (-self.toe, low), (-self.toe, self.top))
        return self._labelled(art)

    @property
    def _at_top(self) -> tuple[float, float]:
        height, throat = self.plan.section.height, self.plan.throat
        return throat.front_x(height) - self.toe, throat.bed_x(height) - self.toe

    def face_line(self, x_at: Callable[[float], float]) -> Chain:
        """Return the line of one face of the throat from the sole's arris to the depth on the top."""
        section, (arris, shoulder, rail, top) = self.plan.section, self.folds
        heights = (section.sole.plate_edge, section.shoulder, section.shoulder, section.height)
        points = [(x_at(z) - self.toe, q) for z, q in zip(heights, (arris, shoulder, rail, top), strict=True)]
        return polyline(*points, (points[-1][0], self.depth))

    def sole_line(self, x_at: Callable[[float], float]) -> Chain:
        """Return the same line on the developed sole, from its arris to the far edge."""
        lean = x_at(1.0) - x_at(0.0)
        points: list[Point] = []
        slopes: list[Point] = []
        found: list[Chain] = []
        run = 0.0
        for segment in self.plan.sole.path:
            turn = abs(segment.turn) if isinstance(segment, Arc) else 0.0
            parts = max(1, ceil(turn / radians(PART_DEG)))
            step = segment.length / parts
            points, slopes = [], []
            for i in range(parts + 1):
                z = segment.point(i / parts)[1]
                climb = sin(radians(segment.heading_deg(i / parts)))  # dz/ds
                points.append((x_at(z) - self.toe, -run - i * step))
                slopes.append((lean * climb * step, -step))
            found.append(through(points, slopes))
            run += segment.length
        steps = tuple(step for one in found for step in one.steps)
        return Chain(found[0].start, steps)

    def _p(self, x_at: Callable[[float], float], q: float) -> float:
        """Return p of a line at q on the rabbet face."""
        return x_at(self.plan.section.sole.plate_edge + q) - self.toe

    @property
    def _after_toe(self) -> float:
        """p from which words have no line before them."""
        return max(-self.toe, 0.0) + AWAY_MM

    def _labelled(self, art: Art) -> Art:
        """Return the layout with its words, each in the first of its places that is clear of lines."""
        for candidates in (self._toe_marks(), *self._face_words(), *self._top_words()):
            art = labelled(art, candidates)
        return art

    def _toe_marks(self) -> Iterator[Art]:
        """Yield places for the arrow to the toe: on the top, else further down, else further from the toe."""
        levels = [self.top - TITLE_MM - 2.0 * i for i in range(60)]
        for x in (self._after_toe + 6.0 * i for i in range(30)):
            yield from (Art((), (toe_mark((x, q)),)) for q in levels if q > 0)

    def _face_words(self) -> Iterator[Iterable[Art]]:
        """Yield for each thing said on the rabbet face its places: the angles, the sole, the shoulder."""
        throat, (_, face, rail, _) = self.plan.throat, self.folds
        levels = [face * share for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)]
        front, bed = f"front {plain(throat.front_deg)}°", f"bed {plain(throat.bed_deg)}°"
        yield [self._before(throat.front_x, front, q) for q in levels]
        yield [self._behind(throat.bed_x, bed, q) for q in levels]
        low = ROW_MM * 0.9
        start = self._p(throat.bed_x, low + ROW_MM / 2) + AWAY_MM
        sole = (self.end - 4.0, -self.plan.sole.path.length / 2)
        yield [leader(text, (start, low), sole) for text in ("sole, round its curve", "sole")]
        high, after = face - ROW_MM * 0.9, self._after_toe
        shoulder = (face + rail) / 2
        yield [
            leader(text, (after, high), (after + width_mm(text, LEAST_TEXT_MM) + 7.0, shoulder))
            for text in ("rabbet face; shoulder, fold in", "shoulder, fold in", "shoulder")
        ]

    def _before(self, x_at: Callable[[float], float], text: str, q: float) -> Art:
        """Return words that end beside a line on the rabbet face."""
        return Art((), (Words(text, (self._p(x_at, q - ROW_MM / 2) - AWAY_MM, q), align="right"),))

    def _behind(self, x_at: Callable[[float], float], text: str, q: float) -> Art:
        """Return words that begin beside a line on the rabbet face."""
        return Art((), (Words(text, (self._p(x_at, q + ROW_MM / 2) + AWAY_MM, q)),))

    def _top_words(self) -> Iterator[Iterable[Art]]:
        """Yield for each thing said on the top its places: the depth, the waste, the rail below, the top."""
        throat, (_, _, rail, top) = self.plan.throat, self.folds
        p_front, p_bed = self._at_top
        depth = f"depth {format_length(throat.depth, self.plan.spec.unit)}"
        before, behind = p_front - DEPTH_BEYOND_MM - AWAY_MM, p_bed + DEPTH_BEYOND_MM + AWAY_MM
        yield [
            Art((), (Words(depth, (before, self.depth), align="right"),)),
            Art((), (Words(depth, (behind, self.depth)),)),
        ]
        yield [Art((), (Words("waste", ((p_front + p_bed) / 2, (top + self.depth) / 2), align="middle"),))]
        x, low = self._after_toe, top + ROW_MM * 0.9
        to = (x + width_mm("rail", LEAST_TEXT_MM) + 6.0, (rail + top) / 2)
        yield [leader("rail", (x, low), to)]
        yield [Art((), (Words("top", (p_front - AWAY_MM, low), align="right"),))]
