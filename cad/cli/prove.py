"""`planewright prove`: each fixture laid on its work and measured, each router program run on paper."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from cad.cli.crew import Job
from cad.cli.interrupts import load_kernel
from cad.cli.jobs import run_jobs
from cad.cli.pairing import mating_json, mating_lines, paired, text_of, tidy
from cad.cli.programs import run_file, simulated_json, simulated_lines
from cad.cli.progress import Progress
from cad.cli.specs import read_any
from cad.cli.status import Status
from cad.family import Family
from cad.geometry import Plan, derive
from cad.spec import read_spec

if TYPE_CHECKING:
    from fixtures.bench.model import Fixture
    from fixtures.bench.print_proof import PrintProof
    from fixtures.bench.proof import ClampFigures, ClearanceFigures, ContactFigures, Proof


@dataclass(frozen=True)
class Proved:
    """What proving one plane came to: as JSON document, in lines for the maker, and whether all holds."""

    document: Mapping[str, object]
    lines: tuple[str, ...]
    passes: bool


def prove(file: Path, as_json: bool) -> Status:
    """Print what fixtures and programs do, for each plane of the file. Fails when one is not proved."""
    found = read_any(file)
    if isinstance(found, Family):
        return _family(found, file, as_json)
    plan = derive(found)
    load_kernel()
    progress = Progress(steps())
    proved = prove_plane(plan, text_of(file), str(file), progress.begin, progress.within)
    progress.end()
    typer.echo(_dumped(proved.document) if as_json else "\n".join(proved.lines))
    return Status.DONE if proved.passes else Status.FAILED


def prove_program(file: Path, program: Path, as_json: bool) -> Status:
    """Print what a program for the router does to a spec's sheet. Fails when something is wrong with it."""
    spec = read_spec(file)
    load_kernel()
    progress = Progress(1)
    progress.begin(f"running {program.name}")
    done = run_file(program, spec, lambda share: progress.within(f"running {program.name}", share))
    progress.end()
    typer.echo(_dumped(simulated_json(done)) if as_json else "\n".join(simulated_lines(done)))
    return Status.DONE if done.passes else Status.FAILED


def _family(family: Family, file: Path, as_json: bool) -> Status:
    """Prove the planes of a family side by side, and tell of them in their order."""
    jobs = [
        Job(member.spec.name, partial(prove_plane, derive(member.spec), member.text, str(file)))
        for member in family.members
    ]
    made = run_jobs(jobs, workers=0)
    found: dict[str, Proved] = {jobs[at].name: made.values[at] for at in sorted(made.values)}
    if as_json:
        planes = [proved.document for proved in found.values()]
        typer.echo(_dumped({"name": family.name, "planes": planes}))
    else:
        for name, proved in found.items():
            typer.echo("\n".join([name, *(f"  {line}" for line in proved.lines)]))
    held = all(proved.passes for proved in found.values())
    return max(made.status, Status.DONE if held else Status.FAILED)


def _dumped(document: Mapping[str, object]) -> str:
    return json.dumps(document, indent=2, ensure_ascii=False)


def steps() -> int:
    """Return how many steps `prove_plane` begins. Needs the kernel."""
    from fixtures.bench.workshop import fixture_names

    return len(fixture_names()) + 2


def _untold(what: str, share: float) -> None:
    """Tell nobody."""


def prove_plane(
    plan: Plan,
    text: str,
    file: str,
    begin: Callable[[str], None],
    within: Callable[[str, float], None] = _untold,
) -> Proved:
    """Return what each fixture and each program of a plane does, telling each step as it begins.

    `text` is the plane's spec and `file` where it is from: the mate's is written from them. `within` is told
    what share of a long step is done.
    """
    from cad.outputs.meshes import Meshes
    from cad.outputs.product import Product
    from cad.outputs.simulated import finely_run
    from fixtures.bench.model import Declined
    from fixtures.bench.print_proof import prove_prints
    from fixtures.bench.proof import prove as prove_fixture
    from fixtures.bench.workshop import build_fixture, fixture_names

    proofs: list[tuple[Proof, PrintProof]] = []
    fixtures: list[Fixture] = []
    declined: list[Declined] = []
    for name in fixture_names():
        begin(f"proving {name}")
        fixture = build_fixture(name, plan, lettered=False)
        if isinstance(fixture, Declined):
            declined.append(fixture)
        else:
            fixtures.append(fixture)
            proofs.append((prove_fixture(fixture, plan), prove_prints(fixture, plan)))
    begin("writing programs for the router")
    made = Product(plan, (), tuple(fixtures), tuple(declined))
    programs = finely_run(made, Meshes(), lambda name, share: within(f"running programs: {name}", share))
    begin("laying the mate on it")
    mate = paired(plan, text, file)
    document = {
        "name": plan.spec.name,
        "fixtures": [proof_json(*pair) for pair in proofs],
        "declined": [{"fixture": one.name, "reason": one.reason} for one in declined],
        "mate": mating_json(mate),
        "router": [simulated_json(one) for one in programs.simulated],
        "no_program": [{"stock": name, "reason": why} for name, why in programs.routing.refused.items()],
    }
    lines = [line for pair in proofs for line in _lines(*pair)]
    lines += [f"{one.name}: not made: {one.reason}" for one in declined]
    lines += mating_lines(mate)
    lines += [line for one in programs.simulated for line in simulated_lines(one)]
    lines += [f"{name}: no program: {why}" for name, why in programs.routing.refused.items()]
    proved = (*(one for pair in proofs for one in pair), *programs.simulated)
    passes = all(one.passes for one in proved) and (isinstance(mate, str) or mate.passes)
    return Proved(document, tuple(lines), passes)


