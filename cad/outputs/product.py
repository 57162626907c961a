"""All that was built for one spec, as the formats take it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cad.geometry import Plan
from cad.parts import Part, part_names
from fixtures.bench.model import Declined, Fixture, Piece

WASTE = "throat"  # a void shown as a solid: no part of the plane


@dataclass(frozen=True)
class Product:
    """A plan with its solids: parts where they sit, fixtures where they sit on their work."""

    plan: Plan
    parts: Sequence[Part]
    fixtures: Sequence[Fixture]
    declined: Sequence[Declined] = ()
    whole: bool = True  # all parts and fixtures, not some that were asked for by name

    @property
    def assembly(self) -> tuple[Part, ...]:
        """Return the parts of the finished plane, or none when not all of them were built."""
        found = tuple(part for part in self.parts if part.name != WASTE)
        missing = set(part_names()) - {WASTE} - {part.name for part in found}
        return () if missing else found

    def pieces(self) -> Iterator[Piece]:
        """Yield every piece of every fixture."""
        for fixture in self.fixtures:
            yield from fixture.pieces

    def alone(self) -> Iterator[Product]:
        """Yield every part, then every fixture, as a product that holds nothing else."""
        for part in self.parts:
            yield Product(self.plan, (part,), (), whole=False)
        for fixture in self.fixtures:
            yield Product(self.plan, (), (fixture,), whole=False)
