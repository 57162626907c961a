"""From values by dotted key to a Spec: how reading a file ends, and correcting a plan."""

from __future__ import annotations

from typing import Any

from cad.fields import Known, Table
from cad.profiles import Drawn
from cad.spec.keys import fields_of, is_optional, keys, table_of
from cad.spec.model import Keys, Origins, Spec
from cad.spec.rules import Worked


def assembled(worked: Worked, form: str | None, digest: str, drawing: Drawn | None) -> Spec:
    """Return the spec that holds these values; digest and drawing are those of the files they come from."""
    tables = _tables(Keys, "", worked.known, form)
    ordered = {
        key.dotted: worked.origins[key.dotted] for key in keys(form) if key.dotted in worked.known.values
    }
    about = {"digest": digest, "origins": Origins(ordered), "drawing": drawing}
    return Spec.model_validate({**tables, **about})


def _tables(table: type[Table], prefix: str, known: Known, form: str | None) -> dict[str, Any]:
    """Return the values of a table by key, inner tables within."""
    built: dict[str, Any] = {}
    for name, field in fields_of(table, form).items():
        inner = table_of(field)
        if inner is not None:
            built[name] = _tables(inner, f"{prefix}{name}.", known, form)
        elif prefix + name in known.values or not is_optional(field):
            built[name] = known.value(prefix + name)
    return built
