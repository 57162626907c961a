"""A place to write down what is measured at the bench, under the keys that the spec takes it by."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from cad.formulas.circle import sagitta_mm
from cad.geometry import Plan
from cad.geometry.bench import planned_only
from cad.papers.build_sheet.step import Bench
from cad.papers.sheet.amounts import Amounts, degrees
from cad.papers.sheet.document import Block, Section, Table, Words

GAUGE_SHARE = 0.75  # of the sole's width: a gauge that stands well within its edges
PLACES = 7
Row = tuple[str, str, str, str]


def section(bench: Bench) -> Section:
    """Return the table of what to measure, planned beside found: blank where nothing was found yet."""
    return Section("Measured at the bench", tuple(_blocks(bench)))


def _blocks(bench: Bench) -> Iterator[Block]:
    yield Words(
        "Write down what came out. Where it differs from the plan, give it in the spec under [measured] and "
        "run planewright again: look says what each difference does, and make fits what is still to be made "
        "to what is there, or says how much to true off."
    )
    yield Table(("What", "Key", "Planned", "Found"), tuple(_rows(bench)), (3.2, 2.4, 2.2, 2.2))
    yield Words(
        "Sole, instead of chord and sagitta: lay a bar across above the upturned sole and read a depth gauge "
        "down to it at five places or more, as far out as the sole goes. sole_across holds the places from "
        "the rabbet face, sole_readings the depths.",
        small=True,
    )
    found = bench.plan.planned.measured
    rows = (("sole_across", found.sole_across), ("sole_readings", found.sole_readings))
    yield Table((), tuple((key, *_places(read, bench)) for key, read in rows), (2, *[1.0] * PLACES))


def _places(read: tuple[float, ...] | None, bench: Bench) -> tuple[str, ...]:
    """Return the first readings, as many as there are columns for, blank where there are none."""
    shown = [bench.amounts.fine(one) for one in (read or ())[:PLACES]]
    return (*shown, *[""] * (PLACES - len(shown)))


def _rows(bench: Bench) -> Iterator[Row]:
    plan, found = planned_only(bench.plan), bench.plan.planned.measured.found
    amounts = Amounts(plan.spec.unit)
    for what, key, planned in (
        ("Bed, from the sole", "bed", plan.throat.bed_deg),
        ("Front, from the sole", "front", plan.throat.front_deg),
    ):
        yield what, key, degrees(planned, 2), _found(found.get(key), lambda angle: degrees(angle, 2))
    for what, key, planned in _lengths(plan):
        yield what, key, amounts.fine(planned), _found(found.get(key), amounts.fine)


def _lengths(plan: Plan) -> Iterator[tuple[str, str, float]]:
    """Yield the lengths to be measured: what, its key, and what it is by the plan."""
    spec = plan.spec
    yield "Mouth along the sole", "mouth", plan.throat.mouth
    yield "Throat, its depth from the rabbet face", "throat_depth", plan.throat.depth
    yield "Iron, thickness", "iron_thickness", plan.iron.thickness
    yield "Iron, width", "iron_width", plan.iron.width
    yield "Hand saw, plate", "saw_plate", spec.shop.hand_saw.plate
    yield "Hand saw, kerf of a trial cut", "saw_kerf", spec.shop.hand_saw.kerf
    yield "Body's blank, thickness over the rail", "body_thickness", spec.body.thickness
    yield "Cheek plate, thickness", "cheek_thickness", spec.cheek.thickness
    if plan.sole.radius is not None:
        chord = round(GAUGE_SHARE * plan.sole.width)
        yield "Gauge on the sole, its span (yours may differ)", "sole_chord", chord
        yield "What it reads in its middle", "sole_sagitta", sagitta_mm(plan.sole.radius, chord)
    yield "Wedge sits deeper by (higher: minus)", "wedge_sink", 0.0


def _found(value: float | tuple[float, ...] | None, shown: Callable[[float], str]) -> str:
    return shown(value) if isinstance(value, float) else ""
