"""The kinds of drawing a profile may be read from, one file each.

A module here is a reader when it defines SUFFIX. It then holds:

- SUFFIX: how the names of such files end, such as ".dxf"
- sheet(content, unit_mm): the drawing in mm, y to the right and z up; `unit_mm` is the length of the file's
  unit where the spec gives it, None where the file must say. Raises cad.errors.ProfileError.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from types import MappingProxyType
from typing import Protocol, cast

from cad.profiles.drawing import Sheet


class Reader(Protocol):
    """What a module of this package offers."""

    SUFFIX: str

    def sheet(self, content: bytes, unit_mm: float | None) -> Sheet: ...


@cache
def readers() -> Mapping[str, Reader]:
    """Return every reader by the suffix of its files. The libraries they read with load when first used."""
    modules = (import_module(f"{__name__}.{found.name}") for found in iter_modules(__path__))
    found = {module.SUFFIX: cast(Reader, module) for module in modules if hasattr(module, "SUFFIX")}
    return MappingProxyType(dict(sorted(found.items())))
