"""Programs for the router in `planewright prove`: run on paper, and what came of it in words and JSON."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from cad.cli.pairing import tidy
from cad.errors import CallError

MOST_BYTES = 8_000_000  # of a program: some hundred thousand moves

if TYPE_CHECKING:
    from cad.simulate.running import Ran, Simulated
    from cad.spec import Spec


def run_file(program: Path, spec: Spec, tell: Callable[[float], None]) -> Simulated:
    """Run a program from anywhere on the spec's sheet with the spec's straight cutter; no part is known.

    `tell` is told the share done. Raises CallError when the file cannot be read.
    """
    from cad.outputs.simulated import tool_of
    from cad.routing.model import Cutter
    from cad.simulate.job import Allowances, Job, Run, Stock
    from cad.simulate.running import CELL_MM, simulate

    text = _text_of(program)
    router = spec.shop.router
    tool = tool_of(Cutter("flat", router.cutter, router.flute_length))
    allowed = Allowances(into_bed_mm=router.through, beyond_mm=router.cutter)
    job = Job(Stock(*router.sheet), (Run(program.name, text, tool),), (), allowed, program.stem)
    return simulate(job, CELL_MM, tell)


def _text_of(program: Path) -> str:
    try:
        with program.open("rb") as stream:
            content = stream.read(MOST_BYTES + 1)
        text = content.decode("utf-8")
    except (OSError, ValueError) as error:
        raise CallError(f"{program} cannot be read: {error}") from error
    if len(content) > MOST_BYTES:
        raise CallError(f"{program} is larger than {MOST_BYTES} bytes: split it into programs of their own")
    return text


def simulated_json(done: Simulated) -> dict[str, object]:
    """Return what came of the programs for one piece of stock, as the JSON document of `prove` has it."""
    job, stock = done.job, done.job.stock
    return {
        "stock": job.name,
        "size_mm": [stock.length_mm, stock.width_mm, stock.thickness_mm],
        "parts": [part.name for part in job.parts],
        "cell_mm": done.wood.grid.cell_mm,
        "gouge_mm": tidy(done.gouge_mm),
        "left_mm": tidy(done.left_mm),
        "ridge_mm": tidy(done.ridge_mm),
        "programs": [_ran_json(ran) for ran in done.runs],
        "passes": done.passes,
    }


def _ran_json(ran: Ran) -> dict[str, object]:
    return {
        "program": ran.name,
        "moves": len(ran.moves),
        "minutes": tidy(ran.seconds / 60),
        "removed_cm3": tidy(ran.removed_mm3 / 1000),
        "findings": [
            {
                "kind": one.kind,
                "line": one.line,
                "place_mm": one.place and [tidy(value) for value in one.place],
                "amount_mm": tidy(one.amount_mm),
                "times": one.times,
                "words": one.words,
                "cure": one.cure,
            }
            for one in ran.findings
        ],
    }


def simulated_lines(done: Simulated) -> Iterator[str]:
    """Yield what came of the programs for one piece of stock."""
    job, allowed = done.job, done.job.allowances
    size = f"{job.stock.length_mm:g} × {job.stock.width_mm:g} × {job.stock.thickness_mm:g} mm"
    yield f"{job.name}, out of {size} on the router: {'proved' if done.passes else 'NOT PROVED'}"
    for ran in done.runs:
        rapid = any(one.kind == "rapid" for one in ran.findings)
        figures = f"{ran.seconds / 60:.1f} min, {ran.removed_mm3 / 1000:.1f} cm³ cut away"
        yield f"  runs                    {ran.name}: {figures}, {'' if rapid else 'no '}rapids through wood"
    if not job.parts:  # a program from anywhere, which was perhaps written for another cutter or stock
        for run in job.runs:
            cutter = f"a straight cutter of {run.tool.diameter_mm:g} mm (shop.router.cutter)"
            yield f"  run with                {cutter}"
    if job.parts:
        most = f"{allowed.gouge_mm:g} allowed"
        yield f"  cuts into its parts     {max(done.gouge_mm, 0):.3f} mm at most, {most}"
        most = f"{allowed.left_mm:g} allowed"
        yield f"  leaves on them          {max(done.left_mm, 0):.3f} mm at most, {most}"
    if allowed.scallop_mm:
        yield f"  ridges                  {done.ridge_mm:.3f} mm at most, {allowed.scallop_mm:g} asked for"
    for one in done.findings:
        yield f"  FAILS                   {one}"
