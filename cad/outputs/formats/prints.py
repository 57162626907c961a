"""The print report: for each print its size, mass, thinnest wall, gaps and overhangs, as text and as JSON."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence

import numpy as np

from cad.outputs.files import OutFile
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from fixtures.bench.print_report import PrintFigures, print_figures, print_json, print_lines


def files(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield fixtures/prints.txt and fixtures/prints.json. A report on some of the prints would mislead."""
    prints = [piece for piece in product.pieces() if piece.made == "printed"]
    if not prints or not product.whole:
        return
    found = []
    for piece in prints:
        laid = meshes.laid(piece)
        found.append(print_figures(piece, laid.mesh, np.array(laid.matrix), product.plan))
    name = product.plan.spec.name
    document = {"name": name, "prints": [print_json(one) for one in found]}
    data = json.dumps(document, indent=1, ensure_ascii=False) + "\n"
    yield OutFile("fixtures/prints.json", data.encode())
    yield OutFile("fixtures/prints.txt", prints_text(name, product, found).encode())


def prints_text(plane: str, product: Product, found: Sequence[PrintFigures]) -> str:
    """Return the report as text, in the order of the fixtures."""
    printer = product.plan.spec.shop.printer
    volume = " × ".join(f"{side:g}" for side in printer.volume)
    title = f"Prints for {plane}"
    lines = [
        title,
        "=" * len(title),
        "",
        f"For a printer of {volume} mm with a {printer.nozzle:g} mm nozzle. Measured on the meshes as they",
        "lie on the bed; places are x, y, z in the STL. Print them as they lie, without supports.",
        "",
    ]
    for one in found:
        lines += [*print_lines(one), ""]
    lines.append(f"All together: {sum(one.mass_g for one in found):.0f} g of {printer.filament}.")
    return "\n".join(lines) + "\n"
