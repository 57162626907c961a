"""Where on the plane a dimension or a check is to be seen: named points, in mm, in the spec's hand."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cad.geometry import Plan
from cad.geometry.iron import Vector

# The longest beginning of a dimension's key that is found here names its place; so with checks below.
DIMENSIONS = {
    "sole": "sole", "sole.relief": "relief", "sole.edge_height": "sole_edge", "sole.tolerance": "sole",
    "body": "body", "body.length": "toe", "body.height": "top", "body.thickness": "top",
    "body.shoulder": "shoulder", "body.spare": "spare", "cheek": "plate",
    "throat.bed": "bed", "throat.front": "front", "throat.mouth": "mouth", "throat.mouth_at": "mouth",
    "throat.depth": "throat", "throat.gap": "mouth", "throat.iron_along_sole": "mouth",
    "throat.top_opening": "throat_top", "throat.front_at_top": "throat_top",
    "throat.bed_at_top": "throat_top",
    "throat.spread": "throat",
    "iron": "iron", "iron.bevel": "edge", "iron.edge": "edge", "iron.profile_depth": "edge",
    "iron.clearance": "edge", "iron.shaving_at_edge": "edge", "iron.bedded": "bed", "iron.proud": "iron_end",
    "iron.length": "iron_end",
    "wedge": "wedge", "wedge.tip": "wedge_tip", "wedge.head": "wedge_head", "wedge.strike": "wedge_head",
    "wedge.top_thickness": "throat_top", "escapement": "escapement",
    "section": "body", "section.blind": "blind", "section.plate": "plate", "section.rail": "rail",
    "section.blind_relief_top": "relief", "section.plate_relief_top": "plate_relief",
    "stages": "spare", "stages.rabbeted": "rabbet", "stages.trimmed": "toe",
    "stages.mouth_mark": "mouth_mark",
    "sawing": "bed", "sawing.front": "front", "sawing.table_front": "front", "shop.hand_saw": "bed",
    "shop.table_saw": "bed", "sanding": "sole", "shop.abrasive": "sole",
    "stock": "body", "stock.cheek": "plate", "stock.wedge": "wedge", "wood": "body",
}  # fmt: skip
CHECKS = {
    "arris": "sole_edge", "arris.rabbet": "shoulder", "bed": "bed", "blank": "spare", "edge": "edge",
    "escapement": "escapement", "escapement.tip": "wedge_tip", "saw": "bed", "iron": "edge",
    "iron.thickness": "iron", "iron.proud": "iron_end", "iron.long": "iron_end", "mouth": "mouth",
    "wood": "wedge", "relief": "relief", "relief.plate": "plate_relief", "sanding": "sole", "sole": "sole",
    "table_saw": "bed", "walls": "body", "walls.blind": "blind", "walls.plate": "plate", "walls.rail": "rail",
    "walls.toe": "toe", "walls.heel": "heel", "wedge": "wedge", "wedge.tip": "wedge_tip",
    "wedge.head": "wedge_head", "wedge.strike": "wedge_head",
}  # fmt: skip


def place_of_dimension(key: str) -> str:
    """Return the name of a dimension's place, or nothing for what has none, such as a printer's nozzle."""
    return _longest(DIMENSIONS, key)


def place_of_check(name: str) -> str:
    """Return the name of a check's place: what no entry names is about the plane as a whole."""
    return _longest(CHECKS, name) or "body"


def _longest(table: dict[str, str], key: str) -> str:
    fitting = [name for name in table if key == name or key.startswith((f"{name}.", f"{name}_"))]
    return table[max(fitting, key=len)] if fitting else ""


def places(plan: Plan) -> dict[str, dict[str, Any]]:
    """Return each place: its words, its point, the solids to bring out there, the view it is in."""
    side = -1 if plan.is_left else 1
    found: dict[str, dict[str, Any]] = {}
    for name, words, (x, y, z), solids, view in (*_wood(plan), *_throat(plan), *_steel(plan), *_stages(plan)):
        found[name] = {
            "words": words,
            "at": [round(x, 4), round(side * y, 4), round(z, 4)],
            "solids": solids.split(),
            "view": view,
            "below": name in ("sole", "sole_edge", "mouth", "edge"),
        }
    return found


Row = tuple[str, str, Vector, str, str]


