"""Making one plane: what was asked for, built and written, and what is to be said of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from cad.errors import CallError
from cad.geometry import Plan
from cad.outputs.again import Outcome, Wish
from cad.outputs.folder import check_target
from cad.outputs.formats import format_names, unavailable
from cad.outputs.tasks import known, part_names

if TYPE_CHECKING:
    from cad.outputs.making import Share

Begin = Callable[[str], None]


@dataclass(frozen=True)
class Order:
    """Where planes go, and which parts, fixtures, pieces and formats of them: all, where none is named."""

    to: Path
    only: tuple[str, ...] = ()
    formats: tuple[str, ...] = ()


@dataclass(frozen=True)
class Made:
    """What is to be said of a plane: what was written, and what this machine left out."""

    lines: tuple[str, ...]
    remarks: tuple[str, ...]


def refuse_wrong(order: Order, names: Iterable[str]) -> None:
    """Raise what is wrong with an order and can be told without the kernel: CallError or OutputError."""
    known(order.formats, format_names(), "format")
    for name in names:
        check_target(order.to, name)


def wish(plan: Plan, order: Order) -> Wish:
    """Return what an order wants of one plane."""
    return Wish(plan, order.to, frozenset(order.only), frozenset(order.formats))


def make_plane(plan: Plan, order: Order, begin: Begin, share: Share | None = None) -> Made:
    """Build a plane and write its files, telling each step as it begins.

    `share` spreads the work over processes: see `cad.outputs.making.make`.

    Raises CallError for names that do not exist, KernelError and OutputError as building and writing do.
    """
    from cad.outputs.making import make

    missing = [f"{name}: {why}" for name in order.formats if (why := unavailable(name))]
    if missing:
        raise CallError("; ".join(missing))
    outcome = make(wish(plan, order), begin, share)
    return Made(tuple(_summary(plan.spec.name, outcome)), tuple(remarks(outcome)))


def remarks(outcome: Outcome) -> Iterator[str]:
    """Yield what is to be said of a folder besides what it holds."""
    for name in outcome.left_out:
        yield f"{name} left out: {unavailable(name)}"


def _summary(name: str, outcome: Outcome) -> Iterator[str]:
    """Yield what was written, where, and what to do next."""
    count = sum(1 for path in outcome.folder.rglob("*") if path.is_file())
    kept = f"; {outcome.kept} of them stood as they were" if outcome.kept else ""
    yield f"{name}: {count} files in {outcome.folder}{kept}"
    if outcome.wanted.parts == tuple(part_names()):
        yield f"  plane          {', '.join(outcome.wanted.parts)}"
    for fixture in outcome.wanted.fixtures:
        built = outcome.inputs.built[fixture]
        yield f"  {fixture:14} {f'not made: {built.declined}' if built.declined else ', '.join(built.pieces)}"
    for piece, reason in sorted(outcome.off_sheet.items()):
        yield f"  {piece:14} on no sheet: {reason}"
    if outcome.wanted.fixtures:
        yield "  Read the .txt beside each fixture before use: what to set, and what can hurt."
    yield "  Next: open plane.step in a viewer; run planewright prove on the spec before you print or cut."
