"""One file for each format, found without a list and named by its file.

A module here is a format when it offers one of these, or both, each yielding files in the same order every
time:

- `each(alone, meshes)`: what shows one part, or the pieces of one fixture. It is called for every part and
  every fixture with a product that holds nothing else.
- `files(product, meshes)`: what shows the plane, or more than one of its fixtures. A file that shows the
  whole plane is left out when only some of its parts were built (`product.assembly` is empty then).

What is yielded must follow from what is read of the product and of its plan, and from nothing else: `make`
keeps the files whose values have not changed. Triangles and placements that several formats want come from
`meshes`.
A format that needs something of the machine may offer `unavailable() -> str`, the reason or nothing.
A format that shares with another what takes long to make may name it, as `COMPANY`: the plane's files of both
are then made by one process.
A format whose name begins with a digit has a module that begins with an underscore: `_3mf` is "3mf".
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from importlib import import_module
from pkgutil import iter_modules
from types import ModuleType
from typing import TYPE_CHECKING

from cad.outputs.files import OutFile

if TYPE_CHECKING:
    from cad.outputs.meshes import Meshes
    from cad.outputs.product import Product


EACH, WHOLE = "each", "files"  # the functions that a format may offer


def format_names() -> list[str]:
    """Return the names of the formats. Loads no kernel."""
    return sorted(found.name.removeprefix("_") for found in iter_modules(__path__))


def unavailable(name: str) -> str:
    """Return why a format cannot be made on this machine, or nothing when it can."""
    reason: Callable[[], str] | None = getattr(load_format(name), "unavailable", None)
    return reason() if reason else ""


def offered(name: str) -> tuple[str, ...]:
    """Return which of EACH and WHOLE a format offers."""
    return tuple(kind for kind in (EACH, WHOLE) if hasattr(load_format(name), kind))


def made_by(name: str, kind: str, product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Return the files of a format for a product, of the kind EACH or WHOLE."""
    make: Callable[[Product, Meshes], Iterator[OutFile]] = getattr(load_format(name), kind)
    return make(product, meshes)


def company(name: str) -> str:
    """Return the format along with which the plane's files of this one are made: itself, if it names none."""
    other: str = getattr(load_format(name), "COMPANY", name)
    return other


def load_format(name: str) -> ModuleType:
    """Return a format by its name."""
    module = f"_{name}" if name[0].isdigit() else name
    return import_module(f"{__name__}.{module}")
