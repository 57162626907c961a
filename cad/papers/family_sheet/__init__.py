"""The family's page: its planes in one table, what they share, and the wood for all of them together."""

from __future__ import annotations

from collections.abc import Sequence

from cad.geometry import Plan
from cad.papers.cautions import FIRST
from cad.papers.family_sheet import fixtures, stock
from cad.papers.family_sheet.fixtures import LeftOut, Shared
from cad.papers.sheet.amounts import Amounts
from cad.papers.sheet.document import Block, Caution, Document, Rendering, Section, Table, Words
from cad.report.lineup import head, lineup
from cad.units import plain

__all__ = ["LeftOut", "Shared", "document"]

NAME_SHARE = 2.6  # of the column of names, in columns of lengths
FAILS_SHARE = 1.5


def document(
    name: str,
    plans: Sequence[Plan],
    shared: Sequence[Shared],
    left_out: Sequence[LeftOut],
    row: Rendering | None,
) -> Document:
    """Return the family's page. `row` shows the planes side by side, where this machine can draw them."""
    return Document(
        kind="family sheet",
        name=name,
        title="Family sheet",
        lead=tuple(_lead(plans, row)),
        sections=(
            _planes(name, plans),
            fixtures.section(name, shared),
            *fixtures.left_out(name, left_out),
            *stock.sections(name, plans),
        ),
        size=plans[0].spec.paper.size,
    )


def _lead(plans: Sequence[Plan], row: Rendering | None) -> list[Block]:
    amounts = Amounts(plans[0].spec.unit)
    forms = list(dict.fromkeys(plan.sole.form for plan in plans))
    sizes = [plan.sole.radius or plan.sole.width for plan in plans]
    measure = "width" if plans[0].sole.radius is None else "radius"
    kinds = ", ".join(f"{plain(sum(p.sole.form == form for p in plans))} {form}s" for form in forms)
    range_of = f"{amounts.length(min(sizes))} to {amounts.length(max(sizes))} {measure}"
    words = (
        f"{kinds}, of {range_of}. Each plane has a folder of its own with its solids, fixtures, drawings and "
        "build sheet; here is what they share."
    )
    return [Words(words), *([row] if row else []), Caution(FIRST)]


def _planes(name: str, plans: Sequence[Plan]) -> Section:
    unit = plans[0].spec.unit
    rows = []
    found = lineup(plans)
    for one in found:
        first, *cells = one.cells(unit)
        rows.append((first.removeprefix(f"{name}-"), *cells))
    heads = tuple(title.removesuffix(f", {unit}").capitalize() for title in head(found, unit))
    shares = (NAME_SHARE, *(max(len(title) / 4.5, 1.1) for title in heads[1:-1]), FAILS_SHARE)
    words = f"Names begin with {name}-; lengths in {unit}; the last column names checks that fail"
    return Section("The planes", (Words(words, small=True), Table(heads, tuple(rows), shares)))
