"""Every dimension of a plan: the spec's keys with their origins, then what is worked out from them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache, reduce
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

from cad.fields import Span
from cad.geometry import Plan
from cad.report import worked
from cad.report.dimension import Dimension, Kind, Worked
from cad.spec import Spec
from cad.spec.keys import Kind as KeyKind
from cad.spec.keys import Several, keys
from cad.units import plain

Part = Callable[[Plan], Iterator[Worked]]


def dimensions(plan: Plan) -> dict[str, Dimension]:
    """Return every dimension by its dotted key: those of the spec in the order of the file, then the rest."""
    found = dict(_given(plan.spec))
    for part in _parts():
        for key, dimension in part(plan):
            if key in found:
                raise ValueError(f"two dimensions share the key {key}")
            found[key] = dimension
    return found


@cache
def _parts() -> tuple[Part, ...]:
    names = sorted(module.name for module in iter_modules(worked.__path__))
    return tuple(import_module(f"{worked.__name__}.{name}").dimensions for name in names)


def _given(spec: Spec) -> Iterator[Worked]:
    for key in keys(spec.sole.form):
        value: Any = reduce(getattr, key.dotted.split("."), spec)
        if value is None:
            continue  # nothing was measured
        if _is_table(key.kind):
            value = tuple(_row(row) for row in value)
        origin = spec.origins[key.dotted]
        yield key.dotted, Dimension(_kind(key.kind), value, origin.given, origin.reason)


def _is_table(kind: KeyKind) -> bool:
    return isinstance(kind, Several) and isinstance(kind.items[0], Several)


def _row(row: tuple[float, ...]) -> str:
    """Return a list within a list in words: a corner in mm, and its bulge."""
    return f"({' '.join(plain(number, 4) for number in row)})"


def _kind(kind: KeyKind) -> Kind:
    if isinstance(kind, Several) and not _is_table(kind):
        return _kind(kind.items[0])
    return kind.quantity if isinstance(kind, Span) else "text"
