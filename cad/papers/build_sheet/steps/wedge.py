"""The wedge: tapered, fitted by shavings, and only then headed."""

from __future__ import annotations

from collections.abc import Iterator

from cad.geometry.stages import Stage
from cad.geometry.stock import WEDGE_LONG_MM
from cad.papers.build_sheet.step import Bench, Step
from cad.papers.cautions import WEDGE
from cad.papers.sheet.amounts import degrees
from cad.papers.sheet.document import Table
from cad.units import plain

ORDER = 60
SHAVINGS_MM = (0.02, 0.05, 0.1, 0.2, 0.5)


def steps(bench: Bench) -> Iterator[Step]:
    """Yield the one step of the wedge."""
    wedge = bench.plan.wedge
    sinks = Table(
        ("Taken off one face", *(bench.amounts.fine(off) for off in SHAVINGS_MM)),
        (("The wedge sinks", *(bench.amounts.fine(off * wedge.sink_per_mm) for off in SHAVINGS_MM)),),
        (1.5, *[1.0] * len(SHAVINGS_MM)),
        f"An even shaving over the whole face; {plain(wedge.sink_per_mm)} times what is taken off, 1 / sin "
        "of the wedge's angle",
    )
    yield Step(
        "Make and fit the wedge",
        Stage.TRIMMED,
        (
            "Square a blank with the grain running along its iron face from end to end, growth rings as in "
            "the body, so that it moves with the throat.",
            f"Plane it to width, taper it, and leave it {bench.length(WEDGE_LONG_MM)} longer than "
            "finished: it sinks as it is fitted.",
            "Chalk both faces, push the wedge in over the iron by hand, look where it marks, take a shaving "
            "there. It fits when it marks along both faces and its whole length.",
            "When it seats, cut the tip to height and shape its nose; only then mark and shape the head, "
            "clear of the body.",
        ),
        (
            ("Wedge's angle", degrees(wedge.angle_deg, 2)),
            (
                "Width",
                f"{bench.length(wedge.width)} ({bench.length(wedge.side_clearance)} less than the throat)",
            ),
            ("Tip above the sole, driven home", bench.length(wedge.tip_height)),
            ("Thickness at the tip", bench.length(wedge.tip_thickness)),
            ("Thickness where the iron leaves the body", bench.length(wedge.thickness(wedge.body_top_u))),
            ("Length, tip to strike face, along the iron", bench.length(wedge.strike_u - wedge.tip_u)),
            ("Head above the body, along the iron", bench.length(wedge.head_height)),
        ),
        (
            ("Bears on both faces", "chalk or candle soot", "marks over the whole length"),
            ("Side clearance", "feeler gauge", f"{bench.length(wedge.side_clearance)}, half to double"),
            (
                "Holds at a light tap",
                "plane a board",
                "iron does not move; a tap on the heel frees it",
            ),
        ),
        (sinks,),
        cautions=WEDGE,
        fixtures=("wedge_guide",),
        work="wedge",
    )
