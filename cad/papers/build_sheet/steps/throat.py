"""The throat: laid out, sawn and pared."""

from __future__ import annotations

from collections.abc import Iterator

from cad.formulas.sawing import guide_height_mm
from cad.geometry.stages import Stage
from cad.papers.build_sheet.step import PRACTICE, Bench, Row, Step
from cad.papers.cautions import CHISEL
from cad.papers.sheet.amounts import degrees
from fixtures.bench.sled_layout import SledLayout

ORDER = 40


def steps(bench: Bench) -> Iterator[Step]:
    """Yield laying out, sawing and paring of the throat."""
    yield _lay_out(bench)
    yield _saw(bench)
    yield _pare(bench)


def _lay_out(bench: Bench) -> Step:
    plan, throat, spare = bench.plan, bench.plan.throat, bench.plan.stages.spare
    edge, top = plan.sole.plate_edge, plan.section.height
    at_edge: tuple[Row, ...] = (
        (
            "At the sole's edge on the rabbet face: front, bed",
            f"{bench.length(spare + throat.front_x(edge))}, {bench.length(spare + throat.bed_x(edge))}",
        ),
    )
    return Step(
        "Lay out the throat",
        Stage.SOLE_SHAPED,
        (
            "All lengths are from the blank's toe end, spare included.",
            "Set the template to the toe end and knife both walls of its window: on rabbet face, shoulder, "
            "rail and top, and under the sole."
            if bench.has("throat_template")
            else "Knife the two lines on the rabbet face with a bevel gauge, carry them square over top and "
            "sole.",
            "Gauge the depth of the throat on top and sole, from the rabbet face. Hatch the waste.",
        ),
        (
            (
                "Mouth at the lowest of the sole: front, bed",
                f"{bench.length(spare + throat.mouth_at)}, "
                f"{bench.length(spare + throat.mouth_at + throat.mouth)}",
            ),
            *(at_edge if edge > 0.005 else ()),
            (
                "On the top: front, bed",
                f"{bench.length(spare + throat.front_x(top))}, {bench.length(spare + throat.bed_x(top))}",
            ),
            ("Bed, from the sole", degrees(throat.bed_deg)),
            ("Front, from the sole", degrees(throat.front_deg)),
            ("Depth from the rabbet face (the sole's width)", bench.length(throat.depth)),
        ),
        (("Lines on top, face and sole meet", "eye", "one knife line"),),
        fixtures=("throat_template",),
    )


def _saw(bench: Bench) -> Step:
    plan, throat, saw = bench.plan, bench.plan.throat, bench.plan.spec.shop.hand_saw
    numbers: list[Row] = [
        (
            "Hand saw: its back over the rabbet face at full depth",
            bench.length(guide_height_mm(saw.depth_under_back, throat.depth)),
        ),
        ("Hand saw: plate, kerf", f"{bench.length(saw.plate)}, {bench.length(saw.kerf)}"),
    ]
    if bench.has("sled"):
        numbers += [
            ("Table saw: blade above the table", bench.length(plan.sled.blade_height)),
            (
                "Made up of base, packing, throat",
                f"{bench.length(plan.spec.shop.router.sheet[2])}, {bench.length(plan.sled.packing)}, "
                f"{bench.length(throat.depth)}",
            ),
            ("Table saw: slot's centre to the blade", bench.length(plan.spec.shop.table_saw.slot_to_blade)),
            ("Stop: front edge of the base past the blade's centre", bench.length(SledLayout(plan).stop)),
        ]
    return Step(
        "Saw the throat",
        Stage.SOLE_SHAPED,
        (
            "Choose one way: by hand, or on the table saw with the sled. Both kerfs lie in the waste."
            if bench.has("sled")
            else "Saw by hand, both kerfs in the waste.",
            "By hand: seat the guide on rabbet face and top, lips on the knife lines, clamp. Saw the bed "
            "against the block marked HEEL and the front against the one marked TOE until the back comes to "
            "rest."
            if bench.has("saw_guide")
            else "By hand: chisel a shallow groove on the waste side of each line to start the saw in, and "
            "watch the lines on all faces.",
            *(
                (
                    "Without the guide, the depth stop on the saw keeps the depth alone; the lines keep the "
                    "angle.",
                )
                if bench.has("depth_stop")
                else ()
            ),
            *(
                (
                    "On the sled: saw unplugged, set blade, stop and dowels; bed first, then front, from one "
                    "clamping of the work. Prove height and angle on scrap of the blank's section.",
                )
                if bench.has("sled")
                else ()
            ),
            "Clear the waste between the kerfs with a chisel, from the top and from the mouth towards the "
            "middle, in slices, down to the gauged depth.",
        ),
        tuple(numbers),
        (
            ("Kerfs inside the lines", "eye, on all faces", "line left whole"),
            (
                "Depth",
                "depth gauge from the rabbet face",
                f"{bench.length(throat.depth)}, up to {bench.length(0.2)} more",
            ),
        ),
        cautions=() if bench.has("saw_guide") else CHISEL,
        fixtures=("saw_guide", "depth_stop", "sled", "cradle"),
    )


def _pare(bench: Bench) -> Step:
    throat = bench.plan.throat
    return Step(
        "Pare bed and front",
        Stage.THROAT_SAWN,
        (
            *(
                ("Hold the body in the cradle by its cheeks, sole down, clamped.",)
                if bench.has("cradle")
                else ()
            ),
            "Pare the bed to the line with a broad chisel laid on it, from both ends to the middle: the iron "
            "must lie on it from mouth to top without rocking. Candle soot or chalk on the iron shows the "
            "high spots.",
            "Pare the front flat to its line; it may be a shaving hollow in its middle, never proud.",
            "Square the blind corner out with a narrow chisel, so that the iron's edge seats.",
        ),
        (
            ("Bed, front", f"{degrees(throat.bed_deg)}, {degrees(throat.front_deg)}"),
            ("Mouth along the sole", bench.length(throat.mouth)),
        ),
        (
            ("Bed angle", "iron card, or bevel gauge", f"± 0.5°; {PRACTICE}"),
            ("Bed flat", "the iron against the light", bench.length(0.05)),
            ("Bed square to the rabbet face", "small try square down the throat", "no light"),
            ("Mouth", "rule along the sole", bench.amounts.within(0.2)),
        ),
        cautions=CHISEL,
    )
