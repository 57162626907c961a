"""What a plane's numbers say about how it will work: one file per subject, without the CAD kernel.

A module here is a subject when it defines `checks(plan)`, which yields its checks in the order in which a
maker would look at them. Subjects are found by their files; a new one is a new file.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from cad.checks.bench import cured_at_bench
from cad.checks.check import LEVELS, Check, Level
from cad.geometry import Plan

__all__ = ["LEVELS", "Check", "Level", "run_checks", "subjects"]

Subject = Callable[[Plan], Iterator[Check]]


@cache
def subjects() -> tuple[Subject, ...]:
    """Return the subjects found in this package, by the names of their files."""
    modules = (import_module(f"{__name__}.{found.name}") for found in iter_modules(__path__))
    return tuple(module.checks for module in modules if hasattr(module, "checks"))


def run_checks(plan: Plan) -> list[Check]:
    """Return every check of a plan, those that hold among them."""
    return [cured_at_bench(plan, check) for subject in subjects() for check in subject(plan)]
