"""Pictures: PNG of the plane, its parts, its fixtures alone and at work, and the stages of the making."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from cad.outputs.files import OutFile
from cad.pictures.window import window_class

if TYPE_CHECKING:  # what this machine can draw must be known without the kernel
    from cad.outputs.meshes import Meshes
    from cad.outputs.product import Product
    from cad.pictures.scene import Picture


def unavailable() -> str:
    """Return why this machine can make no pictures, or nothing when it can."""
    return "" if window_class() else "there is no OpenGL to draw with; on Debian: apt-get install libosmesa6"


def files(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield pictures of the plane, its parts and its making. Raises OutputError where nothing can draw."""
    # The renderer is loaded only here: no other format wants it.
    from cad.pictures import plane, stages

    if product.assembly:
        plan = product.plan
        yield from _taken((*plane.pictures(plan, product.assembly), *stages.pictures(plan)), meshes)


def each(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield pictures of a fixture, alone and at work. Raises OutputError where nothing can draw."""
    from cad.pictures import jigs

    return _taken(jigs.pictures(product.plan, product.fixtures), meshes)


def _taken(pictures: Iterable[Picture], meshes: Meshes) -> Iterator[OutFile]:
    from cad.pictures.camera import Camera

    camera = Camera(meshes.of)
    for picture in pictures:
        yield OutFile(f"pictures/{picture.name}.png", camera.take(picture))
