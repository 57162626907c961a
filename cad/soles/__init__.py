"""The forms a sole may have, one file each.

A module here is a form when it defines FORM. It then holds:

- FORM: the word for `sole.form`; CALLED: the words for it with their article; SUMMARY: a line for the docs
- Table: its keys, a subclass of cad.soles.table.SoleTable
- SIZE: the one of its keys that a file must give
- FLATTER: what to change for a sole that turns less steeply
- RULES: how the other keys of its table are worked out when not given, in their order
- PROBLEMS: what is impossible about its values, each a generator of problems; what no profile may be is held
  against it beside these by cad.soles.sound
- members(table): the parts of the profile in the (y, z) plane, upright as it stands on the work, joined from
  (0, z) on the rabbet face to (w, z) on the blind side, the lowest point at z = 0; raises ValueError where
  the values leave none

It may hold MATE: the form that, with the same keys, lies closely on it when turned end for end.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from types import MappingProxyType
from typing import Any, Protocol, cast

from cad.fields import Known, NotKnownError, Problem, Rule
from cad.outline import Path
from cad.soles.member import Member
from cad.soles.spring import leaned
from cad.soles.table import Size, SoleTable

Finder = Callable[[Known], Iterator[Problem]]


class Form(Protocol):
    """What a module of this package offers."""

    FORM: str
    CALLED: str
    SUMMARY: str
    Table: type[SoleTable]
    SIZE: Size
    FLATTER: str
    RULES: tuple[Rule, ...]
    PROBLEMS: tuple[Finder, ...]

    def members(self, table: Any) -> tuple[Member, ...]: ...


@cache
def forms() -> Mapping[str, Form]:
    """Return every form of sole by its name, as found in the files of this package, the round first."""
    modules = (import_module(f"{__name__}.{found.name}") for found in iter_modules(__path__))
    found = {module.FORM: cast(Form, module) for module in modules if hasattr(module, "FORM")}
    usual = ("round", "hollow")
    order = sorted(found, key=lambda name: usual.index(name) if name in usual else len(usual))
    return MappingProxyType({name: found[name] for name in order})


def form_of(table: SoleTable) -> Form:
    """Return the form that a table is of."""
    return forms()[table.form]


def sole_members(table: SoleTable) -> tuple[Member, ...]:
    """Return the named parts of the sole's curve, leaned by its spring, in (y, z), mm.

    They run from (0, z) on the rabbet face to (w, z) on the blind side, the lowest point at z = 0.
    """
    return leaned(form_of(table).members(table), table.spring)


def sole_path(table: SoleTable) -> Path:
    """Return the sole's curve in the (y, z) plane, mm: from (0, z) to (w, z), lowest point at z = 0."""
    return Path(tuple(member.segment for member in sole_members(table)))


def known_table(known: Known) -> SoleTable:
    """Return the table of a sole whose values are still being worked out, unchecked.

    Raises cad.fields.NotKnownError when one of them is missing or faulty.
    """
    form = forms()[known.text("sole.form")]
    keys = [key for key in form.Table.model_fields if key != "form"]
    values: dict[str, Any] = {key: known.value(f"sole.{key}") for key in keys}
    return form.Table.model_construct(form=form.FORM, **values)


def known_members(known: Known) -> tuple[Member, ...]:
    """Return the parts of the sole's curve from values still being worked out.

    Raises cad.fields.NotKnownError when one of them is missing or faulty, or when they leave no curve.
    """
    table = known_table(known)
    try:
        return sole_members(table)
    except ValueError as error:
        raise NotKnownError("sole") from error


def known_path(known: Known) -> Path:
    """Return the sole's curve from values still being worked out. Raises as known_members does."""
    return Path(tuple(member.segment for member in known_members(known)))


def width_mm(known: Known) -> float:
    """Return the width of the sole, which is that of the iron and the depth of the throat."""
    return known_path(known).end[0]


def plate_edge_mm(known: Known) -> float:
    """Return the height of the sole's edge on the plate side, where the rabbet face begins."""
    return known_path(known).start[1]


def blind_edge_mm(known: Known) -> float:
    """Return the height of the sole's edge on the blind side, z₀, where the side relief begins."""
    return known_path(known).end[1]


def top_mm(known: Known) -> float:
    """Return the height of the sole's highest point."""
    return known_path(known).bounds()[3]


def mate_form(form: str) -> str | None:
    """Return the form whose sole lies closely on that of the given one, None where there is none."""
    mate: str | None = getattr(forms()[form], "MATE", None)
    return mate
