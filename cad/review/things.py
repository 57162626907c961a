"""A solid as it is shown, and the wood and parts that fixtures are laid on, each built once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from cadquery import Location, Solid
from numpy.typing import NDArray

from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.kernel.mesh import Mesh
from cad.kernel.placing import matrix_of
from cad.kernel.shapes import Triple
from cad.parts import Part, build_part
from cad.parts.body import work_at_stage
from cad.parts.cheek_plate import plate_at_stage
from cad.pictures.scene import PLATE, WOOD, Tone
from fixtures.bench.model import Work

APART_MM = 45.0
STILL: Triple = (0.0, 0.0, 0.0)

MeshOf = Callable[[Solid], Mesh]
Number = Callable[[Solid], int]


@dataclass(frozen=True)
class Thing:
    """A solid with its name and tone; `apart` is how far it is drawn out, `move` where it stands if moved."""

    name: str
    solid: Solid
    tone: Tone
    apart: Triple = STILL
    move: Location | None = None
    hidden: bool = False

    def box(self, mesh_of: MeshOf) -> NDArray[np.float64]:
        """Return the lowest and highest corner where it stands, (2, 3), in mm."""
        mesh = mesh_of(self.solid)
        points = mesh.points if self.move is None else mesh.moved(matrix_of(self.move)).points
        return np.array([points.min(axis=0), points.max(axis=0)])

    def item(self, number: Number) -> dict[str, Any]:
        """Return it ready for JSON, its mesh by number."""
        words = self.name.replace("_", " ")
        found: dict[str, Any] = {
            "name": self.name,
            "label": words[:1].upper() + words[1:],
            "mesh": number(self.solid),
            "tone": "#" + "".join(f"{round(255 * c):02x}" for c in self.tone),
            "apart": [round(c, 3) + 0.0 for c in self.apart],
        }
        if self.move is not None:
            found["move"] = [round(float(c), 9) + 0.0 for c in matrix_of(self.move).reshape(-1)]
        if self.hidden:
            found["hidden"] = True
        return found


class Woods:
    """The wood at each stage and the parts, in the spec's hand; each solid is built once."""

    def __init__(self, plan: Plan, parts: Sequence[Part]) -> None:
        self._plan = plan
        self._parts = {part.name: part for part in parts}
        self._bodies: dict[Stage, Solid] = {}
        self._plates: dict[Stage, Solid] = {}
        for name, kept in (("body", self._bodies), ("cheek_plate", self._plates)):
            if name in self._parts:
                kept[Stage.TRIMMED] = self._parts[name].solid

    @property
    def plate_way(self) -> Triple:
        """The way the cheek plate comes off: out of its rabbet."""
        return (0.0, APART_MM if self._plan.is_left else -APART_MM, 0.0)

    def at(self, work: Work, stage: Stage) -> list[Thing]:
        """Return what is worked on; a glued body as its two pieces, so that the joint shows."""
        if work in ("iron", "wedge"):
            part = self._parts.get(work) or build_part(work, self._plan)
            return [Thing(work, part.solid, part.colour)]
        things = []
        if work == "body":
            if stage not in self._bodies:
                self._bodies[stage] = work_at_stage(self._plan, stage)
            things.append(Thing("body", self._bodies[stage], WOOD))
        if work == "cheek_plate" or stage.has_plate:
            if stage not in self._plates:
                self._plates[stage] = plate_at_stage(self._plan, stage)
            things.append(Thing("cheek_plate", self._plates[stage], PLATE, self.plate_way))
        return things
