"""The sole: scribed on the ends, roughed out, and trued with the blocks."""

from __future__ import annotations

from collections.abc import Iterator

from cad.formulas.grit import grain_mm
from cad.geometry.sole import Sole
from cad.geometry.stages import Stage
from cad.geometry.steepness import walls
from cad.outline import Arc
from cad.papers.build_sheet.step import Bench, Step
from cad.papers.cautions import CHISEL, DUST
from cad.papers.sheet.amounts import degrees
from cad.papers.sheet.document import Table
from cad.units import plain

ORDER = 30
STATIONS = 8


def steps(bench: Bench) -> Iterator[Step]:
    """Yield scribing, shaping and truing of the sole."""
    yield _scribe(bench)
    yield _shape(bench)
    yield _true(bench)


def _outline_numbers(bench: Bench) -> tuple[tuple[str, str], ...]:
    section, sole = bench.plan.section, bench.plan.sole
    radius = () if sole.radius is None else (("Radius of the sole", bench.length(sole.radius)),)
    return (
        *radius,
        ("Width of the sole, from the rabbet face", bench.length(sole.width)),
        ("Depth of the profile", bench.length(sole.highest)),
        ("Relief of the blind side, from plumb", degrees(sole.relief_deg)),
        ("Relief meets the blind face, above the sole", bench.length(section.blind_relief_top)),
    )


def _scribe(bench: Bench) -> Step:
    first, *others = bench.plan.sole.path
    centre = (
        (
            f"Centre of the arc above the lowest of the sole: {bench.length(first.centre[1])}, "
            f"{bench.length(first.centre[0])} from the rabbet face.",
        )
        if isinstance(first, Arc) and not others and first.centre[1] > 0
        else ()
    )
    return Step(
        "Scribe the profile on both ends",
        Stage.RABBETED,
        (
            "Slip a cap on either end, tight against end grain, rabbet face and top; tape it, and knife "
            "round its lower edge."
            if bench.has("end_templates")
            else "Draw the profile on both ends from its numbers, arcs with dividers, and the line of the "
            "relief with a bevel.",
            *centre,
            "Lay a straight edge from one scribed edge to the other, along both sides, and knife them: these "
            "two lines along the blank are the edges of the sole.",
        ),
        _outline_numbers(bench),
        (("The two ends alike", "straight edge from end to end, winding sticks", bench.length(0.1)),),
        fixtures=("end_templates",),
    )


def _shape(bench: Bench) -> Step:
    plan = bench.plan
    ys = [plan.sole.width * i / STATIONS for i in range(STATIONS + 1)]
    heights = Table(
        ("Station", *(str(i) for i in range(len(ys)))),
        (
            *bench.amounts.rows("From the rabbet face", ys),
            *bench.amounts.rows("Height of the sole", [plan.sole.height(y) for y in ys]),
        ),
        (2.8, *[1.0] * len(ys)),
        "The sole's curve, to check the scribed line and the shaped sole by",
    )
    return Step(
        "Cut the relief and shape the sole",
        Stage.RABBETED,
        (
            f"Relief first: saw or plane the blind side at {degrees(plan.sole.relief_deg)} from plumb, from "
            "the line on the blind face to the edge of the sole, and stop when the line is split.",
            *_rough(plan.sole),
            "Try the gauge often, square across, at both ends and the middle.",
        ),
        tables=(heights,),
        tests=(
            ("Relief", "bevel gauge against the light", "± 1°"),
            ("Edge lines straight", "straight edge", bench.length(0.1)),
            ("Profile", "sole gauge", "no light over the middle half; proud elsewhere")
            if plan.sole.radius is not None
            else ("Profile", "sole gauge", "proud all over, by no more than half a millimetre"),
        ),
        cautions=CHISEL,
        fixtures=("sole_gauge",),
    )


def _rough(sole: Sole) -> tuple[str, ...]:
    """Return how the profile is roughed out, by the kinds of member it has."""
    convex = (
        "Plane flats that touch the arc, first at its middle and edges, then between them, always the "
        "whole length, until the corners between flats are too low to see. Stay off the two edge lines."
    )
    hollow = (
        "Hog out the hollow with a gouge or a round plane, working from both ends to the middle and staying "
        "half a millimetre inside the line. Leave the two edges until last."
    )
    kinds = {segment.ccw if isinstance(segment, Arc) else None for segment in sole.path}
    if sole.radius is not None:
        return (convex if True in kinds else hollow,)
    found = [
        "Carry every corner of the profile along the blank with a cutting gauge run on the rabbet face: "
        "these lines part the members from one another."
    ]
    if walls(sole):
        found.append(
            "Steps first: rebate them to their lines, the wall with a shoulder plane or a fine saw run along "
            "a batten, plumb and not a hair past it."
        )
    if None in kinds:
        found.append("Plane the flats next, down to their level; they are what the curves are judged from.")
    if True in kinds:
        found.append(
            f"Where the sole is round ({_named(sole, ccw=True)}): plane flats that touch the curve, then "
            "flats between these."
        )
    if False in kinds:
        found.append(
            f"Where the sole is hollow ({_named(sole, ccw=False)}): take it out with a gouge or a small "
            "round plane, from both ends to the middle, half a millimetre inside the line."
        )
    return tuple(found)


def _named(sole: Sole, ccw: bool) -> str:
    """Return the arcs that bend one way by their names, which are those of the work beneath."""
    members = zip(sole.names, sole.path, strict=True)
    names = [name for name, segment in members if isinstance(segment, Arc) and segment.ccw == ccw]
    return f"over the {' and the '.join(names)} of the work"


def _true(bench: Bench) -> Step:
    plan, abrasive = bench.plan, bench.plan.spec.shop.abrasive
    first = plan.sole.path.segments[0]
    way = 1 if isinstance(first, Arc) and first.ccw else -1  # the block of a convex arc has the larger radius
    rows = []
    for grit in sorted(abrasive.grits, key=grain_mm, reverse=True):
        stack = abrasive.pad + abrasive.backing + grain_mm(grit)
        radius = () if plan.sole.radius is None else (bench.amounts.fine(plan.sole.radius + way * stack),)
        rows.append((grit, f"{plain(grain_mm(grit), 3)} mm", f"{plain(stack, 3)} mm", *radius))
    head = ("Grit", "Median grain", "Stack: pad, backing, grain", "Radius of its block")
    grits = Table(
        head[: len(rows[0])],
        tuple(rows),
        caption="One block for each grit (grain: FEPA 43 / ISO 6344)",
    )
    tolerance = plan.spec.sole.tolerance
    within = bench.amounts.within(tolerance)
    is_gauged = plan.sole.is_upright_arc  # see fixtures.sole_gauge
    return Step(
        "True the sole",
        Stage.SOLE_SHAPED,
        (
            "Scribble over the sole in pencil. Rub each block along the whole blank until the scribble is "
            "gone all across, then change to the next grit; each must take out the scratches of the one "
            "before.",
            "Let the block run over the ends by no more than a third of its length: the spare takes up what "
            "is rounded there.",
            "Stop at a crisp line on both edges. The throat is sawn only after this.",
        ),
        tables=(grits,),
        tests=(
            ("Radius", "go and no-go gauges", within)
            if is_gauged
            else (
                "Profile",
                "sole gauge and a feeler",
                f"less light than {bench.length(tolerance)}",
            ),
            ("No light under the gauge", "sole gauge, every hand's breadth", bench.length(0.05)),
            ("Sole straight", "straight edge along crowns and edges", bench.length(0.1)),
        ),
        cautions=() if bench.has("sanding_blocks") else DUST,
        fixtures=("sanding_blocks",),
    )
