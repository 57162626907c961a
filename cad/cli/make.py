"""`planewright make`: specs in, folders of files out, each whole or not at all."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from cad.checks import Check, run_checks
from cad.cli.interrupts import load_kernel
from cad.cli.progress import Progress
from cad.cli.status import Status, say
from cad.errors import CallError, Fault, SpecError
from cad.geometry import Plan, derive
from cad.spec import Spec, read_spec

if TYPE_CHECKING:
    from cad.outputs.product import Product
    from fixtures.bench.model import Fixture

ASSEMBLY = "plane"  # the name by which --only means the assembly of all parts


def make(
    files: Sequence[Path], to: Path, only: Sequence[str], formats: Sequence[str], anyway: bool
) -> Status:
    """Build every spec and write its files under `to`.

    All specs are read and checked before anything is built, so that a fault in one costs no time in another.
    Raises SpecError with every fault of every file, CallError for names that do not exist.
    """
    plans = [derive(spec) for spec in _read_all(files)]
    _refuse_namesakes(plans)
    failing = [(plan, check) for plan in plans for check in run_checks(plan) if check.level == "fail"]
    for plan, check in failing:
        say(_line(plan, check))
    if failing and not anyway:
        say("Nothing was written. Change the spec, or give --anyway to make it all the same.")
        return Status.FAILED

    # The kernel takes longer to load than all the rest: it is wanted only from here on.
    load_kernel()
    from cad.outputs.folder import check_target
    from cad.outputs.formats import format_names, unavailable

    _known(formats, format_names(), "format")
    missing = {name: why for name in formats or format_names() if (why := unavailable(name))}
    if formats and missing:
        raise CallError("; ".join(f"{name}: {why}" for name, why in missing.items()))
    for name, why in missing.items():
        say(f"{name} left out: {why}")
    usable = [name for name in formats or format_names() if name not in missing]
    for plan in plans:
        check_target(to, plan.spec.name)
    for plan in plans:
        _make_one(plan, to, only, usable, merge=bool(only or formats))
    return Status.FAILED if failing else Status.DONE


def _make_one(plan: Plan, to: Path, only: Sequence[str], formats: Sequence[str], merge: bool) -> None:
    from cad.outputs.write import write_product
    from cad.parts import part_names
    from fixtures.bench.workshop import fixture_names

    progress = Progress(len(part_names()) + len(fixture_names()) + len(formats))
    product = _build(plan, set(only), progress)

    def writing(kind: str) -> None:
        progress.begin(f"{plan.spec.name}: writing {kind}")

    target = write_product(product, to, set(formats), merge, writing)
    progress.end()
    typer.echo("\n".join(_summary(product, target)))


def _build(plan: Plan, only: set[str], progress: Progress) -> Product:
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
        progress.begin(f"{plan.spec.name}: {name}")
        built.append(build_part(name, plan))
    fixtures: list[Fixture] = []
    declined: list[Declined] = []
    for name in names if not only or pieces else sorted(only & set(names)):
        progress.begin(f"{plan.spec.name}: {name}")
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


def _read_all(files: Sequence[Path]) -> list[Spec]:
    """Return the specs of all files. Raises SpecError with the faults of every file that has some."""
    specs: list[Spec] = []
    faults: list[Fault] = []
    for file in files:
        try:
            specs.append(read_spec(file))
        except SpecError as error:
            faults += error.faults
    if faults:
        raise SpecError(faults)
    return specs


def _refuse_namesakes(plans: Iterable[Plan]) -> None:
    counts = Counter(plan.spec.name for plan in plans)
    twice = sorted(name for name, count in counts.items() if count > 1)
    if twice:
        raise CallError(
            f"two specs are named {', '.join(twice)} and would fill one folder: give each its own name"
        )


def _known(names: Iterable[str], known: Iterable[str], kind: str) -> None:
    """Raise CallError when one of the names is not among those known."""
    choices = sorted(set(known))
    for name in names:
        if name not in choices:
            near = get_close_matches(name, choices, 1)
            meant = f"did you mean {near[0]}? " if near else ""
            raise CallError(f"there is no {kind} named {name!r}: {meant}there are {', '.join(choices)}")


def _line(plan: Plan, check: Check) -> str:
    return f"{plan.spec.name}: {check.id} fails: {check.why}. {check.cure}"


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
