"""The sheets, one file each, found without a list.

A module here offers `PLACE`, its place in the set, and `sheets(subject) -> Iterator[Sheet]`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from importlib import import_module
from pkgutil import iter_modules

from cad.papers.drawings.sheet import Sheet
from cad.papers.drawings.subject import Subject


def all_sheets(subject: Subject) -> Iterator[Sheet]:
    """Yield every sheet of a set, in order."""
    modules = [import_module(f"{__name__}.{found.name}") for found in iter_modules(__path__)]
    for module in sorted(modules, key=lambda module: (module.PLACE, module.__name__)):
        draw: Callable[[Subject], Iterator[Sheet]] = module.sheets
        yield from draw(subject)
