"""The iron: thickness, bevel, clearance under the edge, and how far it stands out."""

from __future__ import annotations

from collections.abc import Iterator

from cad.checks.check import Check, at_least, at_most
from cad.checks.cure import change, less, less_plain, more, more_plain
from cad.geometry import Plan

WHIPPY_MM, THIN_MM = 1.2, 2.0
WEAK_BEVEL_DEG, KEEN_BEVEL_DEG = 20.0, 25.0
RUBS_DEG, CLEARANCE_DEG = 3.0, 8.0
BURIED_MM, PROUD_MM, LONG_MM = 3.0, 15.0, 70.0


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of the iron that do not depend on the shape of the sole."""
    spec, iron = plan.spec, plan.iron
    bed = plan.throat.bed_deg
    yield at_least(
        "iron.clearance",
        iron.clearance_deg,
        "deg",
        fail=RUBS_DEG,
        warn=CLEARANCE_DEG,
        why="bed less bevel is the clearance behind the edge; wood springs back behind a cut, and an edge "
        "without clearance rides on it and will not bite",
        cure=change(less_plain("iron.bevel", bed - CLEARANCE_DEG)),
    )
    yield at_least(
        "iron.bevel",
        iron.bevel_deg,
        "deg",
        warn=WEAK_BEVEL_DEG,
        note=KEEN_BEVEL_DEG,
        why="a slender edge chips and folds in hardwood",
        cure=change(more_plain("iron.bevel", KEEN_BEVEL_DEG), then="25° to 30° is usual"),
    )
    yield at_least(
        "iron.thickness",
        iron.thickness,
        warn=WHIPPY_MM,
        note=THIN_MM,
        why="a thin iron springs off its bed between sole and wedge, and chatters",
        cure=change(more(spec, "iron.thickness", THIN_MM)),
    )
    yield from _ends(plan)


def _ends(plan: Plan) -> Iterator[Check]:
    spec, head = plan.spec, plan.wedge.strike_u
    proud = plan.iron.length - head
    lower = spec.wedge.head_height + proud - PROUD_MM
    yield at_least(
        "iron.proud",
        proud,
        fail=BURIED_MM,
        warn=PROUD_MM,
        why="the iron is set by taps on its end, which must stand out past the wedge's head, along the bed",
        cure=change(
            more(spec, "iron.length", head + PROUD_MM),
            less(spec, "wedge.head_height", lower) if lower >= 5 else "",
        ),
    )
    yield at_most(
        "iron.long",
        proud,
        note=LONG_MM,
        why="a long end beyond the wedge makes the plane top-heavy and the iron's set uncertain",
        cure=change(less(spec, "iron.length", head + LONG_MM)),
    )
