"""The stages of the making, in order. A fixture names the stage it is used at."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from cad.geometry.section import Section
from cad.outline import Path


class Stage(StrEnum):
    """What the wood looks like between two operations."""

    BLANK = "blank"
    RABBETED = "rabbeted"
    SOLE_SHAPED = "sole shaped"
    THROAT_SAWN = "throat sawn"
    PLATE_GLUED = "plate glued"
    TRIMMED = "trimmed"

    @property
    def has_throat(self) -> bool:
        return self in (Stage.THROAT_SAWN, Stage.PLATE_GLUED, Stage.TRIMMED)

    @property
    def has_plate(self) -> bool:
        return self in (Stage.PLATE_GLUED, Stage.TRIMMED)


@dataclass(frozen=True)
class Stages:
    """Section and length of the body at each stage."""

    section: Section
    length: float
    spare: float
    laminated: bool

    def outline(self, stage: Stage) -> Path:
        """Return the body's y–z outline. A laminated body has its rabbet from the start."""
        if stage is Stage.BLANK and not self.laminated:
            return self.section.blank()
        if stage in (Stage.BLANK, Stage.RABBETED):
            return self.section.rabbeted()
        return self.section.shaped()

    def span(self, stage: Stage) -> tuple[float, float]:
        """Return x of the toe end and of the heel end: oversize until the whole is trimmed."""
        over = 0.0 if stage is Stage.TRIMMED else self.spare
        return (-over, self.length + over)
