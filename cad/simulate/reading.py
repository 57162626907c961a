"""A program read into moves, word by word, in the order in which the standard has a line's words carried out.

The words are those of the description of RS274/NGC, version 3 (NIST); from memory where a section is named.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import isnan, nan, pi

from cad.errors import printable
from cad.simulate.arcs import TOLERANCE_IN_MM, TOLERANCE_MM, ArcError, bend_by_offsets, bend_by_radius
from cad.simulate.finding import Finding, Kind, Place
from cad.simulate.line import Line, WordError, sorted_out
from cad.simulate.moves import AXES, RAPID_MM_MIN, Bend, Move, Plane
from cad.simulate.words import Block, Unread, blocks, has_percent_ends

INCH_MM = 25.4
# In the program's own unit, so that mm which are called inches are still told as such.
FARTHEST = 10_000.0  # from zero: no router reaches so far, and what does is a slip or mischief
LONGEST = 2 * pi * FARTHEST  # of one arc
PLANES: dict[float, Plane] = {17: "xy", 18: "zx", 19: "yz"}


@dataclass(frozen=True)
class Reading:
    """What a program does, and what is wrong with its words; no moves with a fault of kind "word"."""

    moves: tuple[Move, ...]
    findings: tuple[Finding, ...]
    inch: bool

    @property
    def seconds(self) -> float:
        """Return how long it takes at its own feeds, without pauses and the spindle's running up."""
        return sum(move.seconds for move in self.moves)


def read(name: str, text: str, block_delete: bool = False) -> Reading:
    """Return the moves of a program and all that is wrong with its words.

    With `block_delete`, lines that begin with a slash are passed over, as with the operator's switch on.
    """
    reader = _Reader(name)
    for block in blocks(text):
        if isinstance(block, Unread):
            reader.fault("word", block.line, f"{block.text}: {block.problem}", block.cure)
        elif not (block.deletable and block_delete):
            reader.carry_out(block)
            if reader.ended:
                break
    if not reader.ended and not has_percent_ends(text):
        reader.fault("end", 0, "the program does not end", "Write M2 or M30 on its last line")
    inch = reader.scale == INCH_MM
    # Once a word is passed over, what follows is not what the program says.
    unread = tuple(one for one in reader.findings if one.kind == "word")
    if unread:
        return Reading((), unread, inch)
    return Reading(tuple(reader.moves), tuple(reader.findings), inch)


