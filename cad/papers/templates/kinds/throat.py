"""The throat's layout, to be folded round the shaped blank: sole, rabbet face, shoulder, rail and top.

Unfolded, p runs along the plane from the toe end of the blank and q up from the arris between sole and rabbet
face: down the sole (laid round its curve), up the rabbet face, out along the shoulder, up the rail, across
the top. Front and bed are planes, so that their lines on the flat faces are straight and on the curved sole
bend as the sole rises: p(s) = x(z(s)), s the length along the sole's curve.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
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
    arrow,
    drawn,
    leader,
    line,
)
from cad.units import format_length, plain

if TYPE_CHECKING:
    from fixtures.bench.model import Fixture

BEHIND_MM = 20.0  # of paper behind the throat at the top
PART_DEG = 5.0  # of the sole's turn in one Bézier of the developed lines
AWAY_MM = 2.5  # from a line to words beside it
ARROW_MM = 14.0


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
        art += line(CUT, (p_front - 6.0, self.depth), (min(p_bed + 6.0, self.end), self.depth))
        if self.plan.stages.spare:
            art += line(EDGE, (-self.toe, low), (-self.toe, self.top))
        return art + self._face_words() + self._top_words()

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

    def _face_words(self) -> Art:
        """Return the words on the rabbet face: on the toe's side of the throat and behind it."""
        throat, (_, face, rail, _) = self.plan.throat, self.folds
        half = ROW_MM / 2
        front, bed = f"front {plain(throat.front_deg)}°", f"bed {plain(throat.bed_deg)}°"
        middle = face / 2
        found = []
        before = self._p(throat.front_x, middle - half) - AWAY_MM
        if before - self._after_toe >= width_mm(front, LEAST_TEXT_MM):
            found.append(Words(front, (before, middle), align="right"))
        behind = self._p(throat.bed_x, middle + half) + AWAY_MM
        found.append(Words(bed, (behind, middle)))
        low = ROW_MM * 0.9
        art = Art((), tuple(found))
        start = self._p(throat.bed_x, low + half) + AWAY_MM
        art += leader(
            "sole, round its curve", (start, low), (self.end - 4.0, -self.plan.sole.path.length / 2)
        )
        high = face - ROW_MM * 0.9
        room = self._p(throat.front_x, high - half) - self._after_toe - AWAY_MM - 10.0
        for text in ("rabbet face; shoulder, fold in", "shoulder, fold in", "shoulder"):
            wide = width_mm(text, LEAST_TEXT_MM)
            if wide <= room:
                to = (self._after_toe + wide + 7.0, (face + rail) / 2)
                art += leader(text, (self._after_toe, high), to)
                break
        return art

    def _top_words(self) -> Art:
        """Return the words on the top: which end is the toe, the rail below, the depth and the waste."""
        throat, (_, _, rail, top), unit = self.plan.throat, self.folds, self.plan.spec.unit
        p_front, p_bed = self._at_top
        x, q = self._after_toe, self.top - TITLE_MM
        art = arrow((x + ARROW_MM, q), (x, q)) + Art((), (Words("TOE", (x + ARROW_MM + 2, q), TITLE_MM),))
        low = top + ROW_MM * 0.9
        to = (x + width_mm("rail", LEAST_TEXT_MM) + 6.0, (rail + top) / 2)
        art += leader("rail", (x, low), to)
        if self.depth - low > ROW_MM:
            art += Art((), (Words("top", (p_front - AWAY_MM, low), align="right"),))
        depth = f"depth {format_length(throat.depth, unit)}"
        room = p_front - 6.0 - AWAY_MM - x
        if width_mm(depth, LEAST_TEXT_MM) <= room and q - TITLE_MM / 2 - self.depth > -ROW_MM * 2:
            art += Art((), (Words(depth, (p_front - 6.0 - AWAY_MM, self.depth), align="right"),))
        if p_bed - p_front > width_mm("waste", LEAST_TEXT_MM) + 2 * AWAY_MM:
            art += Art((), (Words("waste", ((p_front + p_bed) / 2, (top + self.depth) / 2), align="middle"),))
        return art
