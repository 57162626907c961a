"""The iron's sheet: blank, profile and bevel, hardening and tempering, grinding and honing of one iron."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians, sin, tan

from cad.formulas.cutting import clearance_deg
from cad.formulas.steel import COLOURS, COLOURS_SOURCE, STEELS, Steel, Temper, celsius, mass_g
from cad.geometry import Plan
from cad.geometry.movement import Movement
from cad.geometry.steepness import steepest_sloped_deg
from cad.papers.cautions import EYES, FIRE, FUMES, GRINDER, HOT_OIL, WATER
from cad.papers.iron_honing import honing
from cad.papers.sheet.amounts import Amounts, degrees, heat
from cad.papers.sheet.document import (
    Block,
    Caution,
    Document,
    Lettering,
    Picture,
    Pictures,
    Points,
    Section,
    Stroke,
    Table,
    Words,
)
from cad.units import plain

STATIONS = 8
SAMPLES = 48
LAND_MM = 25.4 / 32  # left at the edge until it is hardened; common practice, no source
HARDENED_MM = 50.0  # from the edge; common practice, no source
STANDS_OUT_MM = 0.5  # ground off after hardening; common practice, no source
PRACTICE = "common practice, no source"


def document(plan: Plan) -> Document:
    """Return the iron's sheet. Every figure of the steel names its source."""
    steel, amounts = STEELS[plan.spec.iron.steel], Amounts(plan.spec.unit)
    return Document(
        kind="iron's sheet",
        name=plan.spec.name,
        title="Iron's sheet",
        lead=(
            Words(
                f"An iron of {steel.name} ({steel.makeup}; {steel.standard}), bevel down on a bed of "
                f"{degrees(plan.throat.bed_deg)}. The sheet that came with your steel goes before every "
                "figure here, and local codes before both."
            ),
        ),
        sections=(
            Section("Blank", tuple(_blank(plan, steel, amounts))),
            Section("Profile of the edge", tuple(_profile(plan, amounts))),
            Section("Bevel", tuple(_bevel(plan, amounts))),
            Section("Hardening", tuple(_hardening(plan, steel, amounts))),
            Section("Tempering", tuple(_tempering(steel))),
            Section("Grinding", tuple(_grinding(plan, steel, amounts))),
            Section("Honing the curved edge", tuple(honing(plan, amounts))),
        ),
        size=plan.spec.paper.size,
    )


def _width_words(plan: Plan) -> str:
    width = "as measured" if plan.iron.width < plan.throat.depth else "the throat's depth"
    return f"Width: {width}, from the rabbet face"


def _blank(plan: Plan, steel: Steel, amounts: Amounts) -> Iterator[Block]:
    iron = plan.iron
    yield Table(
        (),
        (
            (
                "Flat annealed stock, length × width × thickness",
                amounts.size(iron.length, iron.width, iron.thickness),
            ),
            ("Mass", f"{plain(mass_g(iron.length * iron.width * iron.thickness), 0)} g"),
            (_width_words(plan), amounts.length(iron.width)),
            ("Narrower by, for the driest month", amounts.fine(Movement(plan).binding)),
        ),
        (3, 2.4),
    )
    yield Points(
        (
            "File the long edges straight and parallel until the blank slides down the throat, no wider than "
            "it is in the driest month (build sheet, movement).",
            "Flatten and polish the last 30 mm of the upper face, the one away from the bed, while it is "
            "soft: the edge is no better than this face.",
            "Round the other end to a low crown and break its corners: it is tapped to set the iron.",
        ),
        numbered=True,
    )


def offsets(plan: Plan) -> list[tuple[float, float]]:
    """Return (v, u): across from the plate's side, and how far the edge lies behind its foremost there."""
    iron = plan.iron
    vs = [iron.width * i / STATIONS for i in range(STATIONS + 1)]
    return [(v, iron.edge_u(v)) for v in vs]


