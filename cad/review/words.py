"""The words of the page: what the plane is, its dimensions in groups, and its checks, the worst first."""

from __future__ import annotations

from typing import Any

from cad.checks import LEVELS, run_checks
from cad.checks.check import Check
from cad.geometry import Plan
from cad.report.collect import dimensions
from cad.report.data import look_json
from cad.report.dimension import Dimension
from cad.review.places import place_of_check, place_of_dimension
from cad.units import UnitName

UNITS: tuple[UnitName, ...] = ("mm", "in")
# The group's key, its heading, and whether it lies open at first: what is cut in wood and steel does.
GROUPS: tuple[tuple[str, str, bool], ...] = (
    ("body", "Body", True),
    ("sole", "Sole", True),
    ("throat", "Throat and mouth", True),
    ("iron", "Iron", True),
    ("wedge", "Wedge", True),
    ("cheek", "Cheek plate", True),
    ("escapement", "Escapement", True),
    ("section", "Section across the plane", True),
    ("stages", "Lengths at each stage", False),
    ("sawing", "Sawing", False),
    ("sanding", "Sanding blocks", False),
    ("stock", "Wood to buy", False),
    ("wood", "Wood", False),
    ("shop", "Workshop", False),
    ("paper", "Papers", False),
)


def lede(plan: Plan) -> dict[str, str]:
    """Return what the plane is, in one line for each unit."""
    spec = plan.spec
    found = dimensions(plan)

    def line(unit: UnitName) -> str:
        width = found["sole.width"].shown(unit)
        radius = f"radius {found['sole.radius'].shown(unit)}, " if "sole.radius" in found else ""
        bed = found["throat.bed"].shown(unit)
        build = "laminated" if spec.body.build == "laminated" else "from one block"
        return (
            f"{spec.sole.form.capitalize()}, {radius}{width} wide, bed {bed}, {spec.body.hand} hand, {build}"
        )

    return {unit: line(unit) for unit in UNITS}


def dimension_groups(plan: Plan) -> list[dict[str, Any]]:
    """Return every dimension but name and unit in groups, each with its value in both units and its place."""
    found = {key: one for key, one in dimensions(plan).items() if "." in key}
    known = {name for name, _, _ in GROUPS}
    others = dict.fromkeys(key.split(".")[0] for key in found if key.split(".")[0] not in known)
    groups = [*GROUPS, *((name, name.capitalize(), False) for name in others)]
    return [
        {
            "key": name,
            "title": title,
            "open": is_open,
            "rows": [_row(key, one) for key, one in found.items() if key.split(".")[0] == name],
        }
        for name, title, is_open in groups
        if any(key.split(".")[0] == name for key in found)
    ]


def _row(key: str, one: Dimension) -> dict[str, Any]:
    label = key.split(".", 1)[1].replace("_", " ").replace(".", ", ")
    return {
        "key": key,
        "label": label[:1].upper() + label[1:],
        "shown": {unit: one.shown(unit) for unit in UNITS},
        "given": one.given,
        "reason": one.reason,
        "place": place_of_dimension(key),
    }


def check_rows(plan: Plan) -> list[dict[str, Any]]:
    """Return every check: those that do not hold first, the worst of them foremost."""
    found = sorted(run_checks(plan), key=lambda check: (check.holds, LEVELS.index(check.level)))
    told = look_json(plan, found)["checks"]
    return [{**row, **_check(check)} for check, row in zip(found, told, strict=True)]


def _check(check: Check) -> dict[str, Any]:
    subject, rest = check.id.split(".", 1)
    return {
        "label": f"{subject.replace('_', ' ').capitalize()}: {rest.replace('_', ' ')}",
        "shown": {
            unit: {"value": _amount(check, check.value, unit), "limit": _amount(check, check.limit, unit)}
            for unit in UNITS
        },
        "place": place_of_check(check.id),
    }


def _amount(check: Check, amount: float, unit: UnitName) -> str:
    return Dimension(check.unit, amount, False, "").shown(unit)
