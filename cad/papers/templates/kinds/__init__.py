"""One file for each kind of template, found without a list.

A module here offers `templates(plan, fixtures) -> Iterator[Template]`. Shapes are drawn as the paper is seen
when it lies on its face of the wood, for the plane's own hand.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from importlib import import_module
from pkgutil import iter_modules
from typing import TYPE_CHECKING, Protocol, cast

from cad.geometry import Plan
from cad.papers.templates.block import Template

if TYPE_CHECKING:
    from fixtures.bench.model import Fixture


class Kind(Protocol):
    """What a module of this package offers."""

    def templates(self, plan: Plan, fixtures: Sequence[Fixture]) -> Iterator[Template]: ...


def templates(plan: Plan, fixtures: Sequence[Fixture]) -> list[Template]:
    """Return every template of a plane, those of its fixtures among them."""
    names = sorted(found.name for found in iter_modules(__path__))
    kinds = [cast(Kind, import_module(f"{__name__}.{name}")) for name in names]
    return [template for kind in kinds for template in kind.templates(plan, fixtures)]
