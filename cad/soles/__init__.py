"""The forms a sole may have, one file each.

A module here is a form when it defines FORM. It then holds:

- FORM: the word for `sole.form`; SUMMARY: a line for the docs
- Table: its keys, a subclass of cad.soles.table.SoleTable
- RULES: how the keys of its table are worked out when not given
- problems(known): what is impossible about its values
- path(table): the sole's curve in the (y, z) plane, from (0, z) to (w, z), lowest point at z = 0
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from types import MappingProxyType
from typing import Any, Protocol, cast

from cad.fields import Known, Problem, Rule
from cad.outline import Path
from cad.soles.table import SoleTable


class Form(Protocol):
    """What a module of this package offers."""

    FORM: str
    SUMMARY: str
    Table: type[SoleTable]
    RULES: tuple[Rule, ...]

    def problems(self, known: Known) -> Iterator[Problem]: ...

    def path(self, table: SoleTable) -> Path: ...


@cache
def forms() -> Mapping[str, Form]:
    """Return every form of sole by its name, as found in the files of this package."""
    modules = (import_module(f"{__name__}.{found.name}") for found in iter_modules(__path__))
    found = {module.FORM: cast(Form, module) for module in modules if hasattr(module, "FORM")}
    return MappingProxyType(dict(sorted(found.items(), reverse=True)))


def sole_path(table: SoleTable) -> Path:
    """Return the sole's curve in the (y, z) plane, mm: from (0, z) to (w, z), lowest point at z = 0."""
    return forms()[table.form].path(table)


def known_path(known: Known) -> Path:
    """Return the sole's curve from values still being worked out.

    Raises cad.fields.NotKnownError when one of them is missing or faulty.
    """
    form = forms()[known.text("sole.form")]
    keys = [key for key in form.Table.model_fields if key != "form"]
    values: dict[str, Any] = {key: known.value(f"sole.{key}") for key in keys}
    table = form.Table.model_construct(form=form.FORM, **values)
    return form.path(table)


def plate_edge_mm(known: Known) -> float:
    """Return the height of the sole's edge on the plate side, where the rabbet face begins."""
    return known_path(known).start[1]


def blind_edge_mm(known: Known) -> float:
    """Return the height of the sole's edge on the blind side, z₀, where the side relief begins."""
    return known_path(known).end[1]


def top_mm(known: Known) -> float:
    """Return the height of the sole's highest point."""
    return known_path(known).bounds()[3]