def _profile(plan: Plan, amounts: Amounts) -> Iterator[Block]:
    iron, sole = plan.iron, plan.sole
    found = offsets(plan)
    yield Pictures((_face_picture(plan), _side_picture(plan)))
    yield Table(
        ("Station", *(str(i) for i in range(len(found)))),
        (
            *amounts.rows("Across, from the plate's side", [v for v, _ in found]),
            *amounts.rows("Back from the foremost", [u for _, u in found]),
        ),
        (4.2, *[1.0] * len(found)),
        "The edge on the upper face",
    )
    depth, shy = iron.profile_depth(), sole.highest * (iron.stretch - 1)
    curve = (
        f"The curve is an ellipse, {amounts.length(sole.radius)} across and "
        f"{amounts.length(sole.radius * iron.stretch)} along the iron (semi-axes): the sole's arc seen at "
        "the slant of the bed. "
        if sole.radius is not None
        else "The curve is the sole's, stretched along the iron by 1 / sin of the bed. "
    )
    yield Words(
        f"{curve}Its depth is {amounts.length(depth)}. An iron ground to the sole's own "
        f"{'arc' if sole.radius is not None else 'profile'} would be {amounts.length(shy)} out between its "
        "foremost point and the furthest back."
    )
    yield Points(
        (
            "Blue the upper face. Scribe the curve round the iron card or the true-size template, or prick "
            "the stations and join them with a thin batten.",
            f"Saw and file to {amounts.length(STANDS_OUT_MM)} outside the line, square to the face: the rest "
            "is ground after hardening, which may warp it.",
        ),
        numbered=True,
    )


def _face_picture(plan: Plan) -> Picture:
    """Return the edge seen on the upper face, its stations numbered, the plate's side where it is seen."""
    iron = plan.iron
    wide, depth = iron.width, iron.profile_depth()
    top = depth + 0.45 * wide

    def place(v: float, u: float) -> tuple[float, float]:
        return (v if plan.is_left else wide - v, u)

    curve = [place(v, iron.edge_u(v)) for v in (wide * i / SAMPLES for i in range(SAMPLES + 1))]
    first, last = place(0, top), place(wide, top)
    outline = Stroke((first, *curve, last))
    lines, numbers = [], []
    for i, (v, u) in enumerate(offsets(plan)):
        lines.append(Stroke((place(v, u), place(v, top)), "narrow", "grey"))
        numbers.append(Lettering(str(i), place(v, top + 0.07 * wide), 1.8))
    side = "left" if plan.is_left else "right"
    caption = f"The upper face, edge down; station 0 at the plate's side, on the {side}"
    return Picture("edge of the iron", (*lines, outline), caption, tuple(numbers))


def _side_picture(plan: Plan) -> Picture:
    """Return the cutting end from the side, upper face to the left."""
    iron = plan.iron
    run, up = iron.thickness / tan(radians(iron.bevel_deg)), 3.2 * iron.thickness
    t = iron.thickness
    outline = Stroke(((0.0, up), (0.0, 0.0), (t, run), (t, up)))
    angle = Lettering(degrees(iron.bevel_deg), (t * 0.33, run + 0.45 * t), 2.2)
    return Picture(
        "bevel of the iron", (outline,), "From the side: upper face to the left, bevel to the bed", (angle,)
    )


def _bevel(plan: Plan, amounts: Amounts) -> Iterator[Block]:
    iron = plan.iron
    bevel = radians(iron.bevel_deg)
    steepest = steepest_sloped_deg(plan.sole)
    at_edge = clearance_deg(plan.throat.bed_deg, iron.bevel_deg, steepest)
    yield Table(
        (),
        (
            ("Bevel, from the upper face", degrees(iron.bevel_deg)),
            ("Ground face, measured on the slope", amounts.length(iron.thickness / sin(bevel))),
            ("The same along the iron", amounts.length(iron.thickness / tan(bevel))),
            ("Clearance to the work: level, steepest", f"{degrees(iron.clearance_deg)}, {degrees(at_edge)}"),
            (f"Land left at the edge until hardened ({PRACTICE})", amounts.length(LAND_MM)),
        ),
        (3, 2.4),
    )
    yield Points(
        (
            "Grind the bevel on the lower face, the one to the bed. Hold the iron at one angle and shift it "
            "straight to and fro, never swung: the bevel then has its angle all along the iron, seen from "
            "the side.",
            f"Leave a land of {amounts.length(LAND_MM)} at the edge: a thin edge burns in the fire and "
            "cracks in the quench.",
        ),
    )


