"""One file for each format, found without a list and named by its file.

A module here is a format when it offers `files(product, meshes) -> Iterator[OutFile]`: its files, in the
same order every time. Triangles and placements that several formats want come from `meshes`. A file that
shows the whole plane is left out when only some of its parts were built (`product.assembly` is empty then).
A format that needs something of the machine may offer `unavailable() -> str`, the reason or nothing.
A format whose name begins with a digit has a module that begins with an underscore: `_3mf` is "3mf".
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from importlib import import_module
from pkgutil import iter_modules
from typing import TYPE_CHECKING, Protocol, cast

from cad.outputs.files import OutFile

if TYPE_CHECKING:
    from cad.outputs.meshes import Meshes
    from cad.outputs.product import Product


class Format(Protocol):
    """What a module of this package offers."""

    def files(self, product: Product, meshes: Meshes) -> Iterator[OutFile]: ...


def format_names() -> list[str]:
    """Return the names of the formats. Loads no kernel."""
    return sorted(found.name.removeprefix("_") for found in iter_modules(__path__))


def unavailable(name: str) -> str:
    """Return why a format cannot be made on this machine, or nothing when it can."""
    reason: Callable[[], str] | None = getattr(load_format(name), "unavailable", None)
    return reason() if reason else ""


def load_format(name: str) -> Format:
    """Return a format by its name."""
    module = f"_{name}" if name[0].isdigit() else name
    return cast(Format, import_module(f"{__name__}.{module}"))
