"""Fitting and tuning: the mouth after truing, and how far the iron must come out along the sole."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, radians, sin

from cad.formulas.board import JOINTING_MM
from cad.formulas.cutting import clearance_deg, shaving_mm, shaving_share
from cad.formulas.throat import gap_after_truing_mm
from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.geometry.steepness import turned_deg
from cad.outline import Arc
from cad.papers.build_sheet.step import Bench, Step
from cad.papers.cautions import SHARP, WEDGE
from cad.papers.sheet.amounts import degrees
from cad.papers.sheet.document import Table
from cad.units import plain

ORDER = 90
TRUED_MM = (0.0, 0.1, 0.2, 0.5, JOINTING_MM)
SHAVING_MM = 0.1  # where the sole is level
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
                f"Advance of the iron for a shaving of {bench.length(SHAVING_MM)} where the sole is level",
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
    """Return clearance, shaving and advance at stations of the sole: round an arc, or member by member."""
    plan, amounts = bench.plan, bench.amounts
    advance = SHAVING_MM / sin(radians(plan.throat.bed_deg))
    is_arc = plan.sole.is_upright_arc  # the same to either side
    rows = [
        (*where, *_figures(bench, turned)) for where, turned in (_round(bench) if is_arc else _members(bench))
    ]
    first = ("Sole turned", "Off the middle") if is_arc else ("Member", "From the rabbet face", "Sole turned")
    level = "Of the middle's" if is_arc else "Of a level part's"
    head = (
        *first,
        "Clearance",
        f"Shaving at {amounts.fine(advance)} advance",
        level,
        f"Advance for {bench.length(SHAVING_MM)} there",
    )
    shares = (1.0, 1.2) if is_arc else (1.4, 1.2, 0.9)
    return Table(
        head, tuple(rows), (*shares, 1, 1.4, 1, 1.4), "Advance of the iron and shaving along the sole"
    )


def _figures(bench: Bench, turned: float) -> tuple[str, ...]:
    """Return clearance, shaving, its share and the advance needed where the sole has turned from level."""
    plan, bed = bench.plan, bench.plan.throat.bed_deg
    share = shaving_share(turned)
    needed = bench.amounts.fine(SHAVING_MM / sin(radians(bed)) / share) if share > 0.01 else "scrapes"
    return (
        degrees(clearance_deg(bed, plan.iron.bevel_deg, turned)),
        bench.amounts.fine(shaving_mm(SHAVING_MM / sin(radians(bed)), bed, turned)),
        f"{plain(100 * share, 0)} %",
        needed,
    )


def _round(bench: Bench) -> Iterator[tuple[tuple[str, ...], float]]:
    for off, turned in stations(bench.plan):
        yield (degrees(turned), bench.length(off)), turned


def _members(bench: Bench) -> Iterator[tuple[tuple[str, ...], float]]:
    """Yield member, place and turn: of an arc its ends and middle, of a flat its middle."""
    sole = bench.plan.sole
    for name, segment in zip(sole.names, sole.path, strict=True):
        for share in (0.0, 0.5, 1.0) if isinstance(segment, Arc) else (0.5,):
            turned = turned_deg(segment, share)
            yield (name, bench.length(segment.point(share)[0]), degrees(turned)), turned


def stations(plan: Plan) -> list[tuple[float, float]]:
    """Return (distance from the middle, turn in degrees) of a sole of one upright arc, middle to edge."""
    sole = plan.sole
    assert sole.radius is not None
    half = sole.turned_deg(sole.width)
    step = 10.0 if half <= MANY_DEG else 15.0
    turns = [step * i for i in range(ceil(half / step - 1e-9))] + [half]
    return [(sole.radius * sin(radians(turn)), turn) for turn in turns]
