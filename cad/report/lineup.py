"""The planes of a family side by side: main dimensions and failing checks, as rows, text and CSV."""

from __future__ import annotations

import csv
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from io import StringIO
from types import MappingProxyType

from cad.checks import run_checks
from cad.geometry import Plan
from cad.units import INCH_MM, UnitName, format_in, plain

COLUMNS: Mapping[str, Callable[[Plan], float | None]] = MappingProxyType(
    {
        "radius": lambda plan: plan.sole.radius,
        "width": lambda plan: plan.sole.width,
        "depth": lambda plan: plan.sole.highest if plan.sole.radius is None else None,
        "length": lambda plan: plan.stages.length,
        "height": lambda plan: plan.section.height,
        "thickness": lambda plan: plan.section.thickness,
        "mouth": lambda plan: plan.throat.mouth,
        "iron": lambda plan: plan.iron.thickness,
        "iron length": lambda plan: plan.iron.length,
    }
)


@dataclass(frozen=True)
class Row:
    """One plane: those of COLUMNS that a plane of its kind has, in mm, and the checks that it fails.

    The planes of a family are of one kind: they have a radius, or they have not.
    """

    name: str
    form: str
    lengths: Mapping[str, float]
    fails: tuple[str, ...]

    def cells(self, unit: UnitName) -> tuple[str, ...]:
        """Return the row in words: name, lengths, failing checks."""
        lengths = (shown(mm, unit) for mm in self.lengths.values())
        return (self.name, *lengths, ", ".join(self.fails) or "none")


def lineup(plans: Sequence[Plan]) -> list[Row]:
    """Return a row for each plan."""
    return [
        Row(
            plan.spec.name,
            plan.sole.form,
            {name: mm for name, column in COLUMNS.items() if (mm := column(plan)) is not None},
            tuple(check.id for check in run_checks(plan) if check.level == "fail"),
        )
        for plan in plans
    ]


def head(rows: Sequence[Row], unit: UnitName) -> tuple[str, ...]:
    """Return what stands over the columns of `Row.cells`."""
    return ("plane", *(f"{name}, {unit}" for name in rows[0].lengths), "fails")


def shown(mm: float, unit: UnitName) -> str:
    """Return a length without its unit: mm to a hundredth, inches as a fraction where it is one to a hair.

    >>> shown(9.525, "in"), shown(16, "in"), shown(16, "mm")
    ('3/8', '0.63', '16')
    """
    if unit == "mm":
        return plain(mm)
    words = format_in(mm)
    return words.removesuffix(" in") if words.endswith(" in") else plain(mm / INCH_MM, 3)


def lineup_text(name: str, rows: Sequence[Row], unit: UnitName) -> str:
    """Return the rows as a table for the eye, under a title."""
    table = [head(rows, unit), *(row.cells(unit) for row in rows)]
    widths = [max(len(line[at]) for line in table) for at in range(len(table[0]))]
    lines = ["  ".join(cell.ljust(wide) for cell, wide in zip(line, widths, strict=True)) for line in table]
    title = f"{name}: a family of {len(rows)} planes"
    return "\n".join(line.rstrip() for line in (title, "=" * len(title), "", *lines))


def lineup_csv(rows: Sequence[Row]) -> str:
    """Return the rows as CSV (RFC 4180), lengths in mm."""
    text = StringIO()
    writer = csv.writer(text)
    writer.writerow(["name", "form", *(f"{name.replace(' ', '_')}_mm" for name in rows[0].lengths), "fails"])
    for row in rows:
        writer.writerow(
            [row.name, row.form, *(plain(mm, 6) for mm in row.lengths.values()), " ".join(row.fails)]
        )
    return text.getvalue()
