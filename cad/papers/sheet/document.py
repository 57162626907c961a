"""What a sheet holds, as plain values: sections of blocks in reading order."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from cad.outline import Point

Weight = Literal["wide", "narrow"]
Tone = Literal["black", "grey"]


@dataclass(frozen=True)
class Words:
    """One paragraph; `small` for sources and asides."""

    text: str
    small: bool = False


@dataclass(frozen=True)
class Points:
    """A list, numbered when its order matters."""

    items: tuple[str, ...]
    numbered: bool = False


@dataclass(frozen=True)
class Caution:
    """What can hurt, boxed where the work is that it belongs to; `about` names what, where not all of it."""

    items: tuple[str, ...]
    about: str = ""

    @property
    def title(self) -> str:
        return f"Caution: {self.about}" if self.about else "Caution"


@dataclass(frozen=True)
class Notice:
    """What this very plane makes worth knowing, boxed more quietly than a caution."""

    items: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """Rows of cells under a head. `shares` are the columns' shares of the width, all alike when empty.

    A table without a head is a list of names and values.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    shares: tuple[float, ...] = ()
    caption: str = ""


@dataclass(frozen=True)
class Stroke:
    """A line through points, mm on the picture, x to the right and y up."""

    points: tuple[Point, ...]
    weight: Weight = "wide"
    tone: Tone = "black"


@dataclass(frozen=True)
class Lettering:
    """A short text in a picture, centred on a point; its capitals are `height` mm high on the paper."""

    text: str
    at: Point
    height: float = 2.2


@dataclass(frozen=True)
class Picture:
    """A line drawing with its caption, fitted to its place on the page."""

    name: str
    strokes: tuple[Stroke, ...]
    caption: str = ""
    letterings: tuple[Lettering, ...] = ()
    room_mm: tuple[float, float] | None = None  # what it is fitted into, where not the usual

    def bounds(self) -> tuple[float, float, float, float]:
        """Return (least x, least y, greatest x, greatest y) of strokes and letterings' centres."""
        points = [p for stroke in self.strokes for p in stroke.points] + [one.at for one in self.letterings]
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        return min(xs), min(ys), max(xs), max(ys)


@dataclass(frozen=True)
class Pictures:
    """Pictures side by side; a single one stands beside the blocks that it belongs to, several above them."""

    pictures: tuple[Picture, ...]
    beside: tuple[Words | Points, ...] = ()


@dataclass(frozen=True)
class Rendering:
    """A PNG across the whole page, and how high it is for its width."""

    png: bytes
    high: float
    caption: str = ""


Block = Words | Points | Caution | Notice | Table | Pictures | Rendering


@dataclass(frozen=True)
class Section:
    """A heading and its blocks; `level` 1 for a chapter, 2 for a step within one."""

    title: str
    blocks: tuple[Block, ...]
    level: Literal[1, 2] = 1


@dataclass(frozen=True)
class Document:
    """A whole sheet. `kind` ("build sheet") and `name` (the plane's) stand in the foot of each page."""

    kind: str
    name: str
    title: str
    lead: tuple[Block, ...]
    sections: tuple[Section, ...]
    size: Literal["A4", "letter"] = "A4"
