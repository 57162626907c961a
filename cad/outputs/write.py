"""The front door of the outputs: a product in, a folder of files out."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from pathlib import Path

from cad.kernel.mesh import CHORD_MM
from cad.outputs.cutting import cutting
from cad.outputs.files import OutFile, refuse_twins
from cad.outputs.folder import write_folder
from cad.outputs.formats import EACH, WHOLE, format_names, made_by, offered
from cad.outputs.manifest import Manifest, manifest_of
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.outputs.versions import versions


def _quiet(step: str) -> None:
    """Tell nobody."""


def product_files(
    product: Product,
    formats: Collection[str] | None = None,
    meshes: Meshes | None = None,
    begin: Callable[[str], None] = _quiet,
) -> list[OutFile]:
    """Return the product's files in the named formats, or in all of them, ordered by path.

    `meshes` keeps what was made of the solids for whoever wants it next; `begin` is told the name of each
    format as its turn comes.

    Raises ValueError for a format that does not exist, OutputError when two files would share a path.
    """
    unknown = set(formats or ()) - set(format_names())
    if unknown:
        raise ValueError(
            f"no such format: {', '.join(sorted(unknown))}; there are {', '.join(format_names())}"
        )
    wanted = [name for name in format_names() if formats is None or name in formats]
    kept = meshes or Meshes()
    files: list[OutFile] = []
    for name in wanted:
        begin(name)
        kinds = offered(name)
        if EACH in kinds:
            files += [file for alone in product.alone() for file in made_by(name, EACH, alone, kept)]
        if WHOLE in kinds:
            files += made_by(name, WHOLE, product, kept)
    refuse_twins(file.path for file in files)
    return sorted(files, key=lambda file: file.path)


def product_manifest(product: Product, files: Sequence[OutFile], meshes: Meshes) -> Manifest:
    """Return the manifest of a product's files."""
    spec = product.plan.spec
    declined = {fixture.name: fixture.reason for fixture in product.declined}
    off_sheet = cutting(product, meshes).off_sheet
    return manifest_of(spec.name, spec.digest, versions(), CHORD_MM, files, declined, off_sheet)


def write_product(
    product: Product,
    to: Path,
    formats: Collection[str] | None = None,
    merge: bool = False,
    begin: Callable[[str], None] = _quiet,
) -> Path:
    """Write a product to TO/<name>/, whole or not at all, and return the folder.

    `merge` is as in `write_folder`, `begin` as in `product_files`.
    """
    meshes = Meshes()
    files = product_files(product, formats, meshes, begin)
    return write_folder(to, product.plan.spec.name, files, product_manifest(product, files, meshes), merge)
