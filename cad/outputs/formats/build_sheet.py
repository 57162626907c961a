"""The build sheet as PDF and as HTML, the same content in both."""

from __future__ import annotations

from collections.abc import Iterator

from cad.outputs.files import OutFile
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.papers import build_sheet
from cad.papers.build_sheet.pictures import fixture_pictures
from cad.papers.sheet.as_html import html
from cad.papers.sheet.as_pdf import pdf


def files(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield papers/build_sheet.pdf and .html, when the whole of the product was built."""
    if not product.whole or not product.assembly:
        return
    volumes = {part.name: meshes.measure(part.solid).volume_mm3 for part in product.assembly}
    pictures = fixture_pictures(product.plan, product.fixtures)
    sheet = build_sheet.document(product.plan, product.fixtures, product.declined, volumes, pictures)
    yield OutFile("papers/build_sheet.html", html(sheet).encode())
    yield OutFile("papers/build_sheet.pdf", pdf(sheet))
