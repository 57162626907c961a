"""Notes: for each fixture a plain text that says how to use it, and what can hurt."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from cad.outputs.files import OutFile
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from fixtures.bench.model import Fixture, work_words

WIDTH = 88


def files(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield fixtures/<fixture>.txt for each fixture with something to say."""
    for fixture in product.fixtures:
        if fixture.notes or fixture.cautions:
            text = notes_text(product.plan.spec.name, fixture)
            yield OutFile(f"fixtures/{fixture.name}.txt", text.encode(), fixture.name)


def notes_text(plane: str, fixture: Fixture) -> str:
    """Return the words that go with a fixture, cautions first: they are read before the work, or never."""
    title = f"{fixture.name} for {plane}, used on the {work_words(fixture.work, fixture.stage)}"
    lines = [title, "=" * len(title), ""]
    for head, paragraphs in (("CAUTION", fixture.cautions), ("USE", fixture.notes)):
        if paragraphs:
            lines += [head, ""]
            for paragraph in paragraphs:
                lines += [*wrap(paragraph, WIDTH, initial_indent="- ", subsequent_indent="  "), ""]
    pieces = ", ".join(f"{piece.name} ({piece.made})" for piece in fixture.pieces)
    lines += wrap(f"Pieces: {pieces}.", WIDTH)
    return "\n".join(lines) + "\n"
