"""`planewright make`: specs in, folders of files out, each whole or not at all."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from functools import partial
from pathlib import Path

import typer

from cad.cli.crew import Job, cores
from cad.cli.failing import failing
from cad.cli.families import family_lines, row_job
from cad.cli.interrupts import load_kernel
from cad.cli.jobs import run_jobs
from cad.cli.plane import Order, make_plane, refuse_wrong, remarks, wish
from cad.cli.progress import Progress
from cad.cli.sharing import HANDS, shared
from cad.cli.specs import read_all
from cad.cli.status import Status, say
from cad.errors import CallError
from cad.family import Family
from cad.geometry import Plan, derive
from cad.outputs.again import unchanged
from cad.outputs.standing import family_stands
from cad.spec import Spec


def make(
    files: Sequence[Path], to: Path, only: Sequence[str], formats: Sequence[str], anyway: bool, workers: int
) -> Status:
    """Build every spec and write its files under `to`, on so many processes: several specs side by side, or
    the parts and fixtures of one.

    All specs are read and checked before anything is built, so that a fault in one costs no time in another.
    Raises SpecError with every fault of every file, CallError for names that do not exist.
    """
    found = read_all(files)
    plans = [derive(spec) for one in found for spec in _specs(one)]
    families = [one for one in found if isinstance(one, Family)]
    _refuse_namesakes([*(plan.spec.name for plan in plans), *(family.name for family in families)])
    faults = [line for plan in plans for line in failing(plan)]
    for line in faults:
        say(line)
    if faults and not anyway:
        say("Nothing was written. Change the spec, or give --anyway to make it all the same.")
        return Status.FAILED
    order = Order(to, tuple(only), tuple(formats))
    refuse_wrong(order, [*(plan.spec.name for plan in plans), *(family.name for family in families)])
    todo = [plan for plan in plans if not _stands(plan, order)]
    pages = [family for family in families if not _page_stands(family, order)]
    if len(found) == 1 and not families:
        made = _one(todo[0], order, workers) if todo else Status.DONE
    else:
        made = _several(plans, todo, pages, order, workers) if todo or pages else Status.DONE
    return max(made, Status.FAILED if faults else Status.DONE)


def _stands(plan: Plan, order: Order) -> bool:
    """Return whether all that is wanted of a plane is there already, and say so."""
    found = unchanged(wish(plan, order))
    if found is None:
        return False
    for remark in remarks(found):
        say(remark)
    what = "nothing changed but the text of the spec" if found.written else "nothing changed"
    say(f"{plan.spec.name}: {what}; {found.kept} files stand in {found.folder}")
    return True


def _page_stands(family: Family, order: Order) -> bool:
    """Return whether the page of a family need not be made: it stands, or is not wanted."""
    if order.only or order.formats:
        return True
    if not family_stands(family, order.to):
        return False
    say(f"{family.name}: nothing changed; the family's page stands in {order.to / family.name}")
    return True


def _one(plan: Plan, order: Order, workers: int) -> Status:
    # The kernel takes longer to load than all the rest: it is wanted only from here on.
    load_kernel()
    progress = Progress(1)
    hands = workers or min(cores(), HANDS)

    def begin(what: str) -> None:
        progress.show(f"{plan.spec.name}: {what}")

    try:
        made = make_plane(plan, order, begin, shared(progress, begin, hands))
    finally:
        progress.end()
    for remark in made.remarks:
        say(remark)
    typer.echo("\n".join(made.lines))
    return Status.DONE


def _several(
    plans: Sequence[Plan], todo: Sequence[Plan], pages: Sequence[Family], order: Order, workers: int
) -> Status:
    """Make planes side by side, each reported as it is made, and summed up in the order of the specs.

    `todo` are the plans that do not stand. The page of a family is written when its planes are there.
    """
    rows = [row_job(family, _plans_of(family, plans)) for family in pages]
    jobs = [*rows, *(Job(plan.spec.name, partial(make_plane, plan, order)) for plan in todo)]
    made = run_jobs(jobs, workers)
    planes = {jobs[at].name: value for at, value in sorted(made.values.items()) if at >= len(rows)}
    for remark in dict.fromkeys(remark for one in planes.values() for remark in one.remarks):
        say(remark)
    of_families = {member.spec.name for family in pages for member in family.members}
    for name, plane in planes.items():
        typer.echo("\n".join(plane.lines[:1] if name in of_families else plane.lines))
    unmade = {plan.spec.name for plan in todo} - set(planes)
    for at, family in enumerate(pages):
        missing = [member.spec.name for member in family.members if member.spec.name in unmade]
        if missing or at not in made.values:
            why = f"{', '.join(missing)} not made" if missing else "its row could not be drawn"
            say(f"{family.name}: the family's page is left as it was: {why}")
        else:
            typer.echo("\n".join(family_lines(family, _plans_of(family, plans), order.to, made.values[at])))
    return made.status


def _plans_of(family: Family, plans: Iterable[Plan]) -> list[Plan]:
    names = {member.spec.name for member in family.members}
    return [plan for plan in plans if plan.spec.name in names]


def _specs(found: Spec | Family) -> list[Spec]:
    return [member.spec for member in found.members] if isinstance(found, Family) else [found]


def _refuse_namesakes(names: Iterable[str]) -> None:
    twice = sorted(name for name, count in Counter(names).items() if count > 1)
    if twice:
        raise CallError(
            f"two specs are named {', '.join(twice)} and would fill one folder: give each its own name"
        )
