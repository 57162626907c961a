"""What the page shows of a spec's text at once, without the kernel: its fields, its faults, its checks."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from typing import Any

from cad.checks import run_checks
from cad.errors import Fault, SpecError
from cad.fields import OneOf, Span
from cad.geometry import Plan, derive
from cad.report import dimensions, look_json
from cad.review.places import places
from cad.review.words import check_rows, dimension_groups, lede
from cad.soles import forms
from cad.spec import parse_spec
from cad.spec.keys import Key, Kind, Several, keys, required, size_of
from cad.units import UnitName

Fields = list[dict[str, Any]]


def looked_at(text: str, file: str) -> dict[str, Any]:
    """Return a text's fields with what is written in them, its faults by key and line, and its report.

    The report is null while there are faults; the values worked out are then missing from the fields.
    """
    plan, faults = _plan(text, file)
    table = _table(text)
    return {
        "text": text,
        "toml": table is not None,
        "fields": fields(table or {}, plan),
        "faults": fault_rows(faults),
        "report": look_json(plan, run_checks(plan)) if plan else None,
        "words": _words(plan) if plan else None,
    }


def _words(plan: Plan) -> dict[str, Any]:
    """Return what of the review page's model needs no solids: the page shows it before they are there."""
    return {
        "name": plan.spec.name,
        "unit": plan.spec.unit,
        "lede": lede(plan),
        "dimensions": dimension_groups(plan),
        "checks": check_rows(plan),
        "places": places(plan),
    }


def kinds_of(text: str) -> dict[str, Kind]:
    """Return what each key of a text may hold, by dotted name; those of the sole follow its form."""
    return {key.dotted: key.kind for key in keys(_form(_table(text) or {}))}


def fields(table: Mapping[str, Any], plan: Plan | None) -> Fields:
    """Return one field for each key, in the order of the file."""
    unit: UnitName = "in" if table.get("unit") == "in" else "mm"
    worked = dimensions(plan) if plan else {}
    found, form = [], _form(table)
    size = size_of(form)
    has_other = bool(size.or_else) and _value(table, size.or_else) is not None
    for key in keys(form):
        is_required = key.dotted in required(form) and not (key.dotted == size.key and has_other)
        field = _field(key, unit, is_required)
        field["written"] = _written(_value(table, key.dotted))
        if plan and key.dotted in worked:
            field["worked"] = worked[key.dotted].shown(plan.spec.unit)
            field["reason"] = worked[key.dotted].reason
        found.append(field)
    return found


def _field(key: Key, unit: UnitName, is_required: bool) -> dict[str, Any]:
    home, _, name = key.dotted.rpartition(".")
    return {
        "key": key.dotted,
        "table": home,
        "name": name,
        "about": key.description,
        "optional": key.optional,
        "required": is_required,
        "choices": list(key.kind.names()) if isinstance(key.kind, OneOf) else _forms(key.dotted),
        "allowed": _allowed(key.kind, unit),
        "measure": _measure(key.kind, unit),
    }


def _forms(dotted: str) -> list[str]:
    return list(forms()) if dotted == "sole.form" else []


def _allowed(kind: Kind, unit: UnitName) -> str:
    return kind.limits(unit) if isinstance(kind, Span) else ""


def _measure(kind: Kind, unit: UnitName) -> str:
    """Return what a bare number in a field means, in a sign or a word."""
    if isinstance(kind, Several):
        return _measure(kind.items[0], unit)
    if not isinstance(kind, Span):
        return ""
    return {"mm": str(unit), "deg": "°", "percent": "%", "number": ""}[kind.quantity]


def _plan(text: str, file: str) -> tuple[Plan | None, tuple[Fault, ...]]:
    try:
        return derive(parse_spec(text, file)), ()
    except SpecError as error:
        return None, error.faults


def _table(text: str) -> Mapping[str, Any] | None:
    """Return the table of a text, None when it is not TOML; what is wrong then is the reader's to say."""
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError):
        return None


def _form(table: Mapping[str, Any]) -> str | None:
    form = _value(table, "sole.form")
    return form if isinstance(form, str) and form in forms() else None


def _value(table: Mapping[str, Any], dotted: str) -> Any:
    found: Any = table
    for name in dotted.split("."):
        if not isinstance(found, Mapping) or name not in found:
            return None
        found = found[name]
    return found


def _written(raw: Any) -> str:
    """Return a value as it would be typed into its field."""
    if raw is None or isinstance(raw, Mapping):
        return ""
    if isinstance(raw, list):
        return ", ".join(f"[{_row(item)}]" if isinstance(item, list) else _written(item) for item in raw)
    if isinstance(raw, bool):
        return "true" if raw else "false"
    try:
        return str(raw)
    except ValueError:  # a whole number of more digits than Python will write
        return "…"


def _row(raw: list[Any]) -> str:
    """Return a list within a list; what lies deeper is nothing that a field can hold."""
    return ", ".join("[…]" if isinstance(item, list) else _written(item) for item in raw)


def fault_rows(faults: Iterable[Fault]) -> list[dict[str, Any]]:
    """Return faults ready for JSON: the page knows which file they are about."""
    return [
        {"line": one.line, "key": one.key, "value": one.value, "problem": one.problem, "cure": one.cure}
        for one in faults
    ]
