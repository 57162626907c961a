"""Planes partly made: plans with measurements, and what is said of them."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from cad.checks import Check, run_checks
from cad.errors import Fault, SpecError
from cad.geometry import Plan
from cad.geometry.bench import Effect
from tests.sample_planes import plan_of


def cut(found: Mapping[str, object], **plan: object) -> Plan:
    """Return the plain round with some things measured, keys of the plan written with two underscores."""
    keys = {key.replace("__", "."): value for key, value in plan.items()}
    return plan_of({**keys, **{f"measured.{name}": value for name, value in found.items()}})


def fault(found: Mapping[str, object], **plan: object) -> Fault:
    with pytest.raises(SpecError) as caught:
        cut(found, **plan)
    (one,) = caught.value.faults
    return one


def check(plan: Plan, name: str) -> Check:
    return next(one for one in run_checks(plan) if one.id == name)


def effects(found: tuple[Effect, ...]) -> dict[str, float]:
    return {one.id: one.built for one in found}
