"""Making one plane: what was asked for, built and written, and what is to be said of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

from cad.errors import CallError
from cad.geometry import Plan

if TYPE_CHECKING:
    from cad.outputs.product import Product
    from fixtures.bench.model import Fixture

ASSEMBLY = "plane"  # the name by which --only means the assembly of all parts

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
    from cad.outputs.folder import check_target
    from cad.outputs.formats import format_names

    _known(order.formats, format_names(), "format")
    for name in names:
        check_target(order.to, name)


def steps(order: Order) -> int:
    """Return how many steps `make_plane` begins when it makes all parts and fixtures."""
    from cad.outputs.formats import format_names
    from cad.parts import part_names
    from fixtures.bench.workshop import fixture_names

    return len(part_names()) + len(fixture_names()) + len(order.formats or format_names())


def make_plane(plan: Plan, order: Order, begin: Begin) -> Made:
    """Build a plane and write its files, telling each step as it begins.

    Raises CallError for names that do not exist, KernelError and OutputError as building and writing do.
    """
    from cad.outputs.write import write_product

    formats, remarks = _usable(order.formats)
    product = _build(plan, set(order.only), begin)
    merge = bool(order.only or order.formats)
    target = write_product(product, order.to, set(formats), merge, lambda kind: begin(f"writing {kind}"))
    return Made(tuple(_summary(product, target)), remarks)


def _usable(asked: Sequence[str]) -> tuple[list[str], tuple[str, ...]]:
    """Return the formats that this machine can write, and what is to be said of the others.

    Raises CallError when one that it cannot write is asked for.
    """
    from cad.outputs.formats import format_names, unavailable

    wanted = list(asked or format_names())
    missing = {name: why for name in wanted if (why := unavailable(name))}
    if asked and missing:
        raise CallError("; ".join(f"{name}: {why}" for name, why in missing.items()))
    remarks = tuple(f"{name} left out: {why}" for name, why in missing.items())
    return [name for name in wanted if name not in missing], remarks


def _build(plan: Plan, only: set[str], begin: Begin) -> Product:
    """Return the plane's parts and fixtures, or those of them that were asked for."""
    from cad.outputs.product import Product
    from cad.parts import build_part, part_names
    from fixtures.bench.model import Declined
    from fixtures.bench.workshop import build_fixture, fixture_names

    parts, names = part_names(), fixture_names()
    # A name that is neither part nor fixture may be one of a fixture's pieces: build them to know.
    pieces = only - {ASSEMBLY, *parts, *names}
    built = []
    for name in parts if not only or ASSEMBLY in only else sorted(only & set(parts)):
        begin(name)
        built.append(build_part(name, plan))
    fixtures: list[Fixture] = []
    declined: list[Declined] = []
    for name in names if not only or pieces else sorted(only & set(names)):
        begin(name)
        made = build_fixture(name, plan)
        if isinstance(made, Declined):
            declined.append(made)
        else:
            fixtures.append(made)
    if pieces:
        known = [piece.name for fixture in fixtures for piece in fixture.pieces]
        _known(sorted(pieces), [ASSEMBLY, *parts, *names, *known], "part, fixture or piece")
        fixtures = [_only(fixture, only) for fixture in fixtures]
        fixtures = [fixture for fixture in fixtures if fixture.pieces]
    return Product(plan, tuple(built), tuple(fixtures), tuple(declined), whole=not only)


def _only(fixture: Fixture, names: set[str]) -> Fixture:
    """Return a fixture with none but the pieces asked for, all when it was asked for itself."""
    if fixture.name in names:
        return fixture
    return replace(fixture, pieces=tuple(piece for piece in fixture.pieces if piece.name in names))


def _known(names: Iterable[str], known: Iterable[str], kind: str) -> None:
    """Raise CallError when one of the names is not among those known."""
    choices = sorted(set(known))
    for name in names:
        if name not in choices:
            near = get_close_matches(name, choices, 1)
            meant = f"did you mean {near[0]}? " if near else ""
            raise CallError(f"there is no {kind} named {name!r}: {meant}there are {', '.join(choices)}")


def _summary(product: Product, target: Path) -> Iterator[str]:
    """Yield what was written, where, and what to do next."""
    count = sum(1 for path in target.rglob("*") if path.is_file())
    yield f"{product.plan.spec.name}: {count} files in {target}"
    if product.assembly:
        yield f"  plane          {', '.join(part.name for part in product.parts)}"
    for fixture in product.fixtures:
        yield f"  {fixture.name:14} {', '.join(piece.name for piece in fixture.pieces)}"
    for declined in product.declined:
        yield f"  {declined.name:14} not made: {declined.reason}"
    for piece, reason in _off_sheet(target):
        yield f"  {piece:14} on no sheet: {reason}"
    if product.fixtures:
        yield "  Read the .txt beside each fixture before use: what to set, and what can hurt."
    yield "  Next: open plane.step in a viewer; run planewright prove on the spec before you print or cut."


def _off_sheet(target: Path) -> Iterator[tuple[str, str]]:
    """Yield the cut pieces that found no place on a sheet, and why, as the manifest just written has them."""
    from cad.outputs import manifest

    written = manifest.decoded((target / manifest.NAME).read_bytes())
    for entry in written["off_sheet"] if written else ():
        yield entry["piece"], entry["reason"]
