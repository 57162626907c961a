"""A solid with words cut into it that remembers what it was before, and where the words are.

Its letters make up nearly all of its faces, and all that the kernel would find out about them one by one is
known beforehand: their walls and floors are flat, their outlines polygons.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from cadquery import Solid

if TYPE_CHECKING:
    from cad.kernel.layout import Page


@dataclass(frozen=True, eq=False)
class Lettering:
    """What was cut into a solid: the words on each page, straight down, all `depth_mm` deep."""

    before: Solid
    pages: tuple[Page, ...]
    depth_mm: float

    @property
    def volume_mm3(self) -> float:
        """Return the volume that the letters take: their area by the shoelace formula, times their depth."""
        return self.depth_mm * sum(float(words.patches.area) for page in self.pages for words in page.words)


class LetteredSolid(Solid):
    """A solid with letters in it. A moved or mirrored copy is like any other solid: its letters are faces."""

    def __init__(self, wrapped: Any, lettering: Lettering | None = None) -> None:
        super().__init__(wrapped)
        self.lettering = lettering


def lettering_of(solid: Solid) -> Lettering | None:
    """Return how a solid was lettered, None when it was not, or when it was moved since."""
    return solid.lettering if isinstance(solid, LetteredSolid) else None


def unlettered(solid: Solid) -> Solid:
    """Return the solid before it was lettered: its faces are all the same but for the words."""
    lettering = lettering_of(solid)
    return lettering.before if lettering else solid