@dataclass
class _Reader:
    """What holds from line to line while a program is read. Positions in mm, nan where not yet known."""

    name: str
    at: Place = (nan, nan, nan)
    motion: float = 80
    plane: Plane = "xy"
    scale: float = 0.0  # mm of a program's unit; 0 until it is said
    incremental: bool = False
    inverse_time: bool = False
    feed: float = 0.0
    speed: float = 0.0
    turning: int = 0
    ended: bool = False
    moves: list[Move] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    def fault(self, kind: Kind, line: int, words: str, cure: str, amount_mm: float = 0.0) -> None:
        place = None if any(map(isnan, self.at)) else self.at
        self.findings.append(Finding(kind, self.name, line, printable(words), cure, place, amount_mm))

    def carry_out(self, block: Block) -> None:
        """Carry out one line in the standard's order (3.8, table 8)."""
        try:
            line = sorted_out(block)
            self._set(line)
            self._move(line)
        except WordError as wrong:
            self.fault("word", block.line, f"{wrong.word}: {wrong.problem}", wrong.cure)
            return
        stop = line.m.get("stopping")
        if stop in (2, 30):
            self.ended = True

    def _set(self, line: Line) -> None:
        mode = line.g.get("feed rate mode")
        if mode is not None and self.inverse_time != (mode == 93):
            self.inverse_time, self.feed = mode == 93, 0.0
        if self.inverse_time:
            self.feed = 0.0  # holds for one line only
        self.feed = line.numbers.get("F", self.feed)
        self.speed = line.numbers.get("S", self.speed)
        if "tool change" in line.m:
            if self.moves:
                problem = "a change of tool within a program"
                raise WordError("M6", problem, "Write a program for each tool")
            self.turning = 0
        turning = {3: 1, 4: -1, 5: 0}
        self.turning = turning.get(int(line.m.get("spindle", -1)), self.turning)
        self.plane = PLANES.get(line.g.get("plane", 0), self.plane)
        self.scale = {20: INCH_MM, 21: 1.0}.get(int(line.g.get("units", 0)), self.scale)
        self.incremental = line.g.get("distance mode", 91 if self.incremental else 90) == 91
        self.motion = line.g.get("motion", self.motion)

    def _move(self, line: Line) -> None:
        axes = {letter: line.numbers[letter] for letter in "XYZ" if letter in line.numbers}
        others = [letter for letter in "IJKR" if letter in line.numbers]
        if not axes and not others:
            if line.g.get("motion", 80) != 80:
                problem = "a motion without X, Y or Z"
                raise WordError(f"G{line.g['motion']:g}", problem, "Say where to, or leave the word away")
            return
        if self.motion == 80:
            word = next(iter([*axes, *others]))
            raise WordError(word, "a place with no motion in force", "Write G0, G1, G2 or G3 before it")
        if others and self.motion < 2:
            problem = f"a word of an arc on a line with G{self.motion:g}"
            raise WordError(others[0], problem, "Write G2 or G3, or leave it away")
        if not self.scale:
            cure = "Write G20 or G21 before the first move"
            self.fault("unit", line.number, "the program moves before it says whether in mm or inches", cure)
            self.scale = 1.0
        self._go(line, self._target(line.number, axes))

    def _target(self, number: int, axes: dict[str, float]) -> Place:
        end = list(self.at)
        for i, letter in enumerate("XYZ"):
            if letter in axes:
                by = axes[letter] * self.scale
                end[i] = self.at[i] + by if self.incremental else by
                if isnan(end[i]):
                    raise WordError(letter, "a step from where nobody knows", "Begin with G90 and a place")
                if abs(end[i]) > FARTHEST * self.scale:
                    far = f"a place {abs(end[i]):.6g} mm from zero, where no router reaches"
                    raise WordError(letter, far, "Check its decimal point, and the program's unit")
        return (end[0], end[1], end[2])

    def _go(self, line: Line, end: Place) -> None:
        start, number = self.at, line.number
        bend = self._bend(line, end) if self.motion >= 2 else None
        if self.motion and self.feed <= 0:
            what = "has no F of its own, though G93 is in force" if self.inverse_time else "has no feed"
            cure = "Write F and the feed on this line" if self.inverse_time else "Write F before it"
            self.fault("feed", number, f"G{self.motion:g} {what}", cure)
        self._refuse_unknown(number, start, end)
        self.at = end
        if any(map(isnan, (*start, *end))):
            return
        turning = self.turning * self.speed
        bare = Move(number, self.motion == 0, start, end, bend, self._feed(), turning)
        if bare.length > LONGEST * self.scale:  # of places near zero: about a centre that is far away
            long = f"an arc {bare.length / 1000:.6g} m long"
            raise WordError(f"G{self.motion:g}", long, "Check its centre and the sense in which it turns")
        self.moves.append(bare if bare.length < 1e-9 else _timed(bare, self.inverse_time, self.feed))

    def _feed(self) -> float:
        return 0.0 if self.motion == 0 else self.feed if self.inverse_time else self.feed * self.scale

    def _refuse_unknown(self, number: int, start: Place, end: Place) -> None:
        """Note a move that may hit anything, because nobody knows where the cutter stands when it is made."""
        aside = any(s != e for s, e in zip(start[:2], end[:2], strict=True) if not (isnan(s) and isnan(e)))
        if aside and isnan(start[2]):
            words = "the cutter goes aside before it is raised from wherever it stands"
            self.fault("start", number, words, "Raise it first: G0 and a Z above the stock")
        elif end[2] < 0 and any(map(isnan, end[:2])):
            words = "the cutter goes down at a place that nobody knows"
            self.fault("start", number, words, "Go to X and Y first")

    def _bend(self, line: Line, end: Place) -> Bend | None:
        """Return the arc of a line, or nothing when its ends disagree: it is then followed as its chord."""
        ccw, tolerance = self.motion == 3, TOLERANCE_IN_MM if self.scale == INCH_MM else TOLERANCE_MM
        first, second, _ = AXES[self.plane]
        word = f"G{self.motion:g}"
        if not any("XYZ"[axis] in line.numbers for axis in (first, second)):
            need = " or ".join(sorted("XYZ"[axis] for axis in (first, second)))
            raise WordError(word, f"an arc without {need}", f"Write {need}, for a full circle too")
        if any(map(isnan, self.at)):
            raise WordError(word, "an arc from where nobody knows", "Go to its start with G0 or G1")
        centre = [letter for letter in "IJK" if letter in line.numbers]
        allowed = {"IJK"[axis] for axis in (first, second)}
        if ("R" in line.numbers) == bool(centre) or not set(centre) <= allowed:
            need = " or ".join(sorted(allowed))
            raise WordError(word, "an arc needs its radius or its centre, not both", f"Write R, or {need}")
        try:
            if "R" in line.numbers:
                radius = line.numbers["R"] * self.scale
                return bend_by_radius(self.at, end, self.plane, radius, ccw, tolerance)
            offsets = (
                line.numbers.get("IJK"[first], 0.0) * self.scale,
                line.numbers.get("IJK"[second], 0.0) * self.scale,
            )
            return bend_by_offsets(self.at, end, self.plane, offsets, ccw, tolerance)
        except ArcError as wrong:
            self.fault("arc", line.number, f"{word}: {wrong.problem}", wrong.cure, wrong.amount_mm)
            return None


def _timed(move: Move, inverse_time: bool, feed: float) -> Move:
    """Return a move with how long it takes, and its feed where it is told by time."""
    if move.rapid:
        seconds, speed = move.length / RAPID_MM_MIN * 60, 0.0
    elif inverse_time and feed > 0:
        seconds, speed = 60 / feed, move.length * feed
    else:
        speed = move.feed_mm_min
        seconds = move.length / speed * 60 if speed > 0 else 0.0
    return replace(move, feed_mm_min=speed, seconds=seconds)
