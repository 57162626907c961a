"""The rabbet for the cheek plate, cut into a solid blank."""

from __future__ import annotations

from collections.abc import Iterator

from cad.formulas.tolerance import SOURCE, general_mm
from cad.geometry.sled import REACH_SHARE
from cad.geometry.stages import Stage
from cad.papers.build_sheet.step import PRACTICE, Bench, Step
from cad.papers.cautions import TABLE_SAW

ORDER = 20


def steps(bench: Bench) -> Iterator[Step]:
    """Yield the cutting of the rabbet; a laminated blank has it from its gluing."""
    plan = bench.plan
    if plan.stages.laminated:
        return
    section, saw = plan.section, plan.spec.shop.table_saw
    within = section.shoulder <= REACH_SHARE * saw.blade_diameter
    second = (
        "Second cut: blank on its sole edge, blind face along a tall fence, blade "
        f"{bench.length(section.shoulder)} high, fence {bench.length(section.blind_face)} from the near side "
        "of the blade. The waste falls on the free side, never between blade and fence."
        if within
        else f"Second cut: {bench.length(section.shoulder)} is more than a blade of "
        f"{bench.length(saw.blade_diameter)} should stand out. Take the waste off with a band saw and a "
        f"fence {bench.length(section.blind_face)} from the near side of the blade, or with a rebate plane."
    )
    yield Step(
        "Cut the rabbet",
        Stage.BLANK,
        (
            "Knife the shoulder along the plate's side and across both ends.",
            "First cut, the shoulder: blank on its plate's side, top along the fence, blade "
            f"{bench.length(section.plate)} high, fence {bench.length(section.height - section.shoulder)} "
            "from the near side of the blade.",
            f"{second} Set both cuts 0.3 mm shy and try them on scrap.",
            "By hand: rebate plane against a batten, then a router plane from the rail.",
            "Plane the rabbet face dead flat to the lines. It is the glue face, and the face from which the "
            "throat's depth is measured.",
        ),
        (
            ("Depth of the rabbet = thickness of the plate", bench.length(section.plate)),
            ("Shoulder above the sole", bench.length(section.shoulder)),
            ("Shoulder below the top (height of the rail)", bench.length(section.height - section.shoulder)),
            ("Rabbet face to blind face", bench.length(section.blind_face)),
        ),
        (
            ("Depth of the rabbet", "depth gauge off the rail", f"{bench.amounts.within(0.1)}; {PRACTICE}"),
            (
                "Shoulder",
                "rule from the top",
                f"{bench.amounts.within(general_mm(section.shoulder))}; {SOURCE}",
            ),
            ("Rabbet face flat", "straight edge, lengthways and diagonally", bench.length(0.05)),
            ("Rabbet face square to the shoulder", "small try square", "no light"),
        ),
        cautions=TABLE_SAW,
    )
