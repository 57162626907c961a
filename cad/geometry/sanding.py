"""The section of a sanding block under its sole: working face, lands, quirks and a body to hold it by.

The block is the other side of the sole's parallel curve at the distance of the stack (pad, backing, grain).
All in the (y, z) plane of the work, right hand, mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import radians, sin, sqrt

from cad.errors import OffsetError
from cad.formulas.extrusion import LEAST_WALL_MM
from cad.formulas.throat import relief_rise_mm
from cad.geometry.section import Section
from cad.geometry.sole import Sole
from cad.outline import Arc, Line, Path, Point, Segment, distance
from cad.parallel import Joint, Link, Parallel, along, aside, parallel
from cad.soles.flanks import flanked

# Sizes of the block itself: common practice, no source.
LAND_MM = 10.0  # most that a land reaches up its flank
LAND_SHARE = 0.6  # of the flank, so that the land does not ride over its upper end
QUIRK_MM = 1.25  # depth of the quirk beyond the stack
MOUTH_MM = 1.5  # least width of a quirk: narrower ones close in printing and clog in use
LEAST_WIDENING_MM = 0.2  # no quirk is widened by a sliver
FLAT_FLOOR_DEG = 30.0  # below this turn a flat floor keeps its depth, and an arc would be a sliver
LEAST_LAND_MM = 1.0  # least that is left of a land when its quirk is widened
RIM_MM = 2.4  # wood or print either side of a paper slot
SLOT_DEEP_MM = 6.0
LEAST_SLOT_MM = 0.8
EASE_MM = 2.0  # radius that eases the outer edges for paper and hand
GRIP_MM = 28.0  # body below the working face
LEAST_WIDTH_MM = 36.0
GROOVE_MM = 4.0  # depth of the finger grooves; their flanks lean 45 degrees
GROOVE_TALL_MM = 16.0


def land_height_mm(section: Section) -> float:
    """Return how far the lands reach up the flanks, the same on both sides so that a block can be turned."""
    flanks = (relief_rise_mm(wall, section.sole.relief_deg) for wall in (section.plate, section.blind_wall))
    return min(LAND_MM, *(LAND_SHARE * flank for flank in flanks))


@dataclass(frozen=True)
class BlockSection:
    """A block for one sole and one stack; `paper` is the thickness of its paper, backing and grain, mm.

    `wall` is the thinnest that the printer draws soundly.
    """

    sole: Sole
    stack: float
    paper: float
    land: float
    wall: float = LEAST_WALL_MM

    @cached_property
    def face(self) -> Parallel:
        """Return land, working face and land. Raises OffsetError where the sole leaves no room for it."""
        rise = self.land + self._taken
        source = flanked(self.sole.path, self.sole.relief_deg, rise, rise)
        flanks = (source.segments[0], source.segments[-1])
        made = parallel(source, self.stack, lambda joint: _quirk(joint, flanks))
        _check_walls(made, self.stack, self.wall)
        return made

    @property
    def over_sole(self) -> tuple[Segment, ...]:
        """The parts of the face that lie under the sole, from the rabbet face to the blind side."""
        return self.face.moved[1:-1]

    @property
    def plate_land(self) -> Segment:
        return self.face.moved[0]

    @property
    def blind_land(self) -> Segment:
        return self.face.moved[-1]

    @property
    def has_quirks(self) -> bool:
        """Whether the paper is parted at the edges of the sole."""
        return any(len(link.between) > 1 for link in self.face.links)

    @property
    def lowest(self) -> float:
        """Height of the lowest point of face and quirks, from which the body is solid."""
        return self.face.path.bounds()[1]

    @property
    def slot(self) -> float:
        """Width of the slots beside the lands: for the paper's edge folded double."""
        return max(2 * self.paper + 0.2, LEAST_SLOT_MM)

    @property
    def sides(self) -> tuple[float, float]:
        """Return y of the block's two sides."""
        rim = 2 * RIM_MM + self.slot
        low, high = self.face.path.start[0] - rim, self.face.path.end[0] + rim
        spare = max(LEAST_WIDTH_MM - (high - low), 0.0) / 2
        return (low - spare, high + spare)

    @cached_property
    def outline(self) -> Path:
        """Return the whole section, closed and counter-clockwise."""
        (low, high), bottom = self.sides, self.lowest - GRIP_MM
        left, right = self.face.path.start, self.face.path.end
        up = _side(low, bottom, self.lowest, left[1])
        top_left = _lines(up[-1].end, *_slot(left, self.slot, -1), left)
        top_right = _lines(right, *_slot(right, self.slot, 1)[::-1], (high - EASE_MM, right[1]))
        down = tuple(s.reversed() for s in reversed(_mirror(_side(-high, bottom, self.lowest, right[1]))))
        foot = Line(down[-1].end, up[0].start)
        return Path((*up, *top_left, *self.face.path, *top_right, *down, foot)).reversed()

    @property
    def _taken(self) -> float:
        """Height by which the wider quirks shorten the lands beyond what leaves them a useful height."""
        return max(LEAST_LAND_MM + MOUTH_MM - self.land, 0.0)


