"""The parts of a plane as solids, one file each, all modelled where they sit in the finished plane.

Every module here offers `build(plan) -> Solid` for a right-hand plane and `COLOUR`. `build_parts` finds
them, mirrors a left-hand plane and checks each solid.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from types import ModuleType

from cadquery import Solid

from cad.geometry import Plan
from cad.kernel.shapes import checked, mirrored

Colour = tuple[float, float, float]


@dataclass(frozen=True)
class Part:
    """A named solid of the plane, with the colour it is shown in (red, green, blue; 0 to 1)."""

    name: str
    solid: Solid
    colour: Colour


def part_names() -> list[str]:
    """Return the names of the parts, which are the names of the modules here."""
    return sorted(module.name for module in pkgutil.iter_modules(__path__))


def build_part(name: str, plan: Plan) -> Part:
    """Return one part by name. Raises KernelError when its solid does not come out valid."""
    module = _module(name)
    build: Callable[[Plan], Solid] = module.build
    solid = build(plan)
    return Part(name, checked(mirrored(solid) if plan.is_left else solid, name), module.COLOUR)


def part_colour(name: str) -> Colour:
    """Return the colour a part is shown in."""
    colour: Colour = _module(name).COLOUR
    return colour


def build_parts(plan: Plan, names: Iterable[str] | None = None) -> list[Part]:
    """Return the named parts of a plane, or all of them."""
    return [build_part(name, plan) for name in (part_names() if names is None else names)]


def _module(name: str) -> ModuleType:
    return importlib.import_module(f"{__name__}.{name}")
