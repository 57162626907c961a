"""True-size templates as PDF, for A4 and for US letter."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from cad.outputs.files import OutFile
from cad.papers.templates import SIZES, templates_pdf

if TYPE_CHECKING:
    from cad.outputs.meshes import Meshes
    from cad.outputs.product import Product


def files(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield papers/templates_<size>.pdf, or nothing when only some of the product was built."""
    if not product.whole:
        return
    for size in SIZES:
        data = templates_pdf(product.plan, product.fixtures, size)
        yield OutFile(f"papers/templates_{size.name}.pdf", data)
