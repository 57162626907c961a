"""The making, stage by stage, in order."""

from __future__ import annotations

from collections.abc import Iterator

from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.parts.body import work_at_stage
from cad.parts.cheek_plate import plate_at_stage
from cad.pictures.scene import OPEN_SIDE, PLATE, WOOD, Picture, Shown, for_hand


def pictures(plan: Plan) -> Iterator[Picture]:
    """Yield one picture for each stage, numbered in the order of the work."""
    for number, stage in enumerate(Stage, start=1):
        shown = [Shown(work_at_stage(plan, stage), WOOD)]
        if stage.has_plate:
            shown.append(Shown(plate_at_stage(plan, stage), PLATE))
        name = f"stage_{number}_{stage.replace(' ', '_')}"
        yield Picture(name, tuple(shown), for_hand(OPEN_SIDE, plan.is_left))
