"""The build sheet: stock, order of work with every number it needs, movement and cost of one plane."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from cad.checks import run_checks
from cad.geometry import Plan
from cad.papers import board
from cad.papers.build_sheet import measured, movement, stock
from cad.papers.build_sheet.noticed import check_words
from cad.papers.build_sheet.step import Bench, placed, section, spoken
from cad.papers.build_sheet.steps import all_steps
from cad.papers.cautions import FIRST
from cad.papers.sheet.amounts import Amounts, degrees
from cad.papers.sheet.document import Block, Caution, Document, Notice, Picture, Section, Words
from cad.soles import form_of
from cad.soles.arc import ArcTable
from fixtures.bench.model import Declined, Fixture


def document(
    plan: Plan,
    fixtures: Iterable[Fixture],
    declined: Iterable[Declined],
    volumes: Mapping[str, float],
    pictures: Mapping[str, Picture],
) -> Document:
    """Return the build sheet.

    `volumes` are those of the plane's solids in mm³ by part, `pictures` the fixtures' by their names; a
    fixture without a picture is named without one.
    """
    bench = Bench(plan, {one.name: one for one in fixtures}, {one.name: one for one in declined})
    return Document(
        kind="build sheet",
        name=plan.spec.name,
        title="Build sheet",
        lead=_lead(plan),
        sections=(
            stock.section(bench),
            board.section(plan, volumes),
            *_work(bench, pictures),
            measured.section(bench),
            movement.section(bench),
        ),
        size=plan.spec.paper.size,
    )


def _lead(plan: Plan) -> tuple[Block, ...]:
    spec, amounts = plan.spec, Amounts(plan.spec.unit)
    sole = spec.sole
    size = (
        f" of {amounts.length(sole.radius)} radius, {degrees(sole.arc)} of arc"
        if isinstance(sole, ArcTable)
        else ""
    )
    words = (
        f"{form_of(sole).CALLED.capitalize()}{size}, {amounts.length(plan.sole.width)} wide; "
        f"{spec.body.hand} hand, {spec.body.build} body of {spec.wood.species}, bed at "
        f"{degrees(plan.throat.bed_deg)}. The cheek plate is on the "
        f"{'right' if plan.is_left else 'left'} seen from behind the heel."
    )
    broken = [check for check in run_checks(plan) if not check.holds and check.level != "note"]
    broken = [check for check in broken if not check.id.startswith("wood.")]  # they stand under movement
    found: list[Block] = [Words(words), Caution(FIRST)]
    if broken:
        found.append(Notice(tuple(check_words(check, spec.unit) for check in broken)))
    found.append(
        Words(
            "Heights are above the lowest point of the sole, lengths along the plane from its toe. Numbers "
            "marked with a standard or a handbook come from there; all else is worked out from the spec, or "
            "common practice without a source.",
            small=True,
        )
    )
    return tuple(found)


def _work(bench: Bench, pictures: Mapping[str, Picture]) -> Sequence[Section]:
    steps = all_steps(bench)
    homes = placed(steps, bench.fixtures)
    found = [Section("Order of work", _refused(bench, {name for step in steps for name in step.fixtures}))]
    for place, step in enumerate(steps):
        more = [name for name, home in homes.items() if home == place]
        found.append(section(place + 1, step, bench, more, pictures))
    return found


def _refused(bench: Bench, called: set[str]) -> tuple[Block, ...]:
    """Return why fixtures that no step calls for are not made."""
    return tuple(
        Words(f"No {spoken(one.name)} for this plane: {one.reason}.", small=True)
        for one in bench.declined.values()
        if one.name not in called
    )
