"""Movement: how far wood and throat change over the year, and what that does to iron and glue line."""

from __future__ import annotations

from collections.abc import Iterator

from cad.checks import movement as checks
from cad.formulas import moisture
from cad.formulas.wood import SPECIES, Species, change_mm
from cad.geometry.movement import Change, Movement
from cad.papers.build_sheet.noticed import check_words
from cad.papers.build_sheet.step import Bench
from cad.papers.sheet.amounts import percent
from cad.papers.sheet.document import Block, Notice, Points, Section, Table, Words
from cad.units import plain

HUMIDITIES = (30, 40, 50, 60, 65, 70, 80)
CELSIUS = (10.0, 21.1, 30.0)
SAMPLE_MM = 100.0


def section(bench: Bench) -> Section:
    """Return the movement of this plane, of every wood in the table, and what air does to wood."""
    return Section("Movement of the wood", tuple(_blocks(bench)))


def _blocks(bench: Bench) -> Iterator[Block]:
    plan, wood = bench.plan, bench.plan.spec.wood
    broken = tuple(check_words(one, plan.spec.unit) for one in checks.checks(plan) if not one.holds)
    low, high = wood.moisture_range
    yield Words(
        f"{wood.species}, {wood.grain}: made at {percent(wood.moisture_now)} moisture, living between "
        f"{percent(low)} and {percent(high)}; at 21 °C that is about "
        f"{plain(moisture.humidity_percent(low), 0)} to {percent(moisture.humidity_percent(high), 0)} "
        "relative humidity."
    )
    if broken:
        yield Notice(broken)
    yield own_table(bench)
    yield Points(tuple(_consequences(bench)))
    yield species_table(bench)
    yield air_table()
    yield Words(
        "Species: Wood Handbook, FPL-GTR-190, tables 4-3 and 13-5, within 6 to 14 % moisture; change = size "
        "× coefficient × change of moisture (eq. 13-2). The shrinkages of sugar maple are from memory. "
        f"Moisture in air: {moisture.SOURCE}. Choose wood.moisture_range from the driest and the dampest "
        "month of the shop.",
        small=True,
    )


def own_table(bench: Bench) -> Table:
    """Return the table of this plane's own changes, and of the play that is left to the iron."""
    low, high = bench.plan.spec.wood.moisture_range
    moves = Movement(bench.plan)
    rows = [_row(bench, change) for change in (moves.thickness, moves.throat, moves.height)]
    throat = moves.throat
    rows.append(
        ("Play of an iron that just fits when made", _play(bench, throat.dry), _play(bench, throat.damp))
    )
    return Table(("", f"Driest, {percent(low)}", f"Dampest, {percent(high)}"), tuple(rows), (2.4, 2, 2))


def _row(bench: Bench, change: Change) -> tuple[str, str, str]:
    return (
        f"{change.what}, {bench.length(change.size)}",
        _signed(bench, change.dry),
        _signed(bench, change.damp),
    )


def _signed(bench: Bench, mm: float) -> str:
    return f"{'+' if mm > 0 else '−' if mm < 0 else ''}{bench.amounts.fine(abs(mm))}"


def _play(bench: Bench, mm: float) -> str:
    return f"binds by {bench.amounts.fine(-mm)}" if mm < -0.005 else bench.amounts.fine(max(mm, 0.0))


def _consequences(bench: Bench) -> Iterator[str]:
    moves = Movement(bench.plan)
    binding = moves.binding
    yield (
        f"Iron: the steel does not move, the throat does. Made {bench.amounts.fine(binding)} narrower than "
        "the throat is now, it never binds; more than that only adds play."
        if binding > 0.005
        else "Iron: the throat is never narrower than it is now, so an iron that fits now does not bind."
    )
    yield "Wedge: cut with its rings as in the body, it keeps its side clearance all year."
    yield (
        "Glue line: with growth rings of plate and body the same way, both move together. With the rings of "
        f"the plate turned the other way they would pull {bench.amounts.fine(moves.turned_apart)} apart over "
        "the height of the plate between the driest and the dampest month; with its grain crosswise far "
        "more: never do that."
    )


def species_table(bench: Bench) -> Table:
    """Return shrinkage and coefficients of every wood, and what 100 mm of it moves over the range."""
    low, high = bench.plan.spec.wood.moisture_range
    head = (
        "Wood",
        "Shrinkage, radial, tangential %",
        "Coefficient, radial",
        "tangential",
        f"100 mm from {plain(low)} to {plain(high)} %, radial",
        "tangential",
    )
    rows = tuple(_species(one, low, high) for one in SPECIES.values())
    return Table(head, rows, (1.7, 1.6, 1.2, 1.2, 1.5, 1.2), "Woods, from green to ovendry, and in use")


def _species(one: Species, low: float, high: float) -> tuple[str, ...]:
    shrinkage = (
        "–"
        if one.radial_shrinkage is None or one.tangential_shrinkage is None
        else f"{one.radial_shrinkage}, {one.tangential_shrinkage}"
    )
    moves = (change_mm(SAMPLE_MM, c, low, high) for c in (one.radial, one.tangential))
    return (
        one.name,
        shrinkage,
        f"{one.radial:.5f}",
        f"{one.tangential:.5f}",
        *(f"{move:.2f} mm" for move in moves),
    )


def air_table() -> Table:
    """Return the moisture that wood comes to, by relative humidity and temperature."""
    rows = tuple(
        (
            f"{plain(celsius)} °C ({plain(celsius * 9 / 5 + 32, 0)} °F)",
            *(f"{moisture.equilibrium_percent(h, celsius):.1f} %" for h in HUMIDITIES),
        )
        for celsius in CELSIUS
    )
    head = ("Relative humidity", *(f"{h} %" for h in HUMIDITIES))
    return Table(head, rows, (2, *[1.0] * len(HUMIDITIES)), "Moisture that wood comes to in air")
