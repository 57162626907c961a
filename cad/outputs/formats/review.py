"""review.html: the plane, its making and its fixtures on one page that opens anywhere."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cad.outputs.files import OutFile
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.outputs.simulated import sound_programs
from cad.review.model import model_of
from cad.review.page import review_html
from cad.review.playing import played

COMPANY = "router"  # whose programs are run on paper there, and played back here


def files(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield review.html, when all parts of the plane were built. Raises ProgramError as the router's does."""
    if product.assembly:
        programs = played(sound_programs(product, meshes).simulated)
        yield OutFile("review.html", review_html({**review_model(product, meshes), "programs": programs}))


def review_model(product: Product, meshes: Meshes | None = None) -> dict[str, Any]:
    """Return all that the page shows of a product but its programs, ready for JSON."""
    kept = meshes or Meshes()
    return model_of(product.plan, product.parts, product.fixtures, product.declined, kept.of)
