"""What a router is given: programs for one piece of stock, each with its cutter, and what they leave."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from cad.outline import Point
from cad.units import plain

Triple = tuple[float, float, float]
Shape = Literal["flat", "ball", "drill"]

POINT_DEG = 118.0  # a common twist drill; common practice, no source


class CannotCutError(Exception):
    """Something that the cutter at hand cannot make; says what, and the number that stands in its way."""


@dataclass(frozen=True)
class Cutter:
    """A cutter, mm. A program moves its lowest point; only drills are sent straight down into wood."""

    shape: Shape
    diameter: float
    flute_length: float

    @property
    def radius(self) -> float:
        return self.diameter / 2

    @property
    def name(self) -> str:
        """The name by which files tell it: "flat_6mm", "drill_4.5mm"."""
        return f"{self.shape}_{plain(self.diameter, 2)}mm"

    @property
    def words(self) -> str:
        """What it is, in words a program's comments may hold, in mm."""
        return self.described(lambda mm: f"{plain(mm, 3)} mm")

    def described(self, length: Callable[[float], str]) -> str:
        """Return what it is, its lengths as `length` writes them."""
        end = {"flat": "straight cutter", "ball": "round-ended cutter", "drill": "drill"}[self.shape]
        flutes = f", cuts {length(self.flute_length)} up"
        point = f", point {POINT_DEG:g} deg" if self.shape == "drill" else flutes
        return f"{end}, diameter {length(self.diameter)}{point}"


@dataclass(frozen=True)
class Driving:
    """How a cutter is driven: turns a minute, feed along the cut and downwards, mm a minute."""

    speed_rpm: float
    feed: float
    down: float


@dataclass(frozen=True)
class Move:
    """One move of the cutter's lowest point, from where it is: straight, or on an arc about `centre`.

    An arc may climb or sink evenly on its way (a helix). `down` marks the slower feed.
    """

    to: Triple
    rapid: bool = False
    centre: Point | None = None
    ccw: bool = False
    down: bool = False


@dataclass(frozen=True)
class Stock:
    """The sheet or block that programs start from: length along x, width along y, thickness, mm."""

    length: float
    width: float
    thickness: float


@dataclass(frozen=True)
class Program:
    """One file for the machine: its name without ending, its text, the cutter, and how long it takes."""

    name: str
    text: str
    cutter: Cutter
    minutes: float


@dataclass(frozen=True)
class Spared:
    """Where wood is left on purpose, up to z = `top`: a closed outline seen from above."""

    why: str
    ring: tuple[Point, ...]
    top: float = 0.0


@dataclass(frozen=True)
class Holding:
    """One piece of stock, held once: its programs in the order in which they run.

    - `pieces`: the names of those that it makes;
    - `spared`: where they leave wood on purpose: tabs, what the cutter cannot reach;
    - `left`: the same in words, for the maker who finishes it by hand;
    - `into_bed`: how far cuts go below the stock, mm; `beyond`: how far outside it the cutter's axis passes;
    - `scallop`: most that ridges stand up on a profile, 0 on flat parts.
    """

    name: str
    stock: Stock
    programs: tuple[Program, ...]
    pieces: tuple[str, ...]
    spared: tuple[Spared, ...] = ()
    left: tuple[str, ...] = ()
    into_bed: float = 0.0
    beyond: float = 0.0
    scallop: float = 0.0