def _wood(plan: Plan) -> Iterator[Row]:
    section, sole, length = plan.section, plan.sole, plan.stages.length
    middle, half_way = sole.width / 2, section.height / 2
    heelward = plan.throat.bed_x(section.height) + 0.5 * (length - plan.throat.bed_x(section.height))
    across = (section.blind_face - section.plate) / 2
    yield (
        "body",
        "the body",
        (heelward, -section.plate, (section.height + section.shoulder) / 2),
        "body",
        "plane",
    )
    yield "sole", "the sole", (0.85 * length, middle, sole.height(middle)), "body", "plane"
    edge = (0.15 * length, sole.width, sole.blind_edge)
    yield "sole_edge", "the sole's edge", edge, "body", "plane"
    relief = (
        0.2 * length,
        (sole.width + section.blind_face) / 2,
        (sole.blind_edge + section.blind_relief_top) / 2,
    )
    yield "relief", "the relief of the blind side", relief, "body", "plane"
    plate_relief = (0.2 * length, -section.plate / 2, (sole.plate_edge + section.plate_relief_top) / 2)
    yield "plate_relief", "the relief under the plate", plate_relief, "cheek_plate", "plane"
    yield "top", "the top", (0.85 * length, across, section.height), "body", "plane"
    yield "toe", "the toe end", (0.0, across, half_way), "body", "plane"
    yield "heel", "the heel end", (length, across, half_way), "body", "plane"
    yield "blind", "the blind wall", (heelward, section.blind_face, half_way), "body", "plane"
    rail = (0.1 * length, -section.plate, (section.shoulder + section.height) / 2)
    yield "rail", "the rail above the plate", rail, "body", "plane"
    yield (
        "shoulder",
        "the shoulder of the rabbet",
        (0.1 * length, -section.plate, section.shoulder),
        "body",
        "plane",
    )
    plate = (heelward, -section.plate, (section.plate_relief_top + section.shoulder) / 2)
    yield "plate", "the cheek plate", plate, "cheek_plate", "plane"


def _throat(plan: Plan) -> Iterator[Row]:
    throat, height = plan.throat, plan.section.height
    middle, up = throat.depth / 2, 0.55 * height
    low = plan.sole.height(middle)
    mouth = ((throat.front_x(low) + throat.iron_x(low)) / 2, middle, low)
    yield "mouth", "the mouth", mouth, "body cheek_plate", "plane"
    yield "bed", "the bed of the throat", (throat.bed_x(up), middle, up), "body iron", "plane"
    yield "front", "the front of the throat", (throat.front_x(up), middle, up), "body", "plane"
    centre = ((throat.front_x(up) + throat.bed_x(up)) / 2, throat.depth, up)
    yield "throat", "the throat", centre, "body", "plane"
    top = ((throat.front_x(height) + throat.bed_x(height)) / 2, middle, height)
    yield "throat_top", "the throat's top", top, "body", "plane"
    eye_z = plan.escapement.top * 0.7
    eye = (throat.iron_x(eye_z) - 1.0, -plan.section.plate, eye_z)
    yield "escapement", "the escapement", eye, "cheek_plate", "plane"


def _steel(plan: Plan) -> Iterator[Row]:
    iron, wedge, middle = plan.iron, plan.wedge, plan.throat.depth / 2

    def on(u: float, n: float) -> Vector:
        (x, _, z), up, off = iron.origin, iron.up_bed, iron.off_bed
        return (x + u * up[0] + n * off[0], middle, z + u * up[2] + n * off[2])

    yield "edge", "the iron's edge", on(iron.edge_u(middle), 0), "iron", "plane"
    yield "iron", "the iron", on((wedge.strike_u + iron.length) / 2, 0), "iron", "plane"
    yield "iron_end", "the iron's upper end", on(iron.length, -iron.thickness / 2), "iron", "plane"
    grip = (wedge.tip_u + wedge.body_top_u) / 2
    yield "wedge", "the wedge", on(grip, wedge.thickness(grip)), "wedge", "plane"
    yield "wedge_tip", "the wedge's tip", on(wedge.tip_u, wedge.nose / 2), "wedge", "plane"
    struck = wedge.side_view().segments[1].point(0.5)
    yield "wedge_head", "the head of the wedge", on(*struck), "wedge", "plane"


def _stages(plan: Plan) -> Iterator[Row]:
    section, stages = plan.section, plan.stages
    end = (-stages.spare, (section.blind_face - section.plate) / 2, section.height / 2)
    yield "spare", "the blank's spare end", end, "body", "stage-blank"
    rabbet = (0.3 * stages.length, 0.0, section.shoulder / 2)
    yield "rabbet", "the rabbet", rabbet, "body", "stage-rabbeted"
    mark = (plan.throat.mouth_at, 0.0, plan.sole.plate_edge)
    yield "mouth_mark", "the mouth's front edge, marked out", mark, "body", "stage-sole-shaped"
