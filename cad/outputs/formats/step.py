"""STEP: the plane as an assembly, each part, and each piece of a fixture where it stands on its work."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from cad.kernel.step import Body, Colour, assembly, single
from cad.outputs.files import OutFile
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from fixtures.bench.sharing import fixture_likeness

PIECE_COLOURS: dict[str, Colour] = {"printed": (0.30, 0.47, 0.62), "cut": (0.77, 0.71, 0.58)}


def files(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield plane.step, in mm and in the plane's own frame, as all the others."""
    bodies = [Body(part.name, part.solid, part.colour) for part in product.assembly]
    if bodies:
        data = assembly(product.plan.spec.name, bodies)
        yield OutFile("plane.step", data, measure=meshes.measure(*(body.solid for body in bodies)))


def each(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield parts/*.step and fixtures/*.step."""
    for part in product.parts:
        yield _file("parts", Body(part.name, part.solid, part.colour), meshes)
    for fixture in product.fixtures:
        alike = (fixture.name, fixture_likeness(fixture))
        for piece in fixture.pieces:
            file = _file("fixtures", Body(piece.name, piece.solid, PIECE_COLOURS[piece.made]), meshes)
            yield replace(file, fixture=alike)


def _file(folder: str, body: Body, meshes: Meshes) -> OutFile:
    return OutFile(f"{folder}/{body.name}.step", single(body), body.name, meshes.measure(body.solid))
