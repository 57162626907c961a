"""`look` for the eye: tables of dimensions by part, then the checks, the worst first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from textwrap import wrap

from cad.checks import LEVELS, Check, Level
from cad.geometry import Plan
from cad.report.bench import bench_text
from cad.report.collect import dimensions
from cad.report.dimension import Dimension
from cad.soles import form_of
from cad.units import UnitName

WIDTH = 100
WIDEST_VALUE = 34
HEADINGS: dict[Level, str] = {
    "fail": "Fails: this would not work in wood",
    "warn": "Warnings: this would work badly",
    "note": "Worth knowing",
}


def look_text(plan: Plan, checks: Iterable[Check]) -> str:
    """Return the report as plain text, lines without trailing blanks and without a last line break."""
    spec = plan.spec
    title = f"{spec.name}: {form_of(spec.sole).CALLED}, {spec.body.hand} hand, {spec.body.build}"
    lines = [
        title,
        "=" * len(title),
        "",
        *_dimensions(dimensions(plan), spec.unit),
        *bench_text(plan),
        *_checks(checks, spec.unit),
    ]
    return "\n".join(line.rstrip() for line in lines)


def _dimensions(found: dict[str, Dimension], unit: UnitName) -> Iterator[str]:
    parts: dict[str, list[tuple[str, Dimension]]] = {}
    for key, dimension in found.items():
        parts.setdefault(_part(key), []).append((key, dimension))
    # The shop's tables are long and seldom looked at: after the plane's own.
    for part, rows in sorted(parts.items(), key=lambda item: item[0].startswith("shop.")):
        yield part or "file"
        yield from _table(
            [
                (
                    f"  {key.removeprefix(f'{part}.')}",
                    one.shown(unit),
                    one.shown_in_other(unit),
                    "given" if one.given else one.reason,
                )
                for key, one in rows
            ]
        )
        yield ""


def _part(key: str) -> str:
    """Return the heading a key stands under: all of it but its last word."""
    return key.rpartition(".")[0]


def _table(rows: Sequence[tuple[str, ...]]) -> Iterator[str]:
    """Yield lines with all columns aligned; the last column wraps within itself."""
    widths = [min(max(len(row[i]) for row in rows), WIDEST_VALUE) for i in range(len(rows[0]) - 1)]
    for *cells, last in rows:
        start = "  ".join(cell.ljust(width) for cell, width in zip(cells, widths, strict=True)) + "  "
        room = max(WIDTH - len(start), 30)
        for number, line in enumerate(wrap(last, room) or [""]):
            yield (start if number == 0 else " " * len(start)) + line


def _checks(checks: Iterable[Check], unit: UnitName) -> Iterator[str]:
    ordered = sorted(checks, key=lambda check: (check.holds, LEVELS.index(check.level)))
    for (holds, level), group in groupby(ordered, key=lambda check: (check.holds, check.level)):
        found = list(group)
        yield f"Checks that hold ({len(found)})" if holds else f"{HEADINGS[level]} ({len(found)})"
        yield from _held(found, unit) if holds else _broken(found, unit)
        yield ""
    counts = ", ".join(
        f"{sum(not c.holds and c.level == level for c in ordered)} {level}" for level in LEVELS
    )
    yield f"{len(ordered)} checks: {counts}, {sum(c.holds for c in ordered)} hold"


def _broken(found: Iterable[Check], unit: UnitName) -> Iterator[str]:
    for check in found:
        value, limit = _amount(check, check.value, unit), _amount(check, check.limit, unit)
        yield f"  {check.id}: {value}, should be {check.bound} {limit}"
        yield from _indented("why", check.why)
        yield from _indented("limit", check.source)
        yield from _indented("cure", check.cure)


def _indented(label: str, words: str) -> Iterator[str]:
    start = f"    {label:<6} "
    yield from wrap(words, WIDTH, initial_indent=start, subsequent_indent=" " * len(start))


def _held(found: Iterable[Check], unit: UnitName) -> Iterator[str]:
    yield from _table(
        [
            (
                f"  {check.id}",
                _amount(check, check.value, unit),
                f"{check.bound} {_amount(check, check.limit, unit)}",
            )
            for check in found
        ]
    )


def _amount(check: Check, amount: float, unit: UnitName) -> str:
    return Dimension(check.unit, amount, False, "").shown(unit)
