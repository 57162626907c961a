"""Rules for the router: a small machine, plywood, a careful start out of the tables of formulas.routing."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil

from cad.fields import Known, Rule
from cad.formulas.routing import Range, chip_range_mm, feed_mm, speed_range_rpm, step_range_mm

STRIP_MM = 3.0  # of wood between the paths round two pieces
CAREFUL = 1 / 3  # of the way from the least to the greatest value of a table
PLUNGE_SHARE = 0.3
LEAST_FLUTE_MM = 25.0
OVER_SHEET_MM = 3.0
BALL_FLUTE_MM = 25.0
TAB_MM = (6.0, 3.0, 200.0)  # width, height, spacing


def _careful(span: Range, step: float) -> float:
    low, high = span
    return float(max(round((low + (high - low) * CAREFUL) / step) * step, step))


def _speed(known: Known) -> float:
    return _careful(speed_range_rpm(known.text("shop.router.material"), known["shop.router.cutter"]), 100)


def _feed(known: Known) -> float:
    return _chip_feed(known, known.text("shop.router.material"), known["shop.router.cutter"])


def _block_feed(known: Known) -> float:
    return _chip_feed(known, known.text("shop.router.block"), known["shop.router.ball"])


def _chip_feed(known: Known, material: str, diameter: float) -> float:
    low, high = chip_range_mm(material, diameter)
    chip = low + (high - low) * CAREFUL
    feed = feed_mm(chip, known["shop.router.speed"], known["shop.router.flutes"])
    return float(max(round(feed, -1), 10))


def _why_speed(known: Known) -> str:
    material, diameter = known.text("shop.router.material"), known["shop.router.cutter"]
    low, high = speed_range_rpm(material, diameter)
    return f"to start from: {low:.0f} to {high:.0f} for {material} and a cutter of {known.show(diameter)}"


def _why_feed(key: str, cutter: str) -> Callable[[Known], str]:
    def why(known: Known) -> str:
        material, diameter = known.text(f"shop.router.{key}"), known[f"shop.router.{cutter}"]
        low, high = (
            feed_mm(chip, known["shop.router.speed"], known["shop.router.flutes"])
            for chip in chip_range_mm(material, diameter)
        )
        return f"to start from: {known.show(low)} to {known.show(high)} a minute for {material} at this speed"

    return why


def _flute_length(known: Known) -> float:
    return float(max(LEAST_FLUTE_MM, ceil(_thickness(known) + OVER_SHEET_MM)))


def _thickness(known: Known) -> float:
    return known.numbers("shop.router.sheet")[2]


def _step(key: str) -> Callable[[Known], float]:
    def step(known: Known) -> float:
        span = step_range_mm(known.text(f"shop.router.{key}"), known["shop.router.cutter"])
        return round(_careful(span, 0.1), 6)

    return step


def _why_step(key: str) -> Callable[[Known], str]:
    def why(known: Known) -> str:
        material = known.text(f"shop.router.{key}")
        low, high = step_range_mm(material, known["shop.router.cutter"])
        return f"to start from: {known.show(low)} to {known.show(high)} for {material} and this cutter"

    return why


RULES = (
    Rule("shop.router.cutter", lambda known: 6.0, "a common straight cutter", practice=True),
    Rule("shop.router.sheet", lambda known: (600.0, 400.0, 12.0), "a handy offcut of plywood", practice=True),
    Rule(
        "shop.router.spacing",
        lambda known: round(2 * known["shop.router.cutter"] + STRIP_MM, 6),
        "a path of the cutter round each piece, and 3 mm of wood between for the tabs to hold to",
        practice=True,
    ),
    Rule("shop.router.material", lambda known: "plywood", "stays flat and is at hand", practice=True),
    Rule("shop.router.block", lambda known: "hard maple", "wears well under paper", practice=True),
    Rule("shop.router.flutes", lambda known: 2.0, "the usual cutter for wood", practice=True),
    Rule(
        "shop.router.flute_length", _flute_length, "reaches through the sheet; measure yours", practice=True
    ),
    Rule(
        "shop.router.ball", lambda known: 6.0, "fits hollows from 3 mm radius; measure yours", practice=True
    ),
    Rule(
        "shop.router.ball_length", lambda known: BALL_FLUTE_MM, "a usual length; measure yours", practice=True
    ),
    Rule("shop.router.speed", _speed, _why_speed, practice=True),
    Rule("shop.router.feed", _feed, _why_feed("material", "cutter"), practice=True),
    Rule(
        "shop.router.plunge",
        lambda known: float(max(round(PLUNGE_SHARE * known["shop.router.feed"], -1), 10)),
        "three tenths of the feed",
        practice=True,
    ),
    Rule("shop.router.block_feed", _block_feed, _why_feed("block", "ball"), practice=True),
    Rule("shop.router.drill_speed", lambda known: 5000.0, "drills burn wood when they race", practice=True),
    Rule("shop.router.drill_feed", lambda known: 250.0, "a careful start", practice=True),
    Rule("shop.router.depth_step", _step("material"), _why_step("material"), practice=True),
    Rule("shop.router.block_step", _step("block"), _why_step("block"), practice=True),
    Rule("shop.router.stepover", lambda known: 0.4, "leaves nothing standing in a corner", practice=True),
    Rule(
        "shop.router.ramp",
        lambda known: 5.0,
        "cutters that do not cut at their centre bear it",
        practice=True,
    ),
    Rule(
        "shop.router.direction",
        lambda known: "conventional",
        "does not pull a light machine through its slack",
        practice=True,
    ),
    Rule("shop.router.through", lambda known: 0.2, "sheets are never quite flat", practice=True),
    Rule("shop.router.tab_width", lambda known: TAB_MM[0], "holds, and is soon pared off", practice=True),
    Rule(
        "shop.router.tab_height",
        lambda known: min(TAB_MM[1], round(_thickness(known) / 3, 1)),
        "3 mm, in thin sheet a third of it",
        practice=True,
    ),
    Rule(
        "shop.router.tab_spacing",
        lambda known: TAB_MM[2],
        "a tab for each hand's breadth or two",
        practice=True,
    ),
    Rule(
        "shop.router.scallop", lambda known: 0.05, "a few strokes with fine paper take it off", practice=True
    ),
    Rule("shop.router.leave", lambda known: 0.5, "enough to clean up", practice=True),
    Rule("shop.router.safe_height", lambda known: 6.0, "clear of low clamps; see to it", practice=True),
    Rule("shop.router.units", lambda known: known.unit, "the file's own unit"),
)
