"""`planewright look`: every dimension and every check, without the CAD kernel."""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import typer

from cad.checks import Check, run_checks
from cad.cli.failing import failing
from cad.cli.specs import read_any
from cad.cli.status import Status
from cad.family import Family
from cad.geometry import Plan, derive
from cad.report import look_json, look_text
from cad.report.lineup import lineup, lineup_text
from cad.spec import Spec


def look(file: Path, as_json: bool, with_study: bool) -> Status:
    """Print what follows from a spec, or the planes of a family, and what the shop's errors do when asked.

    Fails when one of the checks fails.
    """
    found = read_any(file)
    if isinstance(found, Family):
        return _family(found, as_json, with_study)
    return _plane(found, as_json, with_study)


def _plane(spec: Spec, as_json: bool, with_study: bool) -> Status:
    plan = derive(spec)
    checks = run_checks(plan)
    if as_json:
        typer.echo(json.dumps(_document(plan, checks, with_study), indent=2, ensure_ascii=False))
    else:
        typer.echo(look_text(plan, checks))
        if with_study:
            typer.echo(f"\n{_study_text(plan)}")
    return Status.FAILED if any(check.level == "fail" for check in checks) else Status.DONE


def _document(plan: Plan, checks: Iterable[Check], with_study: bool) -> dict[str, Any]:
    document = look_json(plan, checks)
    if with_study:
        from cad.report.study import study_json  # few want it

        document["study"] = study_json(plan)
    return document


def _study_text(plan: Plan) -> str:
    from cad.report.study import study_text  # few want it

    return study_text(plan)


def _family(family: Family, as_json: bool, with_study: bool) -> Status:
    plans = [derive(member.spec) for member in family.members]
    rows = lineup(plans)
    if as_json:
        planes = [_document(plan, run_checks(plan), with_study) for plan in plans]
        document = {"name": family.name, "unit": family.unit, "planes": planes}
        typer.echo(json.dumps(document, indent=2, ensure_ascii=False))
    else:
        typer.echo(lineup_text(family.name, rows, family.unit))
        faults = [line for plan in plans for line in failing(plan)]
        typer.echo("".join(f"\n{line}" for line in faults), nl=bool(faults))
        if with_study:
            typer.echo("".join(f"\n{plan.spec.name}\n{_study_text(plan)}\n" for plan in plans), nl=False)
    return Status.FAILED if any(row.fails for row in rows) else Status.DONE
