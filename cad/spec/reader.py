"""From a TOML table to a Spec: one pass that gathers every fault, each with its line.

A value that is faulty is left out, and so is all that would be worked out from it: a slip yields one message,
not a train of them, while everything independent of it is still judged.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from hashlib import sha256
from os import PathLike
from pathlib import Path
from typing import Any

from cad import profiles
from cad.errors import Fault, ProfileError, SpecError
from cad.fields import FileName, Known, Problem, Span, Table
from cad.soles import forms
from cad.soles.drawing import drawing
from cad.spec import impossible
from cad.spec.assembling import assembled
from cad.spec.faults import fault_at
from cad.spec.keys import Kind, fields_of, keys, kind_of, required, size_of, table_of
from cad.spec.model import Keys, Spec
from cad.spec.rules import Worked, work_out
from cad.spec.source import Source, load_file, load_text
from cad.spec.unworkable import bench_problems
from cad.spec.values import (
    ValueFaultError,
    nearest,
    needs_unit,
    read_value,
    type_name,
)
from cad.units import UnitName


def read_spec(path: str | PathLike[str]) -> Spec:
    """Return the plane of a spec file. Raises cad.errors.SpecError with every fault of the file."""
    return _spec(load_file(path))


def parse_spec(text: str, file: str) -> Spec:
    """Return the plane of a spec's text. Raises SpecError as read_spec does.

    `file` is where the text is from or will be: it names it in messages, and files that the spec names lie
    beside it.
    """
    return _spec(load_text(text, file, sha256(text.encode("utf-8", "surrogatepass"))))


def spec_of(source: Source) -> Spec:
    """Return the plane of a table that was read or put together. Raises SpecError as read_spec does."""
    return _spec(source)


@dataclass(frozen=True)
class _Found:
    """What one pass over the file found: values in mm and degrees, raw values, named files, and faults."""

    values: Mapping[str, object]
    files: Mapping[str, bytes]
    raw: Mapping[str, Any]
    faulty: frozenset[str]
    faults: tuple[Fault, ...]


def _spec(source: Source) -> Spec:
    unit, form = _unit(source), _form(source)
    found = _read(source, unit, form)
    known = Known(unit or "mm", found.values, frozenset(found.values), found.files)
    worked = work_out(known, form, found.faulty)
    faults = [*found.faults]
    if unit is not None:  # without it no length has a meaning
        faults += _range_faults(source, worked, form)
        problems = (*worked.problems, *impossible.problems(worked.known))
        faults += [_problem_fault(source, found.raw, problem) for problem in problems]
    if not faults:  # measurements of a plan that is in order itself
        faults += [_problem_fault(source, found.raw, one) for one in bench_problems(worked, form)]
    if faults:
        raise SpecError(faults)
    return assembled(worked, form, source.digest(found.files.values()), drawing(worked.known))


def _unit(source: Source) -> UnitName | None:
    """Return the file's own unit, None when it names one that is not known."""
    unit = source.table.get("unit", "mm")
    return unit if unit in ("mm", "in") else None


def _form(source: Source) -> str | None:
    sole = source.table.get("sole")
    form = sole.get("form") if isinstance(sole, dict) else None
    return form if isinstance(form, str) and form in forms() else None


def _read(source: Source, unit: UnitName | None, form: str | None) -> _Found:
    values: dict[str, object] = {}
    raw_values: dict[str, Any] = {}
    files: dict[str, bytes] = {}
    faults: list[Fault] = []
    faulty: set[str] = set()
    for path, raw, kind, fault in _walk(source, Keys, source.table, (), form):
        key = ".".join(path)
        if fault is not None:
            faults.append(fault)
            faulty.add(key)
        elif kind is not None:
            raw_values[key] = raw
            if unit is None and needs_unit(kind, raw):
                faulty.add(key)  # the unit's own fault is enough
                continue
            try:
                values[key] = read_value(kind, raw, unit)
                if isinstance(kind, FileName):
                    files[key] = profiles.load(Path(source.file).resolve().parent, str(raw))
            except (ValueFaultError, ProfileError) as error:
                values.pop(key, None)
                faulty.add(key)
                faults.append(fault_at(source, path, raw, error.problem, error.cure))
    faults += _missing(source, values.keys() | faulty, form)
    return _Found(values, files, raw_values, frozenset(faulty), tuple(faults))


