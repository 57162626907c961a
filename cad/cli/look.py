"""`planewright look`: every dimension and every check, without the CAD kernel."""

from __future__ import annotations

import json
from pathlib import Path

import typer

from cad.checks import run_checks
from cad.cli.failing import failing
from cad.cli.specs import read_any
from cad.cli.status import Status
from cad.family import Family
from cad.geometry import derive
from cad.report import look_json, look_text
from cad.report.lineup import lineup, lineup_text
from cad.spec import Spec


def look(file: Path, as_json: bool) -> Status:
    """Print what follows from a spec, or the planes of a family. Fails when one of the checks fails."""
    found = read_any(file)
    return _family(found, as_json) if isinstance(found, Family) else _plane(found, as_json)


def _plane(spec: Spec, as_json: bool) -> Status:
    plan = derive(spec)
    checks = run_checks(plan)
    if as_json:
        typer.echo(json.dumps(look_json(plan, checks), indent=2, ensure_ascii=False))
    else:
        typer.echo(look_text(plan, checks))
    return Status.FAILED if any(check.level == "fail" for check in checks) else Status.DONE


def _family(family: Family, as_json: bool) -> Status:
    plans = [derive(member.spec) for member in family.members]
    rows = lineup(plans)
    if as_json:
        planes = [look_json(plan, run_checks(plan)) for plan in plans]
        document = {"name": family.name, "unit": family.unit, "planes": planes}
        typer.echo(json.dumps(document, indent=2, ensure_ascii=False))
    else:
        typer.echo(lineup_text(family.name, rows, family.unit))
        faults = [line for plan in plans for line in failing(plan)]
        typer.echo("".join(f"\n{line}" for line in faults), nl=bool(faults))
    return Status.FAILED if any(row.fails for row in rows) else Status.DONE
