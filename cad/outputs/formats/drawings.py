"""Measured drawings: papers/drawings.pdf, and each sheet for editing as papers/drawings/<sheet>.svg, .dxf."""

from __future__ import annotations

from collections.abc import Iterator

from cad.outputs.files import OutFile
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.papers.drawings.book import book_pdf, leaves
from cad.papers.drawings.subject import LaidFixture, LaidPiece, Subject
from fixtures.bench.model import Fixture, work_words

FOLDER = "papers/drawings"


def files(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield the set of drawings as one document and every sheet as SVG and DXF; nothing of half a plane."""
    if not product.whole or not product.assembly:
        return
    subject = subject_of(product, meshes)
    drawn = leaves(subject)
    yield OutFile(f"{FOLDER}.pdf", book_pdf(subject, drawn))
    for leaf in drawn:
        yield OutFile(f"{FOLDER}/{leaf.name}.svg", leaf.svg(), leaf.name)
        yield OutFile(f"{FOLDER}/{leaf.name}.dxf", leaf.dxf(), leaf.name)


def subject_of(product: Product, meshes: Meshes) -> Subject:
    """Return what the sheets are drawn from: parts as they sit, the pieces of fixtures as they lie."""
    parts = {part.name: part.solid for part in product.assembly}
    return Subject(product.plan, parts, tuple(_laid(fixture, meshes) for fixture in product.fixtures))


def _laid(fixture: Fixture, meshes: Meshes) -> LaidFixture:
    # Whole and without letters: letters' many edges say nothing in a drawing, and take most of the time.
    bare = fixture.bare or fixture.pieces
    made = {piece.name: piece for piece in fixture.pieces}
    pieces = tuple(
        LaidPiece(
            piece.name, piece.made, piece.solid.moved(meshes.laid(made.get(piece.name, piece)).location)
        )
        for piece in bare
    )
    return LaidFixture(fixture.name, work_words(fixture.work, fixture.stage), pieces)