def proof_json(proof: Proof, prints: PrintProof) -> dict[str, object]:
    """Return a proof as the JSON document of `prove --json` has it."""
    from fixtures.bench.joining import join_json
    from fixtures.bench.print_report import print_json

    return {
        "fixture": proof.fixture,
        "work": proof.work,
        "stage": str(proof.stage),
        "shared_mm3": tidy(proof.shared_mm3),
        "contacts": [
            {"name": c.name, "set_up": c.set_up, "gap_mm": tidy(c.gap_mm), "area_mm2": tidy(c.area_mm2)}
            for c in proof.contacts
        ],
        "clearance_mm": {f"{c.name} ({c.set_up})": tidy(c.mm) for c in proof.clearances},
        "tool_hits_mm3": tidy(proof.tool_hits_mm3),
        "cuts": [
            {
                "face": c.face,
                "angle_deg": None if c.angle_deg is None else tidy(c.angle_deg),
                "angle_error_deg": tidy(c.angle_error_deg),
                "offset_mm": tidy(c.offset_mm),
                "depth_error_mm": tidy(c.depth_error_mm),
            }
            for c in proof.cuts
        ],
        "clamps": [
            {
                "name": c.name,
                "set_up": c.set_up,
                "seated": tidy(c.seated),
                "blocked_mm3": tidy(c.blocked_mm3),
            }
            for c in proof.clamps
        ],
        "readings": [
            {
                "name": one.reading.name,
                "set_up": one.set_up,
                "unit": one.reading.unit,
                "value": tidy(one.reading.value),
                "wanted": tidy(one.reading.wanted),
            }
            for one in proof.readings
        ],
        "prints": [print_json(one) for one in prints.prints],
        "joins": [join_json(one) for one in prints.joins],
        "passes": proof.passes and prints.passes,
        "failures": [*proof.failures, *prints.failures],
    }


def _lines(proof: Proof, prints: PrintProof) -> Iterator[str]:
    from fixtures.bench.model import work_words

    on = work_words(proof.work, proof.stage)
    yield f"{proof.fixture}, on the {on}: {'proved' if proof.passes and prints.passes else 'NOT PROVED'}"
    yield f"  shared with the work    {proof.shared_mm3:.3f} mm³"
    for contact in proof.contacts:
        area = f"{contact.area_mm2:.0f} mm²"
        yield f"  touches                 {_at(contact)}: {area}, gap {contact.gap_mm:.3f} mm"
    for clear in proof.clearances:
        least = f"at least {clear.least_mm:.3f} wanted"
        yield f"  clears                  {_at(clear)}: {clear.mm:.3f} mm, {least}"
    for made in proof.cuts:
        lean = f" at {made.angle_deg:.4f}° (off by {made.angle_error_deg:.4f}°)" if made.angle_deg else ""
        yield f"  cuts                    {made.face}{lean}, {made.offset_mm:.4f} mm from its place"
    for clamp in proof.clamps:
        yield f"  takes                   {_at(clamp)}: {clamp.seated:.0%} of its pad seated"
    for one in proof.readings:
        read = one.reading
        sizes = f"{read.value:.4f} {read.unit}, {read.wanted:.4f} wanted"
        yield f"  reads                   {read.name} ({one.set_up}): {sizes}"
    if proof.cuts:
        yield f"  tool in wood or fixture {proof.tool_hits_mm3:.3f} mm³"
    for print_ in prints.prints:
        wall = f", walls from {print_.wall.mm:.2f} mm" if print_.wall else ""
        yield f"  prints                  {print_.piece}: {print_.mass_g:.0f} g{wall}"
    for join in prints.joins:
        yield f"  goes together           {join.piece}: {len(join.parts)} parts"
    for failure in (*proof.failures, *prints.failures):
        yield f"  FAILS                   {failure}"


def _at(figures: ContactFigures | ClearanceFigures | ClampFigures) -> str:
    return f"{figures.name} ({figures.set_up})"