def _quirk(joint: Joint, flanks: tuple[Segment, ...]) -> Link:
    """Part the faces at a convex edge of the sole by a groove, so that the paper never bears on the edge.

    The groove is round about the edge, `QUIRK_MM` deeper than the stack. Beside a face that falls away
    steeply its wall goes straight down instead, so that a rib between two quirks is not undercut. A groove
    too narrow to print is widened along the flank, never into the sole's own face; with no flank beside
    it the faces are joined by the true parallel, an arc.
    """
    stop = aside(joint.corner, joint.before_deg, joint.by)
    start = aside(joint.corner, joint.after_deg, joint.by)
    widened = 0.0
    if distance(stop, start) < MOUTH_MM:
        widened = _widening(distance(stop, start), joint.by * sin(radians(joint.turn_deg)))
        if joint.before in flanks:
            stop = along(stop, joint.before_deg, -widened)
        elif joint.after in flanks:
            start = along(start, joint.after_deg, widened)
        else:
            return Link(stop, (Arc(stop, start, joint.corner, ccw=True),), start)
    deep = joint.by + QUIRK_MM
    foot = _foot(joint.corner, stop, joint.before_deg, deep, joint.before in flanks, falls=-1)
    far = _foot(joint.corner, start, joint.after_deg, deep, joint.after in flanks, falls=1)
    if joint.turn_deg <= FLAT_FLOOR_DEG:
        return Link(stop, _lines(stop, foot, far, start), start)
    on_before = along(foot, joint.before_deg, widened) if joint.before in flanks else foot
    on_after = along(far, joint.after_deg, -widened) if joint.after in flanks else far
    floor = Arc(on_before, on_after, joint.corner, ccw=True)
    return Link(stop, (*_lines(stop, foot, on_before), floor, *_lines(on_after, far, start)), start)


def _widening(mouth: float, along_flank: float) -> float:
    """Return how far along its flank an edge must move for a mouth that is too narrow.

    `along_flank` is the mouth's extent along the flank; the law of cosines gives the rest.
    """
    return max(sqrt(along_flank**2 + MOUTH_MM**2 - mouth**2) - along_flank, LEAST_WIDENING_MM)


def _foot(corner: Point, edge: Point, heading: float, deep: float, is_flank: bool, falls: int) -> Point:
    """Return where the wall of a quirk that begins at `edge` ends."""
    if is_flank or heading * falls <= 0:
        return aside(edge, heading, QUIRK_MM)
    return (edge[0], corner[1] - sqrt(deep**2 - (edge[0] - corner[0]) ** 2))


def _check_walls(made: Parallel, stack: float, least: float) -> None:
    """Raise OffsetError where a stretch of the face between two quirks is too narrow a rib."""
    # The lands outside the first and the last quirk are backed by the body: only what lies between counts.
    quirks = [i + 1 for i, link in enumerate(made.links) if len(link.between) > 1]
    for first, beyond in pairwise(quirks):
        start, end = made.moved[first].start, made.moved[beyond - 1].end
        wide = abs(end[0] - start[0])
        if wide < least:
            problem = f"a rib only {wide:.2f} mm thick would be left between two quirks"
            raise OffsetError(stack, problem, ((start[0] + end[0]) / 2, start[1]))


def _slot(top: Point, wide: float, way: int) -> tuple[Point, ...]:
    """Return the corners of the paper's slot beside a land, from the outer to the inner, `way` outwards."""
    inner, outer = top[0] + way * RIM_MM, top[0] + way * (RIM_MM + wide)
    return ((outer, top[1]), (outer, top[1] - SLOT_DEEP_MM), (inner, top[1] - SLOT_DEEP_MM), (inner, top[1]))


def _side(y: float, bottom: float, grip_top: float, top: float) -> tuple[Segment, ...]:
    """Return the left side at y from its foot up, with its finger groove and both ends eased."""
    high = grip_top - (GRIP_MM - GROOVE_TALL_MM) / 2
    low = high - GROOVE_TALL_MM
    deep, ease = y + GROOVE_MM, EASE_MM
    rising = _lines(
        (y, bottom + ease),
        (y, low),
        (deep, low + GROOVE_MM),
        (deep, high - GROOVE_MM),
        (y, high),
        (y, top - ease),
    )
    foot = Arc((y + ease, bottom), (y, bottom + ease), (y + ease, bottom + ease), ccw=False)
    head = Arc((y, top - ease), (y + ease, top), (y + ease, top - ease), ccw=False)
    return (foot, *rising, head)


def _mirror(segments: tuple[Segment, ...]) -> tuple[Segment, ...]:
    return tuple(segment.mirrored() for segment in segments)


def _lines(*points: Point) -> tuple[Segment, ...]:
    """Return the straight segments through the points."""
    return tuple(Line(p, q) for p, q in pairwise(points) if distance(p, q) > 1e-9)
