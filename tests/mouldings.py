"""Planes whose soles are mouldings, for tests: each form as its starter has it, or changed key by key."""

from __future__ import annotations

from cad.geometry import Plan
from cad.soles import forms
from tests.sample_planes import plan_of

MOULDINGS = [form for form, module in forms().items() if module.SIZE.key == "sole.width"]
# One build of each kind for every form, so that hands, units and joints are all met with.
BUILDS: dict[str, dict[str, object]] = {
    form: {
        "body.hand": ("right", "left")[i % 2],
        "body.build": ("solid", "laminated")[i // 2 % 2],
        "unit": ("mm", "in")[i % 3 % 2],
        "throat.bed": (45, 50, 55, 60)[i % 4],
    }
    for i, form in enumerate(MOULDINGS)
}


def moulding(form: str, width: float = 20, **changes: object) -> Plan:
    """Return the plan of a moulding plane so wide, in mm; keys of the sole by their names, floats in mm."""
    written = {name: f"{value} mm" if isinstance(value, float) else value for name, value in changes.items()}
    return built(form, width, {f"sole.{name}": value for name, value in written.items()})


def built(form: str, width: float, changes: dict[str, object]) -> Plan:
    """Return the plan of a moulding plane with keys changed by their dotted names."""
    return plan_of({"sole.form": form, "sole.radius": None, "sole.width": f"{width} mm", **changes})
