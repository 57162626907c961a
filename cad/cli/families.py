"""What `make` does for a family besides its planes: the picture of the row, and the folder of the family."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from cad.cli.crew import Job, Tell
from cad.family import Family
from cad.geometry import Plan


def row_job(family: Family, plans: Sequence[Plan]) -> Job:
    """Return the job that draws the row of a family, PNG, or nothing on a machine that cannot draw."""
    return Job(f"{family.name}, the row", partial(_row, family.name, plans))


def _row(name: str, plans: Sequence[Plan], tell: Tell) -> bytes | None:
    from cad.outputs.formats import unavailable

    if unavailable("pictures"):
        return None
    from cad.outputs.meshes import Meshes
    from cad.pictures import row
    from cad.pictures.camera import Camera

    tell("drawing")
    return Camera(Meshes().of).take(row.picture(name, plans))


def family_lines(family: Family, plans: Sequence[Plan], to: Path, row: bytes | None) -> list[str]:
    """Write the folder of a family and return what is to be said of it. Raises OutputError."""
    from cad.outputs.family import declined_in, fixtures_in, shared_fixtures, write_family

    target = write_family(family, plans, to, row)
    shared = shared_fixtures({plan.spec.name: fixtures_in(to / plan.spec.name) for plan in plans})
    spared = sum(len(one.planes) - 1 for one in shared)
    left_out = sum(len(declined_in(to / plan.spec.name)) for plan in plans)
    page = target / "family.html"
    return [
        f"{family.name}: {len(plans)} planes, the family's page in {target}",
        f"  fixtures that serve several planes: {len(shared)}, which spares {spared}: see {page}",
        *(
            [f"  fixtures that could not be made for their planes: {left_out}: see {page}"]
            if left_out
            else []
        ),
    ]
