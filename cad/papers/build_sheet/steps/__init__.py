"""The order of work, one file for each group of steps.

A module here offers `ORDER`, its place among the others, and `steps(bench) -> Iterator[Step]`.
"""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

from cad.papers.build_sheet.step import Bench, Step


def all_steps(bench: Bench) -> list[Step]:
    """Return every step in the order of work."""
    modules = [import_module(f"{__name__}.{found.name}") for found in iter_modules(__path__)]
    ordered = sorted(modules, key=lambda module: (module.ORDER, module.__name__))
    return [step for module in ordered for step in module.steps(bench)]
