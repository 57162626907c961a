"""From a family's file to its planes: every fault of the file at once, each with its line and its planes."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Set
from dataclasses import replace
from hashlib import sha256
from os import PathLike
from typing import Any

from cad.errors import Fault, SpecError
from cad.family.composing import ARC_OR_WIDTH, Composed, leaves
from cad.family.faults import gathered
from cad.family.model import Family, Member
from cad.family.scaling import Scale, scales
from cad.family.sizes import LISTS, RULE, Size, SizesError, sizes
from cad.fields import Word
from cad.soles import forms
from cad.spec.faults import fault_at
from cad.spec.keys import keys, size_of
from cad.spec.lines import KeyPath
from cad.spec.reader import spec_of
from cad.spec.source import Source, load_file, load_text
from cad.spec.values import ValueFaultError, nearest, read_value, type_name
from cad.units import UnitName

TABLE, PLANES = "family", "plane"
KNOWN = ("forms", *LISTS, *RULE, "scale")
USUAL_FORMS = ("round", "hollow")
SIZED_BY = {key: name for name, key in LISTS.items()}  # the list's name by the key that the family gives
OF_FAMILY: Set[KeyPath] = frozenset({("name",), ("unit",), ("sole", "form")})
NAME = Word(48)  # room is left for the planes' own part of the name


def is_family(source: Source) -> bool:
    """Return whether a file describes a family and not one plane."""
    return TABLE in source.table


def read_family(path: str | PathLike[str]) -> Family:
    """Return the family of a file. Raises SpecError with every fault of the file."""
    return family_of(load_file(path))


def family_of(source: Source) -> Family:
    """Return the family that a file's table describes. Raises SpecError with every fault of it."""
    faults = list(_shape(source))
    if faults:
        raise SpecError(faults)
    unit: UnitName = "in" if source.table.get("unit") == "in" else "mm"
    table = source.table[TABLE]
    made, wrong = _forms(source, table.get("forms", list(USUAL_FORMS)))
    kinds = {key.dotted: key.kind for form in made or USUAL_FORMS for key in keys(form)}
    sized_by = tuple(size_of((made or USUAL_FORMS)[0]).key.split("."))
    scaled, bad = scales(source, table.get("scale", {}), kinds, sized_by, unit)
    faults = [*_unknown(source, table), *wrong, *bad, *(_missized(source, made[0]) if made else ())]
    try:
        found = sizes(source, table, unit)
    except SizesError as error:
        raise SpecError([*faults, *error.faults]) from error
    planes = {_label(at, form): (size, form) for at, size in enumerate(found, start=1) for form in made}
    # Without a form there is no plane that a table of one could be held against.
    own, misnamed = _own(source, planes.keys()) if planes else ({}, [])
    if faults or misnamed:
        raise SpecError([*faults, *misnamed])
    composed: dict[str, Composed] = {}
    for label, (size, form) in planes.items():
        plane = composed[label] = _composed(source, form, size, _share(size, found), scaled, unit)
        for key in (label.partition("-")[0], label):
            if key in own:
                plane.lay_over(source.table[PLANES][own[key]], source.lines, (PLANES, own[key]))
        plane.put(("name",), f"{source.table['name']}-{label}", source.lines.get(("name",), 0))
    members = _members(source, composed)
    digest = sha256("".join(member.spec.digest for member in members).encode()).hexdigest()
    return Family(str(source.table["name"]), unit, digest, members)


def _members(source: Source, composed: Mapping[str, Composed]) -> tuple[Member, ...]:
    """Return the planes of tables by label. Raises SpecError with the faults of all of them."""
    members: list[Member] = []
    faults: list[tuple[str, Fault]] = []
    for label, plane in composed.items():
        try:
            members.append(_member(source, label, plane))
        except SpecError as error:
            faults += [(label, one) for one in error.faults]
    if faults:
        raise SpecError(gathered(faults, len(composed)))
    return tuple(members)


def _shape(source: Source) -> Iterator[Fault]:
    """Yield what keeps the file from being read as a family at all."""
    for key, wanted in ((TABLE, True), (PLANES, PLANES in source.table)):
        value = source.table.get(key)
        if wanted and not isinstance(value, dict):
            problem = f"{type_name(value)} stands where the table [{key}] belongs"
            yield fault_at(source, (key,), value, problem, f"Write [{key}] on a line of its own")
    name = source.table.get("name")
    if name is None:
        cure = 'Add a line such as name = "cornice-set" at the top'
        yield Fault(source.file, 0, "name", "", "this key is required and missing", cure)
    else:
        try:
            read_value(NAME, name, None)
        except ValueFaultError as error:
            yield fault_at(source, ("name",), name, error.problem, error.cure)
    yield from _given_by_family(source, "form")


def _given_by_family(source: Source, key: str) -> Iterator[Fault]:
    """Yield the fault of a key in the shared [sole] that each plane has from the family."""
    sole = source.table.get("sole")
    if isinstance(sole, dict) and key in sole:
        cure = "Take it out; one plane's other sole is a spec of its own"
        yield fault_at(source, ("sole", key), sole[key], f"[{TABLE}] gives each plane its {key}", cure)


