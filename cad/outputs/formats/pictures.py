"""Pictures: PNG of the plane, its parts, its fixtures alone and at work, and the stages of the making."""

from __future__ import annotations

from collections.abc import Iterator

from cad.outputs.files import OutFile
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.pictures.window import window_class


def unavailable() -> str:
    """Return why this machine can make no pictures, or nothing when it can."""
    return "" if window_class() else "there is no OpenGL to draw with; on Debian: apt-get install libosmesa6"


def files(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield pictures/*.png. Raises OutputError when the machine has nothing to draw with."""
    # The renderer is loaded only here: no other format wants it.
    from cad.pictures import jigs, plane, stages
    from cad.pictures.camera import Camera

    plan, camera = product.plan, Camera(meshes.of)
    if product.assembly:
        for picture in (*plane.pictures(plan, product.assembly), *stages.pictures(plan)):
            yield OutFile(f"pictures/{picture.name}.png", camera.take(picture))
    for picture in jigs.pictures(plan, product.fixtures):
        yield OutFile(f"pictures/{picture.name}.png", camera.take(picture))
