"""The text of a new spec: what must be given, and every other key with its default and the reason for it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cad.errors import Fault, SpecError
from cad.fields import FileName, Span
from cad.soles import forms
from cad.spec.keys import Key, Kind, Several, keys, required
from cad.spec.model import Spec
from cad.spec.reader import parse_spec
from cad.units import INCH_MM, SIXTY_FOURTHS, UnitName, format_in, plain

WHERE = "new spec"
_HEAD = """\
# A moulding plane for planewright. A length is a text with a unit ("3/8 in", "9.5 mm") or a bare number in
# the file's unit; angles are bare numbers in degrees. What is commented out shows the value worked out from
# the rest, and why: take away the '#' of a line (and of its [table]) to set your own.
"""


def starter(form: str, size: str | float | None, unit: str, name: str | None = None) -> str:
    """Return a commented spec that parses as it stands.

    `size` is the key that the form must be given (a round's radius, a moulding's width): a length as in a
    spec, or a bare number (also as text) in `unit`; None takes the form's usual one. `name` is made from form
    and size when not given. Raises SpecError, without lines, when any of them cannot make a plane.

    >>> starter("round", "3/8 in", "in").splitlines()[4]
    'name = "round-3-8-in"'
    """
    wanted = (forms().get(form) or forms()["round"]).SIZE  # a form that is not known has a fault of its own
    length = _bare_number(wanted.usual if size is None else size)
    called = name if name is not None else _name(form, length, unit)
    head = [f"name = {_quoted(called)}", f"unit = {_quoted(unit)}"]
    sole = ["[sole]", f"form = {_quoted(form)}", f"{wanted.key.removeprefix('sole.')} = {_written(length)}"]
    try:
        spec = parse_spec("\n".join([*head, *sole]), WHERE)
    except SpecError as error:
        raise SpecError(_without_lines(error)) from error
    return f"{_HEAD}\n" + "\n".join([*head, "", *sole, *_rest(spec)]) + "\n"


def _rest(spec: Spec) -> Iterator[str]:
    table = "sole"
    written = {*required(spec.sole.form), "unit"}
    for key in keys(spec.sole.form):
        if key.dotted in written or isinstance(key.kind, FileName):
            continue
        home, _, name = key.dotted.rpartition(".")
        if home != table:
            yield from ("", f"# [{home}]")
            table = home
        yield from _commented(spec, key, name)


def _commented(spec: Spec, key: Key, name: str) -> Iterator[str]:
    if key.optional:
        yield f"#     {name}: {key.description}"
        return
    value = value_text(key.kind, _value(spec, key.dotted), spec.unit)
    yield f"# {name} = {value}  # {key.description}"
    yield f"#     {spec.origins[key.dotted].reason}"


def _value(spec: Spec, dotted: str) -> object:
    found: object = spec
    for part in dotted.split("."):
        found = getattr(found, part)
    return found


def value_text(kind: Kind, value: object, unit: UnitName) -> str:
    """Return a value as TOML that reads back to the same value, within 1e-6 mm."""
    if isinstance(kind, Several) and isinstance(value, tuple):
        kinds = kind.items * len(value) if kind.repeats else kind.items
        return (
            f"[{', '.join(value_text(inner, item, unit) for inner, item in zip(kinds, value, strict=True))}]"
        )
    if isinstance(kind, Span) and isinstance(value, float):
        return _length_text(value, unit) if kind.quantity == "mm" else plain(value, 6)
    return _quoted(str(value))


def _length_text(mm: float, unit: UnitName) -> str:
    if unit == "mm":
        return plain(mm, 6)
    parts = Fraction(round(mm / INCH_MM * SIXTY_FOURTHS), SIXTY_FOURTHS)
    return f'"{format_in(mm)}"' if abs(float(parts) * INCH_MM - mm) < 1e-6 else f'"{plain(mm, 6)} mm"'


def _bare_number(size: str | float) -> str | float:
    try:
        return float(size)
    except ValueError:
        return str(size)


def _written(length: str | float) -> str:
    if isinstance(length, str):
        return length if _is_list(length) else _quoted(length)
    return plain(length, 9)


def _is_list(size: str) -> bool:
    return size.startswith("[")


def _name(form: str, length: str | float, unit: str) -> str:
    size = length if isinstance(length, str) else f"{plain(length, 9)} {unit}"
    size = "" if _is_list(size) else size
    words = "".join(letter if letter.isascii() and letter.isalnum() else " " for letter in f"{form} {size}")
    return "-".join(words.split())[:64]


def _quoted(text: str) -> str:
    import json  # JSON's strings are TOML's basic strings; only `new` pays for loading it

    return json.dumps(text)


def _without_lines(error: SpecError) -> Iterator[Fault]:
    for fault in error.faults:
        yield Fault(WHERE, 0, fault.key, fault.value, fault.problem, fault.cure)
