"""`planewright look`: every dimension and every check, without the CAD kernel."""

from __future__ import annotations

import json
from pathlib import Path

import typer

from cad.checks import run_checks
from cad.cli.status import Status
from cad.geometry import derive
from cad.report import look_json, look_text
from cad.spec import read_spec


def look(file: Path, as_json: bool) -> Status:
    """Print what follows from a spec. Fails when one of its checks fails."""
    plan = derive(read_spec(file))
    checks = run_checks(plan)
    if as_json:
        typer.echo(json.dumps(look_json(plan, checks), indent=2, ensure_ascii=False))
    else:
        typer.echo(look_text(plan, checks))
    return Status.FAILED if any(check.level == "fail" for check in checks) else Status.DONE
