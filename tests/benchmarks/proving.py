"""Two ways to measure what two solids share: by the kernel's booleans, and by booleans of their meshes.

Called with a spec file; prints for each case the volume known beforehand, what each way finds, and its time.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from time import perf_counter

import manifold3d
import numpy as np
from cadquery import Solid

from cad.geometry import Plan, derive
from cad.geometry.stages import Stage
from cad.kernel.measure import shared_mm3
from cad.kernel.mesh import tessellate
from cad.parts.body import at_stage, throat_prism, work_at_stage
from cad.spec import read_spec
from fixtures.bench.workshop import build_fixtures

FIXTURES = ("saw_guide", "sled", "sanding_blocks")


def by_mesh(one: Solid, two: Solid) -> float:
    """Return the volume that two solids share, in mm³, by way of their triangles."""
    return float((manifold(one) ^ manifold(two)).volume())


def manifold(solid: Solid) -> manifold3d.Manifold:
    mesh = tessellate(solid)
    triangles = manifold3d.Mesh(mesh.points.astype(np.float32), mesh.triangles.astype(np.uint32))
    triangles.merge()
    return manifold3d.Manifold(triangles)


def cases(plan: Plan) -> Iterator[tuple[str, float, list[tuple[Solid, Solid]]]]:
    """Yield name, volume known beforehand and pairs of solids that share it together."""
    body = work_at_stage(plan, Stage.SOLE_SHAPED)
    found, _ = build_fixtures(plan, FIXTURES, lettered=False)
    pieces = [piece.solid for fixture in found for piece in fixture.pieces]
    yield "pieces of three fixtures on the body: they touch", 0.0, [(piece, body) for piece in pieces]

    around = work_at_stage(plan, Stage.RABBETED).cut(body).Solids()
    yield "the body in the waste of its sole: curved faces alike", 0.0, [(body, waste) for waste in around]

    whole, sawn = at_stage(plan, Stage.SOLE_SHAPED), at_stage(plan, Stage.THROAT_SAWN)
    yield "the throat in the body", whole.Volume() - sawn.Volume(), [(whole, throat_prism(plan))]


def timed(way: Callable[[Solid, Solid], float], pairs: list[tuple[Solid, Solid]]) -> dict[str, float]:
    """Return what a way finds, on copies that were never meshed, and the time it takes."""
    copies = [(one.copy(), two.copy()) for one, two in pairs]
    start = perf_counter()
    found = sum(way(one, two) for one, two in copies)
    return {"mm3": found, "s": perf_counter() - start}


def main() -> None:
    rows = [
        {"case": name, "known": known, "kernel": timed(shared_mm3, pairs), "mesh": timed(by_mesh, pairs)}
        for name, known, pairs in cases(derive(read_spec(sys.argv[1])))
    ]
    print(json.dumps(rows))


if __name__ == "__main__":
    main()
