"""Plans for tests: a plain round of 16 mm, changed key by key as a spec file would change it."""

from __future__ import annotations

import json
from collections.abc import Mapping

from cad.geometry import Plan, derive
from cad.spec import Spec, parse_spec

BASE: dict[str, object] = {"name": "sample", "unit": "mm", "sole.form": "round", "sole.radius": 16}


def text_of(changes: Mapping[str, object]) -> str:
    """Return the spec file of the plain round with some keys changed; None takes a key out."""
    table = {key: value for key, value in {**BASE, **changes}.items() if value is not None}
    return "\n".join(f"{key} = {json.dumps(value)}" for key, value in table.items()) + "\n"


def spec_of(changes: Mapping[str, object]) -> Spec:
    return parse_spec(text_of(changes), "sample.toml")


def plan_of(changes: Mapping[str, object]) -> Plan:
    return derive(spec_of(changes))
