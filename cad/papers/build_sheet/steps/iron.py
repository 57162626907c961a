"""The iron in its throat; how it is made is on a sheet of its own."""

from __future__ import annotations

from collections.abc import Iterator

from cad.checks.movement import BINDS_MM
from cad.geometry.movement import Movement
from cad.geometry.stages import Stage
from cad.papers.build_sheet.step import Bench, Step
from cad.papers.cautions import SHARP
from cad.papers.sheet.amounts import degrees, percent

ORDER = 70


def steps(bench: Bench) -> Iterator[Step]:
    """Yield the one step of fitting the iron."""
    plan = bench.plan
    shrinks = Movement(plan).binding
    low = plan.spec.wood.moisture_range[0]
    narrower = (
        f"The throat shrinks by {bench.amounts.fine(shrinks)} as the wood dries to {percent(low)}: make the "
        + (
            "iron that much narrower, or it will bind."
            if shrinks > BINDS_MM
            else "iron no wider than it is now."
        )
    )
    yield Step(
        "Make and fit the iron",
        Stage.TRIMMED,
        (
            "Make it by its own sheet, papers/iron_sheet.pdf: profile, bevel, hardening, grinding, honing.",
            "Slide it down the bed. It must drop to the mouth by its own weight and not rattle sideways.",
            narrower,
            "Wedge it lightly and sight along the sole: the edge shows as one even line, all along the "
            "profile. Where it stands proud, hone; where it is shy, regrind the profile.",
        ),
        (
            (
                "Iron, length × width × thickness",
                bench.amounts.size(plan.iron.length, plan.iron.width, plan.iron.thickness),
            ),
            (
                "Bevel; clearance where the sole is level",
                f"{degrees(plan.iron.bevel_deg)}; {degrees(plan.iron.clearance_deg)}",
            ),
            ("Depth of the edge's profile, along the iron", bench.length(plan.iron.profile_depth())),
            ("Stands out beyond the wedge's head", bench.length(plan.iron.length - plan.wedge.strike_u)),
        ),
        (
            ("Side play in the throat", "feeler gauge", f"0 to {bench.length(0.1)}"),
            ("Edge against the sole", "eye along the sole, then a shaving", "an even line"),
        ),
        cautions=SHARP,
        fixtures=("iron_card",),
        work="iron",
    )
