"""The blank: squared, or glued up of two boards."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from cad.formulas.board import JOINTING_MM
from cad.formulas.tolerance import SOURCE, general_mm
from cad.geometry.stages import Stage
from cad.papers.build_sheet.step import Bench, Step, Test
from cad.papers.cautions import GLUE, PLANER, TABLE_SAW

ORDER = 10
BETWEEN_CLAMPS_MM = 75.0  # common practice, no source


def steps(bench: Bench) -> Iterator[Step]:
    """Yield the squaring of the blank and, when it is laminated, its gluing."""
    plan = bench.plan
    section, length = plan.section, plan.stages.length + 2 * plan.stages.spare
    laminated = plan.stages.laminated
    thick = section.blind_face if laminated else section.thickness
    left = "right" if plan.is_left else "left"
    do = (
        "Let the wood lie in the shop until it weighs the same week after week.",
        f"Plane one broad face flat and out of wind. It becomes the plate's side, on the {left} as you stand "
        "behind the heel. Square the top edge to it. Everything is measured from these two: mark them.",
        f"Plane to thickness. Saw to height with {bench.length(JOINTING_MM)} over and joint the lower edge.",
        f"Saw both ends square, {bench.length(plan.stages.spare)} longer at each end than the plane: the "
        "spare takes clamps and guides, and stays until the plate is glued. Write TOE on one end.",
    )
    yield Step(
        "Square the body board and the rail strip" if laminated else "Square the blank",
        Stage.BLANK,
        do,
        (
            ("Blank, length × height × thickness", bench.amounts.size(length, section.height, thick)),
            *(
                (
                    (
                        "Rail strip",
                        bench.amounts.size(length, section.height - section.shoulder, section.plate),
                    ),
                )
                if laminated
                else ()
            ),
            ("Finished plane", bench.amounts.size(plan.stages.length, section.height, section.thickness)),
        ),
        (
            ("Face flat and out of wind", "straight edge, winding sticks", bench.length(0.1)),
            ("Top square to face", "try square against the light", f"{bench.length(0.1)} over the edge"),
            _general(bench, "Height", section.height),
            _general(bench, "Thickness", thick),
        ),
        cautions=(*TABLE_SAW, *PLANER),
    )
    if laminated:
        yield _lamination(bench, length)


def _general(bench: Bench, what: str, length: float) -> Test:
    return (what, "caliper", f"{bench.amounts.within(general_mm(length))}; {SOURCE}")


def _lamination(bench: Bench, length: float) -> Step:
    section = bench.plan.section
    return Step(
        "Glue rail strip to body board",
        Stage.RABBETED,
        (
            "Joint both faces on the same day. Lay them together dry: no light anywhere.",
            "Glue the strip along the upper edge of the board, top flush with top, growth rings of both the "
            "same way. Two brads nipped off short, in the spare, keep it from sliding.",
            f"Clamp with {ceil(length / BETWEEN_CLAMPS_MM)} clamps and a caul on either side, the middle "
            "first.",
            "Scrape the squeeze-out from the inner corner while it is soft: the plate must seat there.",
            "The corner under the strip is the rabbet. Square the shoulder with a rebate plane if need be.",
        ),
        (
            ("Shoulder above the sole", bench.length(section.shoulder)),
            ("Shoulder below the top", bench.length(section.height - section.shoulder)),
            ("Depth of the rabbet", bench.length(section.plate)),
        ),
        (
            ("Glue line", "eye", "closed from end to end"),
            ("Depth of the rabbet", "depth gauge", bench.amounts.within(0.1)),
            ("Shoulder straight", "straight edge", bench.length(0.1)),
        ),
        cautions=GLUE,
    )
