"""Which values of a plan were read while something was made from it.

What a builder depends on is recorded, not declared: it is given a stand-in for the plan, which behaves as the
plan in every way and notes each value that is read of it. As long as those values are the same, whatever was
made from them would come out the same again, since every builder is a function of its plan. Loads no kernel.

A value is named by its path from the plan, such as "throat/bed_deg" or "spec/origins/sole.width".
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from functools import cache, cached_property, partial
from hashlib import sha256
from inspect import getattr_static
from types import FunctionType
from typing import Any, cast

from cad.fields import Origin, Table
from cad.geometry import Plan
from cad.spec.model import Origins

OURS = "cad.geometry."  # the modules whose dataclasses a plan is made of
ABSENT = "absent"  # the fingerprint of a value that a plan has not
_DIGITS = 16  # of a fingerprint, in hex: no two of a plan's few hundred values will share 64 bits by chance
_WATCH = "_watch"


class Notes:
    """Where reads are noted: in a set, or in other notes from now on."""

    def __init__(self, to: set[str] | Notes) -> None:
        self.to = to

    def add(self, path: str) -> None:
        self.to.add(path)


def watched(plan: Plan, notes: Notes) -> Plan:
    """Return a stand-in for a plan that notes the path of every value read of it."""
    return cast(Plan, _stand_in(plan, "", notes))


def fingerprint(plan: Plan, path: str) -> str:
    """Return a hash of the value at a path of a plan, ABSENT where it has none."""
    value: Any = plan
    for name in path.split("/"):
        try:
            value = value[name] if isinstance(value, Origins) else getattr(value, name)
        except (AttributeError, KeyError):
            return ABSENT
    return sha256(repr(value).encode()).hexdigest()[:_DIGITS]


def _stand_in(value: Any, path: str, notes: Notes) -> Any:
    """Return a stand-in for a value that has values of its own, None for one that has none."""
    if isinstance(value, Origins):
        return _WatchedOrigins(value, path, notes)
    if isinstance(value, Table):
        return _WatchedTable(_Watch(vars(value), path, notes), value)
    kind: Any = type(value)
    if is_dataclass(value) and kind.__module__.startswith(OURS):
        # Its fields alone: what the value has worked out and kept was not read by whoever asks now.
        held = {field.name: getattr(value, field.name) for field in fields(kind)}
        made: Any = object.__new__(_watching(kind))
        object.__getattribute__(made, "__dict__").update({**held, _WATCH: _Watch(held, path, notes)})
        return made
    return None


class _Watch:
    """The values of one stand-in, each handed out and noted when it is asked for."""

    def __init__(
        self, values: Mapping[str, Any], path: str, notes: Notes, own: Mapping[str, Any] | None = None
    ) -> None:
        self.values, self._path, self._notes = values, path, notes
        self._own = own or {}  # values of whoever asks, put in place of the plan's
        self._inner: dict[str, Any] = {}

    def read(self, name: str) -> Any:
        if name in self._own:
            return self._own[name]
        path = f"{self._path}/{name}" if self._path else name
        if name not in self._inner:
            self._inner[name] = _stand_in(self.values[name], path, self._notes)
        if self._inner[name] is not None:
            return self._inner[name]
        self._notes.add(path)
        return self.values[name]

    def read_all(self) -> None:
        """Note that all of it was seen: what is asked of it cannot be told apart."""
        self._notes.add(self._path)

    def with_own(self, own: Mapping[str, Any]) -> _Watch:
        """Return the same with some values that are not read of the plan."""
        return _Watch({**self.values, **own}, self._path, self._notes, {**self._own, **own})


@cache
def _watching(kind: Any) -> Any:
    """Return a dataclass like another whose instances note what is read of them.

    Its methods and properties are the other's own and run on the stand-in, so that what they read is noted;
    what they would keep is worked out each time, or whoever asks second would seem to have read nothing.
    """
    names = frozenset(field.name for field in fields(kind))
    kept = {name: one.func for name in dir(kind) if isinstance(one := getattr(kind, name), cached_property)}

    def look(self: object, name: str) -> Any:
        if name == "__class__":
            return kind  # comparing and replacing ask for it, and must take it for the other
        if name in kept:
            return kept[name](self)
        if name in names or name == "__dict__":
            watch: _Watch = object.__getattribute__(self, "__dict__")[_WATCH]
            if name in names:
                return watch.read(name)
            watch.read_all()
        return object.__getattribute__(self, name)

    return type(kind.__name__, (kind,), {"__getattribute__": look, "__module__": kind.__module__})


class _WatchedTable:
    """A stand-in for a table of the spec, whose class cannot well be made anew: it passes for one."""

    def __init__(self, watch: _Watch, table: Table) -> None:
        self._held = (watch, table)

    def __getattribute__(self, name: str) -> Any:
        watch, table = cast(tuple[_Watch, Table], object.__getattribute__(self, "_held"))
        if name == "__class__":
            return type(table)
        if name in watch.values:
            return watch.read(name)
        if name == "model_copy":
            return partial(_copied, watch, table)
        found = getattr_static(type(table), name, None)
        if isinstance(found, property) or (
            isinstance(found, FunctionType) and found.__module__.startswith("cad.")
        ):
            return found.__get__(self, type(table))
        watch.read_all()
        return getattr(table, name)

    def __iter__(self) -> Iterator[tuple[str, Any]]:
        watch, _ = cast(tuple[_Watch, Table], object.__getattribute__(self, "_held"))
        return ((name, watch.read(name)) for name in watch.values)

    def __eq__(self, other: object) -> bool:
        return _whole(self) == (_whole(other) if isinstance(other, _WatchedTable) else other)

    def __hash__(self) -> int:
        return hash(_whole(self))

    def __repr__(self) -> str:
        return repr(_whole(self))


def _copied(watch: _Watch, table: Table, update: Mapping[str, Any]) -> _WatchedTable:
    return _WatchedTable(watch.with_own(update), table.model_copy(update=update))


def _whole(stand_in: _WatchedTable) -> Table:
    watch, table = cast(tuple[_Watch, Table], object.__getattribute__(stand_in, "_held"))
    watch.read_all()
    return table


class _WatchedOrigins(Origins):
    """Where values come from, each noted by its key."""

    def __init__(self, origins: Origins, path: str, notes: Notes) -> None:
        self._origins, self._path, self._notes = origins, path, notes

    def __getitem__(self, key: str) -> Origin:
        self._notes.add(f"{self._path}/{key}")
        return self._origins[key]

    def __iter__(self) -> Iterator[str]:
        self._notes.add(self._path)
        return iter(self._origins)

    def __len__(self) -> int:
        self._notes.add(self._path)
        return len(self._origins)

    def __repr__(self) -> str:
        self._notes.add(self._path)
        return repr(self._origins)
