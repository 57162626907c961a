"""The table of keys as the models define it, flattened: for the reader, messages, starter and docs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic.fields import FieldInfo

from cad.fields import FileName, Least, OneOf, Span, Table, Word
from cad.soles import forms
from cad.soles.table import Size, SoleTable
from cad.spec.model import Keys


@dataclass(frozen=True)
class Several:
    """A list: one kind a place, or one kind for any number of places; of the former `least` must be given."""

    items: tuple[Kind, ...]
    repeats: bool
    least: int


Kind = Span | OneOf | Word | FileName | Several


@dataclass(frozen=True)
class Key:
    """One key of a spec file: dotted name, what it may hold and what it means.

    One that is `optional` is never worked out: it has a value only where the file gives one.
    """

    dotted: str
    kind: Kind
    description: str
    optional: bool = False


def kind_of(field: FieldInfo) -> Kind:
    """Return what a field of a model may hold."""
    return _kind(field.annotation, field.metadata)


def is_optional(field: FieldInfo) -> bool:
    """Return whether a field may be left without a value."""
    return get_origin(field.annotation) in (Union, UnionType) and NoneType in get_args(field.annotation)


def _kind(annotation: Any, metadata: list[Any]) -> Kind:
    if get_origin(annotation) in (Union, UnionType):
        (annotation,) = (one for one in get_args(annotation) if one is not NoneType)
        return _kind(annotation, metadata)
    if get_origin(annotation) is Annotated:
        inner, *extra = get_args(annotation)
        return _kind(inner, extra)
    for mark in metadata:
        if isinstance(mark, Span | OneOf | Word | FileName):
            return mark
    if get_origin(annotation) is Literal:
        choices = get_args(annotation)
        return OneOf(lambda: choices)
    if get_origin(annotation) is tuple:
        items = get_args(annotation)
        kinds = tuple(_kind(item, []) for item in items if item is not ...)
        least = next((mark.count for mark in metadata if isinstance(mark, Least)), len(kinds))
        return Several(kinds, ... in items, least)
    raise TypeError(f"a field of the spec has no kind: {annotation!r}")


def table_of(field: FieldInfo) -> type[Table] | None:
    """Return the model of a field that is a table, None for a plain key."""
    annotation = field.annotation
    return annotation if isinstance(annotation, type) and issubclass(annotation, Table) else None


def fields_of(table: type[Table], form: str | None) -> Mapping[str, FieldInfo]:
    """Return the fields of a table. Those of the sole are its form's; of any form while that is not known."""
    if table is not SoleTable:
        return table.model_fields
    named = [forms()[form]] if form is not None else forms().values()
    # Of a key that several forms have, the first form's meaning will do while the form is not known.
    found = {name: field for one in reversed([*named]) for name, field in one.Table.model_fields.items()}
    own = [name for name in found if name not in SoleTable.model_fields]
    common = [name for name in SoleTable.model_fields if name != "form"]
    return {name: found[name] for name in ("form", *own, *common)}


def required(form: str | None) -> Mapping[str, str]:
    """Return the keys that a file must give, each with the cure of its absence."""
    names = ", ".join(f'"{name}"' for name in forms())
    size = size_of(form)
    return {
        "name": 'Add a line such as name = "cornice-round"',
        "sole.form": f'Add a line such as form = "round" under [sole]; the forms are {names}',
        size.key: f"Add a line such as {size.example} under [sole]",
    }


def size_of(form: str | None) -> Size:
    """Return the size that a form must be given; the first form's while the form is not known."""
    return forms()[form].SIZE if form is not None else next(iter(forms().values())).SIZE


def keys(form: str | None = None) -> tuple[Key, ...]:
    """Return every key in the order of the file, those of the sole for the given form."""
    return tuple(_keys(Keys, "", form))


def _keys(table: type[Table], prefix: str, form: str | None) -> Iterator[Key]:
    for name, field in fields_of(table, form).items():
        inner = table_of(field)
        if inner is None:
            yield Key(prefix + name, kind_of(field), field.description or "", is_optional(field))
        else:
            yield from _keys(inner, f"{prefix}{name}.", form)
