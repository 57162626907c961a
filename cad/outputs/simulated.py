"""The programs for the router run on paper, against the solids that must remain, before they are written."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import sqrt

import numpy as np

from cad.errors import ProgramError
from cad.kernel.mesh import CHORD_MM
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.outputs.routed import Routed, Routing, routing
from cad.routing.model import POINT_DEG, Cutter
from cad.simulate.job import Allowances, Job, Part, Run, Spared, Stock, Tool
from cad.simulate.running import CELL_MM, Simulated, simulate

COARSE_MM = 0.6
QUICK_CELLS = 250_000  # of the stock, for a look that costs less than a second


@dataclass(frozen=True, eq=False)
class Programs:
    """What the router cuts of a product, and what came of running it on paper."""

    routing: Routing
    simulated: tuple[Simulated, ...]


def sound_programs(product: Product, meshes: Meshes) -> Programs:
    """Return the programs of a product, run quickly. Raises ProgramError with all that is wrong with them."""
    found = routing(product, meshes)
    done = tuple(_quickly_run(one, meshes) for one in found.routed)
    faults = [str(one) for each in done for one in each.findings]
    if faults:
        raise ProgramError(faults)
    return Programs(found, done)


def _quickly_run(routed: Routed, meshes: Meshes) -> Simulated:
    job = job_of(routed, meshes)

    def run() -> Simulated:
        return simulate(job, quick_cell_mm(job))

    # The same texts on the same solids: several formats ask for them, each with a product of its own.
    shapes = tuple((part.name, part.points.tobytes(), part.triangles.tobytes()) for part in job.parts)
    return meshes.kept((job.stock, job.runs, job.allowances, job.name, shapes), run)


def finely_run(product: Product, meshes: Meshes, tell: Callable[[str, float], None]) -> Programs:
    """Return the programs of a product, sound or not, run on cells of 0.2 mm.

    `tell` is told the name of the piece of stock in hand, and what share of all of them is done.
    """
    found = routing(product, meshes)

    def run(number: int, job: Job) -> Simulated:
        return simulate(job, CELL_MM, lambda share: tell(job.name, (number + share) / len(found.routed)))

    return Programs(found, tuple(run(i, job_of(one, meshes)) for i, one in enumerate(found.routed)))


def job_of(routed: Routed, meshes: Meshes) -> Job:
    """Return the job of simulating the programs for one piece of stock.

    What must remain is meshed from the solids where they lie in the stock. Of the programs only the text is
    used, and of what their writer says its stock, its cutters and what it leaves on purpose.
    """
    holding = routed.holding
    stock = Stock(holding.stock.length, holding.stock.width, holding.stock.thickness)
    allowances = Allowances(
        # The bottom of a trough is level in its mesh: ridges are left there as on its slopes.
        left_mm=max(Allowances.left_mm, holding.scallop),
        scallop_mm=holding.scallop,
        mesh_mm=CHORD_MM,
        into_bed_mm=holding.into_bed,
        beyond_mm=holding.beyond,
        spared=tuple(Spared(one.why, one.ring, one.top) for one in holding.spared),
    )
    solids = ((name, meshes.of(solid)) for name, solid in sorted(routed.solids.items()))
    parts = tuple(Part(name, mesh.points, mesh.triangles.astype(np.int64)) for name, mesh in solids)
    runs = tuple(Run(f"{one.name}.ngc", one.text, tool_of(one.cutter)) for one in holding.programs)
    return Job(stock, runs, parts, allowances, holding.name)


def tool_of(cutter: Cutter) -> Tool:
    """Return a cutter as the simulator knows it: none but a drill is trusted to cut in its centre."""
    drill = cutter.shape == "drill"
    angle = POINT_DEG if drill else 0.0
    return Tool(cutter.name, cutter.shape, cutter.diameter, cutter.flute_length, drill, angle)


def quick_cell_mm(job: Job) -> float:
    """Return the side of cells for a quick look: no cutter passes unseen between their middles."""
    finest = min((run.tool.radius_mm for run in job.runs), default=COARSE_MM) / 2
    quick = sqrt(job.stock.length_mm * job.stock.width_mm / QUICK_CELLS)
    return max(min(max(quick, COARSE_MM), finest), CELL_MM)
