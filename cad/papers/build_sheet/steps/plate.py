"""The cheek plate: made, with its escapement, and glued on; then the ends are trimmed."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from cad.formulas.tolerance import SOURCE, general_mm
from cad.geometry.caul import BETWEEN_CLAMPS_MM
from cad.geometry.stages import Stage
from cad.outline import Arc, Segment
from cad.papers.build_sheet.step import Bench, Step
from cad.papers.cautions import CHISEL, GLUE
from cad.papers.sheet.amounts import degrees, percent

ORDER = 50
OFF_GLUE_MM = 3.0  # beside the throat; common practice, no source


def steps(bench: Bench) -> Iterator[Step]:
    """Yield making and gluing of the plate, and trimming of the ends."""
    yield _make(bench)
    yield _glue(bench)
    yield _trim(bench)


def _make(bench: Bench) -> Step:
    plan, section, spare = bench.plan, bench.plan.section, bench.plan.stages.spare
    escapement, edge = plan.escapement, plan.sole.plate_edge
    _, heel_edge, _, toe_edge = escapement.side_view()
    toe_x, heel_x = _at(toe_edge, edge), _at(heel_edge, edge)
    eye = next(segment for segment in escapement.side_view() if isinstance(segment, Arc))
    return Step(
        "Make the cheek plate and its escapement",
        Stage.THROAT_SAWN,
        (
            "Saw the plate from the same board as the body, growth rings the same way. Plane it a shaving "
            "over thickness and joint its upper edge to the shoulder.",
            f"Plane the lower edge to {degrees(plan.sole.relief_deg)} from plumb: level with the sole's edge "
            "at the glue face, higher outside.",
            "Hold it in place and mark the throat on its glue face through the mouth and from the top.",
            "Bore the eye first, then saw the two straight edges down from it; file and pare to the lines, "
            "and ease the edge that meets the shaving. Everything the shaving touches is smooth.",
        ),
        (
            (
                "Plate, length × height × thickness",
                bench.amounts.size(plan.stages.length + 2 * spare, section.shoulder - edge, section.plate),
            ),
            ("Lower edge outside, above the sole", bench.length(section.plate_relief_top)),
            (
                "Escapement at the lower edge, from the toe end with spare",
                f"{bench.length(spare + toe_x)} to {bench.length(spare + heel_x)}",
            ),
            (
                "Its toe edge, its heel edge, from the sole",
                f"{degrees(escapement.toe_edge_deg)}, {degrees(plan.throat.bed_deg)}",
            ),
            (
                "Eye: diameter; centre from the toe end, above the sole",
                f"{bench.length(2 * eye.radius)}; {bench.length(spare + eye.centre[0])}, "
                f"{bench.length(eye.centre[1])}",
            ),
        ),
        (
            ("Thickness", "caliper", f"{bench.length(section.plate)}, up to {bench.length(0.2)} more"),
            ("Upper edge on the shoulder", "against the light", "no light"),
            ("Glue face flat", "straight edge", bench.length(0.05)),
        ),
        cautions=CHISEL,
        work="cheek_plate",
    )


def _at(line: Segment, z: float) -> float:
    """Return x of a leaning line at a height."""
    (x0, z0), (x1, z1) = line.start, line.end
    return x0 + (x1 - x0) * (z - z0) / (z1 - z0)


def _glue(bench: Bench) -> Step:
    plan = bench.plan
    length = plan.stages.length + 2 * plan.stages.spare
    caul = bench.fixtures.get("glue_caul")
    clamps = (
        sum(clamp.face.owner == "glue_caul" for clamp in caul.set_ups[0].clamps)
        if caul
        else ceil(length / BETWEEN_CLAMPS_MM)
    )
    return Step(
        "Glue the plate on",
        Stage.PLATE_GLUED,
        (
            "Try the iron through the throat and the plate dry in its rabbet, clamps and all, before any "
            "glue is opened.",
            f"Spread glue thinly on rabbet face and shoulder, and keep it {bench.length(OFF_GLUE_MM)} from "
            "the throat: what squeezes in there is hard to reach. Wax a strip of wood and stand it in the "
            "throat.",
            f"Set {clamps} clamps along caul and counter-caul; tighten in turn, the middle first, until a "
            "fine bead shows all along, and no further.",
            "Wipe the throat out at once. Leave the clamps on as long as the glue's label says, and the "
            "joint overnight before planing it: wood still swollen with the glue's water sinks later.",
            "Plane the plate's outer face flush with the rail.",
        ),
        (
            ("Clamps", f"{clamps}"),
            ("Moisture of the wood when glued", percent(plan.spec.wood.moisture_now)),
        ),
        (
            ("Glue line and shoulder", "feeler gauge", f"{bench.length(0.05)} does not enter"),
            ("Plate against the sole's edge", "finger nail across the joint", "no step"),
        ),
        cautions=() if caul else GLUE,
        fixtures=("glue_caul",),
    )


def _trim(bench: Bench) -> Step:
    plan, length = bench.plan, bench.plan.stages.length
    return Step(
        "Trim the ends",
        Stage.PLATE_GLUED,
        (
            "Measure both ends from the throat, not from the old ends. Knife them round, saw in the waste, "
            "and plane to the line from the edges inwards, with a scrap clamped behind against splitting.",
            "Ease the end arrises but leave those of the sole sharp.",
        ),
        (
            ("Length", bench.length(length)),
            ("Toe end to the front of the mouth", bench.length(plan.throat.mouth_at)),
            (
                "Bed at the sole to the heel end",
                bench.length(length - plan.throat.mouth_at - plan.throat.mouth),
            ),
        ),
        (
            ("Length", "rule", f"{bench.amounts.within(general_mm(length))}; {SOURCE}"),
            ("Ends square", "try square from sole's edge and face", bench.length(0.2)),
        ),
        fixtures=("trim_guide",),
    )
