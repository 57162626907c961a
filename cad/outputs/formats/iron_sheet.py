"""The iron's sheet as PDF and as HTML, the same content in both."""

from __future__ import annotations

from collections.abc import Iterator

from cad.outputs.files import OutFile
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.papers import iron_sheet
from cad.papers.sheet.as_html import html
from cad.papers.sheet.as_pdf import pdf


def files(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield papers/iron_sheet.pdf and .html, when the whole of the product was built."""
    if not product.whole or not product.assembly:
        return
    sheet = iron_sheet.document(product.plan)
    yield OutFile("papers/iron_sheet.html", html(sheet).encode())
    yield OutFile("papers/iron_sheet.pdf", pdf(sheet))
