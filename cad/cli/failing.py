"""The checks that a plane fails, in words."""

from __future__ import annotations

from cad.checks import run_checks
from cad.geometry import Plan


def failing(plan: Plan) -> list[str]:
    """Return one line for each check that fails: the plane, the check, why and what to change."""
    return [
        f"{plan.spec.name}: {check.id} fails: {check.why}. {check.cure}"
        for check in run_checks(plan)
        if check.level == "fail"
    ]