_Step = tuple[tuple[str, ...], Any, Kind | None, Fault | None]


def _walk(
    source: Source, table: type[Table], raw: Mapping[str, Any], prefix: tuple[str, ...], form: str | None
) -> Iterator[_Step]:
    """Yield every key of the file with its kind, or with the fault of not being a key at all."""
    fields = fields_of(table, form)
    for name, value in raw.items():
        path = (*prefix, name)
        if name not in fields:
            yield path, value, None, _unknown(source, path, value, tuple(fields), form)
            continue
        inner = table_of(fields[name])
        if inner is None:
            yield path, value, kind_of(fields[name]), None
        elif isinstance(value, dict):
            yield from _walk(source, inner, value, path, form)
        else:
            header = f"[{'.'.join(path)}]"
            problem = f"{type_name(value)} stands where the table {header} belongs"
            cure = f"Write {header} on a line of its own, its keys below: {', '.join(inner.model_fields)}"
            yield path, value, None, fault_at(source, path, value, problem, cure)


def _unknown(
    source: Source, path: tuple[str, ...], raw: Any, names: tuple[str, ...], form: str | None
) -> Fault:
    where = f"in [{'.'.join(path[:-1])}]" if len(path) > 1 else "at the top of the file"
    what = "table" if isinstance(raw, dict) else "key"
    of_form = f" for the form {form}" if form is not None and path[:-1] == ("sole",) else ""
    others = _other_forms(path[-1]) if of_form else ""
    hint = others or nearest(path[-1], names) or _elsewhere(path[-1], form)
    cure = f"{hint}Known {where}: {', '.join(names)}"
    found = None if isinstance(raw, dict) else raw
    return fault_at(source, path, found, f"there is no such {what} {where}{of_form}", cure)


def _other_forms(name: str) -> str:
    """Return the words that a key of the sole is one of other forms, or nothing."""
    found = [form for form, one in forms().items() if name in one.Table.model_fields]
    return f"It is a key of {', '.join(found)}. " if found else ""


def _elsewhere(name: str, form: str | None) -> str:
    homes = [key.dotted.rpartition(".")[0] for key in keys(form) if key.dotted.rpartition(".")[2] == name]
    return f"It belongs under {' or '.join(f'[{home}]' for home in homes if home)}. " if any(homes) else ""


def _missing(source: Source, seen: Collection[str], form: str | None) -> Iterator[Fault]:
    sizes = {key for one in forms().values() for key in (one.SIZE.key, one.SIZE.or_else)}
    # For a form that is not known, any size will do; some forms have two keys that do.
    is_sized = any(key in seen for key in (sizes if form is None else {size_of(form).or_else}))
    for key, cure in required(form).items():
        if is_sized and key in sizes:
            continue
        if key not in seen and key.partition(".")[0] not in seen:
            yield fault_at(source, tuple(key.split(".")), None, "this key is required and missing", cure)


def _range_faults(source: Source, worked: Worked, form: str | None) -> Iterator[Fault]:
    """Yield the faults of values worked out that come to lie outside what can be built."""
    unit = worked.known.unit
    for key in keys(form):
        if key.dotted in worked.out_of_range and isinstance(key.kind, Span):
            number = worked.out_of_range[key.dotted]
            size = "small" if number <= key.kind.low else "large"
            problem = f"too {size}: from the other values it comes to {key.kind.show(number, unit)}"
            cure = f"It must be {key.kind.limits(unit)}: give it, or change what it follows from"
            yield fault_at(source, tuple(key.dotted.split(".")), None, problem, cure)


def _problem_fault(source: Source, raw: Mapping[str, Any], problem: Problem) -> Fault:
    """Return a problem as a fault of the first of its keys that the file gives, or of its first key."""
    blamed = next((key for key in problem.keys if key in raw), problem.keys[0])
    return fault_at(source, tuple(blamed.split(".")), raw.get(blamed), problem.problem, problem.cure)
