"""Fitting and tuning: the mouth after truing, and how far the iron must come out round the arc."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, radians, sin

from cad.formulas.board import JOINTING_MM
from cad.formulas.cutting import clearance_deg, shaving_mm, shaving_share
from cad.formulas.throat import gap_after_truing_mm
from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.papers.build_sheet.step import Bench, Step
from cad.papers.cautions import SHARP, WEDGE
from cad.papers.sheet.amounts import degrees
from cad.papers.sheet.document import Table
from cad.units import plain

ORDER = 90
TRUED_MM = (0.0, 0.1, 0.2, 0.5, JOINTING_MM)
SHAVING_MM = 0.1  # at the middle of the sole
MANY_DEG = 45.0


def steps(bench: Bench) -> Iterator[Step]:
    """Yield the one step of tuning."""
    _plan, throat = bench.plan, bench.plan.throat
    gaps = [gap_after_truing_mm(throat.gap, off, throat.bed_deg, throat.front_deg) for off in TRUED_MM]
    mouth = Table(
        ("Trued off the sole", *(bench.amounts.fine(off) for off in TRUED_MM)),
        (("Gap before the edge", *(bench.amounts.fine(gap) for gap in gaps)),),
        (1.6, *[1.0] * len(TRUED_MM)),
        f"The mouth gap opens by {plain(throat.spread, 3)} of what is trued off",
    )
    yield Step(
        "Fit and tune",
        Stage.TRIMMED,
        (
            "With the iron wedged and drawn back, true the sole once more with the finest block: wedging "
            "bends a plane. Take off as little as will do.",
            "Set the iron: sole on a flat board, edge down on the wood, wedge tapped home. A tap on the "
            "iron's end brings it out; a tap on the heel draws it back and loosens the wedge: tap that home "
            "again.",
            "Take a shaving along the edge of a soft board. It should come out through the escapement, as "
            "wide as the profile lets it.",
            "Chatter: bed not flat, or wedge bearing high only. Choking: gap too small, or escapement rough. "
            "Tracks beside the cut: a corner of the iron stands proud.",
        ),
        (
            ("Mouth gap before the edge", bench.amounts.fine(throat.gap)),
            (
                f"Advance of the iron for a shaving of {bench.length(SHAVING_MM)} at the middle",
                bench.length(SHAVING_MM / sin(radians(throat.bed_deg))),
            ),
        ),
        (
            ("Sole, iron wedged", "straight edge and sole gauge", bench.length(0.05)),
            ("Mouth gap", "feeler or caliper", bench.amounts.within(0.2)),
        ),
        (mouth, advance_table(bench)),
        cautions=(*WEDGE, *SHARP),
    )


def advance_table(bench: Bench) -> Table:
    """Return clearance, shaving and advance at stations round the sole, from its middle to an edge."""
    plan, throat = bench.plan, bench.plan.throat
    advance = SHAVING_MM / sin(radians(throat.bed_deg))
    rows = []
    for off, turned in stations(plan):
        share = shaving_share(turned)
        needed = bench.amounts.fine(advance / share) if share > 0.01 else "scrapes"
        rows.append(
            (
                degrees(turned),
                bench.length(off),
                degrees(clearance_deg(throat.bed_deg, plan.iron.bevel_deg, turned)),
                bench.amounts.fine(shaving_mm(advance, throat.bed_deg, turned)),
                f"{plain(100 * share, 0)} %",
                needed,
            )
        )
    head = (
        "Sole turned",
        "Off the middle",
        "Clearance",
        f"Shaving at {bench.amounts.fine(advance)} advance",
        "Of the middle's",
        f"Advance for {bench.length(SHAVING_MM)} there",
    )
    return Table(
        head, tuple(rows), (1, 1.2, 1, 1.4, 1, 1.4), "Advance of the iron and shaving round the sole"
    )


def stations(plan: Plan) -> list[tuple[float, float]]:
    """Return (distance from the middle of the sole, turn in degrees) from the middle to the blind edge."""
    sole = plan.sole
    middle = sole.width / 2
    if sole.radius is None or sole.spring_deg:
        offs = [middle * i / 6 for i in range(7)]
        return [(off, sole.turned_deg(middle + off)) for off in offs]
    half = sole.turned_deg(sole.width)
    step = 10.0 if half <= MANY_DEG else 15.0
    turns = [step * i for i in range(ceil(half / step - 1e-9))] + [half]
    return [(sole.radius * sin(radians(turn)), turn) for turn in turns]
