"""All that was built for one spec, as the formats take it."""

from __future__ import annotations

from dataclasses import dataclass

from cad.geometry import Plan
from cad.parts import Part
from fixtures.bench.model import Declined, Fixture


@dataclass(frozen=True)
class Product:
    """A plan with its solids: parts where they sit, fixtures where they sit on their work."""

    plan: Plan
    parts: tuple[Part, ...]
    fixtures: tuple[Fixture, ...]
    declined: tuple[Declined, ...] = ()
