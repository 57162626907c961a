"""`look --json`: the report as one JSON document."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from cad.checks import Check
from cad.geometry import Plan
from cad.report.bench import bench_json
from cad.report.collect import dimensions
from cad.report.dimension import Dimension

PLACES = 9  # beyond this a float holds only dust


def look_json(plan: Plan, checks: Iterable[Check]) -> dict[str, Any]:
    """Return the report ready for json.dumps.

    A dimension holds its value under "mm", "deg", "percent", "number" or "text"; several values stand in
    "list", with "of" for their kind. A check says besides whether it holds, its unit and bound. "bench" is
    there once something was measured.
    """
    return {
        "name": plan.spec.name,
        "unit": plan.spec.unit,
        "dimensions": {key: _dimension(one) for key, one in dimensions(plan).items()},
        "checks": [_check(check) for check in checks],
        **({"bench": bench} if (bench := bench_json(plan)) else {}),
    }


def _dimension(one: Dimension) -> dict[str, Any]:
    items = [item if isinstance(item, str) else round(item, PLACES) for item in one.items]
    value: dict[str, Any] = (
        {"list": items, "of": one.kind} if isinstance(one.value, tuple) else {one.kind: items[0]}
    )
    return {**value, "given": one.given, "reason": one.reason}


def _check(check: Check) -> dict[str, Any]:
    return {
        "id": check.id,
        "level": check.level,
        "holds": check.holds,
        "value": round(check.value, PLACES),
        "unit": check.unit,
        "bound": check.bound,
        "limit": round(check.limit, PLACES),
        "source": check.source,
        "why": check.why,
        "cure": check.cure,
    }