def _missized(source: Source, form: str) -> Iterator[Fault]:
    """Yield what is wrong with sizes for the forms, all of which are sized as the given one is."""
    key = size_of(form).key
    own = SIZED_BY[key]
    for name in LISTS.keys() & source.table[TABLE].keys() - {own}:
        problem = f"{forms()[form].CALLED} is sized by {key}"
        cure = f"Write {own} for {name}, or give forms that have them"
        yield fault_at(source, (TABLE, name), None, problem, cure)
    yield from _given_by_family(source, key.removeprefix("sole."))


def _unknown(source: Source, table: Mapping[str, Any]) -> Iterator[Fault]:
    for key in table:
        if key not in KNOWN:
            cure = f"{nearest(key, KNOWN)}Known in [{TABLE}]: {', '.join(KNOWN)}"
            yield fault_at(source, (TABLE, key), None, f"there is no such key in [{TABLE}]", cure)


def _forms(source: Source, raw: Any) -> tuple[list[str], list[Fault]]:
    """Return the forms that a family is made in, all sized by one key, and what is wrong with others."""
    able = [name for name, form in forms().items() if form.SIZE.key in SIZED_BY]
    cure = f"Write a list of {', '.join(able)}"
    key = (TABLE, "forms")
    if not isinstance(raw, list) or not raw or len(set(map(str, raw))) < len(raw):
        return [], [fault_at(source, key, raw, "this is no list of forms, each once", cure)]
    wrong = [
        fault_at(source, key, raw, f"{name!r} is no form that can be graded", cure)
        for name in raw
        if name not in able
    ]
    found = [name for name in able if name in raw]
    by = {size_of(name).key: name for name in reversed(found)}
    if len(by) > 1:
        problem = "; ".join(f"{forms()[name].CALLED} is sized by {sized}" for sized, name in by.items())
        wrong.append(fault_at(source, key, raw, problem, "Make two families of them"))
    return ([] if len(by) > 1 else found), wrong


def _own(source: Source, labels: Collection[str]) -> tuple[dict[str, str], list[Fault]]:
    """Return the names of the tables under [plane] by the label or number that they stand for."""
    found: dict[str, str] = {}
    faults: list[Fault] = []
    numbers = {label.partition("-")[0] for label in labels}
    for written, value in source.table.get(PLANES, {}).items():
        number, dash, form = written.partition("-")
        meant = f"{number:0>2}{dash}{form}"
        path = (PLANES, written)
        if meant not in {*labels, *numbers}:
            known = f"Sizes are {min(numbers)} to {max(numbers)}, single planes such as {min(labels)}"
            cure = f"{nearest(meant, tuple(sorted(labels)))}{known}"
            faults.append(fault_at(source, path, None, "the family has no such plane", cure))
        elif not isinstance(value, dict):
            problem = f"{type_name(value)} stands where a table belongs"
            faults.append(fault_at(source, path, value, problem, f"Write [{PLANES}.{written}]"))
        elif meant in found:
            faults.append(fault_at(source, path, None, "the plane is given twice", "Keep one of the two"))
        else:
            found[meant] = written
            faults += _own_faults(source, path, value)
    return found, faults


def _own_faults(source: Source, path: KeyPath, table: Mapping[str, Any]) -> Iterator[Fault]:
    """Yield the faults of keys that no plane of a family can have for itself."""
    given = dict(leaves(table))
    for key in OF_FAMILY & given.keys():
        problem = f"every plane has its {key[-1]} from the family"
        cure = "Take it out; a plane of another kind is a spec of its own"
        yield fault_at(source, (*path, *key), given[key], problem, cure)


def _composed(
    source: Source, form: str, size: Size, share: float, scaled: Iterable[Scale], unit: UnitName
) -> Composed:
    """Return the table of a plane before its own changes."""
    shared = {key: value for key, value in source.table.items() if key not in (TABLE, PLANES)}
    sized_by = tuple(size_of(form).key.split("."))
    composed = Composed(either={} if sized_by in ARC_OR_WIDTH else ARC_OR_WIDTH)
    composed.put(("name",), "", 0)  # first in the text
    composed.lay_over(shared, source.lines, ())
    composed.put(("sole", "form"), form, source.lines.get((TABLE, "forms"), source.lines[(TABLE,)]))
    composed.put(sized_by, size.written, source.lines.get(size.key, source.lines[(TABLE,)]))
    for scale in scaled:
        line = source.lines.get((TABLE, "scale", *scale.path), 0)
        composed.put(scale.path, scale.at(share, unit), line)
    return composed


def _share(size: Size, found: tuple[Size, ...]) -> float:
    low, high = found[0].mm, found[-1].mm
    return (size.mm - low) / (high - low) if high > low else 0.0


def _member(source: Source, label: str, composed: Composed) -> Member:
    import tomlkit  # only a family pays for loading it

    text = tomlkit.dumps(composed.table)
    own = load_text(text, source.file, sha256(text.encode()))
    return Member(label, spec_of(replace(own, lines=composed.lines)), text)


def _label(number: int, form: str) -> str:
    return f"{number:02}-{form}"