def _hardening(plan: Plan, steel: Steel, amounts: Amounts) -> Iterator[Block]:
    oil = steel.quench == "oil"
    long = min(HARDENED_MM, plan.iron.length / 3)
    yield Caution((*FIRE, *(HOT_OIL if oil else WATER), *FUMES, *EYES))
    yield Table(
        ("What", "Figure", "Source"),
        (
            ("Hardening heat", heat(*steel.harden_f), steel.harden_source),
            ("Quench", steel.quench, steel.harden_source),
            ("Soak", steel.soak, steel.soak_source),
            (
                "Steel loses its magnetism at about",
                "770 °C (1418 °F)",
                "textbook value for iron, from memory",
            ),
            ("Hardness as quenched", f"HRC {_hrc(steel.hardness[0])}", steel.hardness_source),
        ),
        (2, 2.4, 2.8),
    )
    warm = (
        "Oil made for quenching, warmed to 50 to 60 °C (120 to 140 °F; from memory), four litres (a gallon) "
        "at least."
        if oil
        else "Clean water at room warmth, deep enough to move the iron in; brine of about one part of salt "
        "in ten (from memory) cools more evenly."
    )
    yield Points(
        (
            "Best in a furnace with a thermometer. In a flame, keep to the dim corner of the shop, where "
            "colour can be judged, and let the flame burn a little rich.",
            warm,
            f"Heat the last {amounts.length(long)} evenly, the thick part first, the edge following. When a "
            f"magnet no longer holds, go one shade of red brighter, to {heat(*steel.harden_f)}, and hold it "
            "even. No brighter: the grain grows.",
            "Quench edge first and straight down, at once, the whole glow under the surface; move it up and "
            "down, never sideways, or it warps.",
            "Take it out when it is hand-warm. A file must skate on the edge. Do not drop it, do not "
            "straighten it: it is brittle as glass until tempered. Temper at once.",
        ),
        numbered=True,
    )


def _hrc(row: Temper) -> str:
    low, high = row.hrc
    return plain(low, 1) if low == high else f"{plain(low, 1)}–{plain(high, 1)}"


def _tempering(steel: Steel) -> Iterator[Block]:
    low, high = steel.hrc(steel.aim_f)
    aim = plain(low, 1) if low == high else f"{plain(low, 1)}–{plain(high, 1)}"
    yield Points(
        (
            "Clean the upper face bright, so that colours show.",
            f"Range for edge tools: {heat(*steel.temper_f)} ({steel.temper_source}). For a plane iron begin "
            f"at {heat(steel.aim_f)}, which leaves about HRC {aim} ({PRACTICE}); it can always be tempered "
            "softer.",
            "Kitchen-type oven with its own thermometer beside the iron, two hours, cool in air; a second "
            "time does no harm. Not an oven that cooks food.",
            "Edge chips in use: temper again, 15 °C (25 °F) hotter. Edge folds: too hot; harden again.",
        ),
        numbered=True,
    )
    yield Table(
        ("Tempered at", *(_temper_words(row) for row in steel.hardness)),
        (("Hardness, HRC", *(_hrc(row) for row in steel.hardness)),),
        (1.5, *[1.0] * len(steel.hardness)),
        f"{steel.name}: {steel.hardness_source}",
    )
    yield Table(
        ("Colour", *(colour.name for colour in COLOURS)),
        (
            (
                "°C",
                *(_range(celsius(colour.fahrenheit[0]), celsius(colour.fahrenheit[1])) for colour in COLOURS),
            ),
            ("°F", *(_range(*colour.fahrenheit) for colour in COLOURS)),
        ),
        (0.7, *[1.0] * len(COLOURS)),
        f"Colours of temper on bright plain carbon steel: {COLOURS_SOURCE}",
    )
    yield Words(
        "A colour shows heat and time together: after an hour in the oven a cooler iron shows a darker "
        "colour. Trust the thermometer first. Alloyed steel colours at somewhat higher heat.",
        small=True,
    )


def _temper_words(row: Temper) -> str:
    return "not" if row.fahrenheit is None else f"{celsius(row.fahrenheit):.0f} °C {row.fahrenheit:g} °F"


def _range(low: float, high: float) -> str:
    return f"{low:.0f}" if low == high else f"{low:.0f}–{high:.0f}"


def _grinding(plan: Plan, steel: Steel, amounts: Amounts) -> Iterator[Block]:
    first = COLOURS[0]
    yield Caution((*GRINDER, *EYES))
    yield Points(
        (
            f"Heat above {heat(steel.aim_f)}, its temper, softens the edge for good; {first.name}, "
            f"{heat(*first.fahrenheit)}, is the first colour you would see, and it comes too late.",
            "Coarse, soft, freshly dressed wheel; light touch, always moving; dip in water before it is too "
            "warm to hold near the edge, every few seconds towards the end. Or use a wet stone.",
            "A thin edge heats in an instant: take the land down last, by hand if in doubt. Where it has "
            "turned blue, grind past the blue.",
            "Grind the profile to the line first, square to the face; then the bevel down to it, to a line "
            "of light a hair wide all round.",
        ),
        numbered=True,
    )
    yield Table(
        ("Check", "With", "Allowed"),
        (
            ("Profile", "iron card against the light", amounts.length(0.05)),
            ("Bevel", "notch of the iron card", "± 1°"),
            ("Upper face flat", "straight edge or stone", "no light at the edge"),
        ),
        (2, 2.6, 2),
    )
