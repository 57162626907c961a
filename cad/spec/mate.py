"""The mate of a plane: from the spec of a round that of its hollow, and the reverse, as a text to be edited.

The two planes of a pair are of one size: what the rules would work out otherwise for the mate is set to what
the first plane has. The maker's own text is kept, with its comments and units.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import reduce
from typing import Any

from cad.errors import CallError, SpecError
from cad.profiles.bulges import corners_of
from cad.soles import mate_form, sole_path
from cad.spec.editing import with_values
from cad.spec.keys import Key, keys
from cad.spec.model import Spec
from cad.spec.reader import parse_spec
from cad.spec.starter import value_text
from cad.units import UnitName, plain

ALIKE = ("body", "cheek", "throat", "iron", "wedge")  # the tables in which the two of a pair agree
SAME = 1e-6  # mm or degrees: closer than any value is written
LONGEST_NAME = 64
DRAWN, COUNTER = "drawn", "counter"  # the form of any profile, and the word that names a mate of that form
HEAD = "# The mate of {name}, written by planewright mate."

_HEAD_LINE = re.compile(HEAD.replace(".", r"\.").format(name=".+"))


@dataclass(frozen=True)
class Mate:
    """The mate's spec as text and as value, and what could not be kept of the first, in words."""

    text: str
    spec: Spec
    remarks: tuple[str, ...]


def mate_of(text: str, file: str) -> Mate:
    """Return the mate of the plane that a spec's text describes; `file` names it in messages.

    A form that names no mate has one drawn: the counter-profile of its sole, corner for corner.

    Raises SpecError when the text is no spec, CallError when the mate cannot be.
    """
    spec = parse_spec(text, file)
    form = mate_form(spec.sole.form) or DRAWN
    known = {key.dotted: key for key in keys(form)}
    kinds = {dotted: key.kind for dotted, key in known.items()}
    # What was measured was measured on the first plane: of the mate nothing is made yet.
    edits = {"name": mate_name(spec.name, spec.sole.form, form)}
    edits |= {f"measured.{key}": "" for key in spec.measured.found}
    if mate_form(spec.sole.form):
        changed = with_values(text, {**edits, "sole.form": form, **_leaned(spec)}, kinds)
    else:
        changed = with_values(with_counter_profile(text, spec), edits, kinds)
    possible, dropped = _made_possible(changed, file, spec, known)
    alike, unlike = _made_alike(possible, spec, known)
    remarks = (*dropped, *unlike)
    head = [HEAD.format(name=spec.name), *(f"# {remark}" for remark in remarks)]
    # The mate of a mate says whose it is, and no longer whose the other was.
    kept = [line for line in alike.split("\n") if not _HEAD_LINE.fullmatch(line.rstrip())]
    whole = "\n".join([*head, *kept])
    return Mate(whole, parse_spec(whole, file), remarks)


def _leaned(first: Spec) -> dict[str, str]:
    """Return the mate's spring: turned end for end, it lies closely on a sole that leans the other way."""
    return {"sole.spring": plain(-first.sole.spring, 6)} if first.sole.spring else {}


def mate_name(name: str, form: str, mate: str) -> str:
    """Return a name for the mate: the form's word in the name changed, or else the mate's added to it.

    >>> mate_name("cornice-round", "round", "hollow"), mate_name("no_8", "round", "hollow")
    ('cornice-hollow', 'no_8-hollow')
    """
    if mate == DRAWN:
        return f"{name[: LONGEST_NAME - len(COUNTER) - 1]}-{COUNTER}"
    word = re.compile(rf"(?<![A-Za-z]){re.escape(form)}(?![A-Za-z])")
    return word.sub(mate, name) if word.search(name) else f"{name[: LONGEST_NAME - len(mate) - 1]}-{mate}"


def with_counter_profile(text: str, spec: Spec) -> str:
    """Return a spec's text with its sole drawn by the corners of the counter-profile, as it lies in the body.

    What was said of the first sole goes, its relief apart. Raises CallError for a text put together so that
    its sole cannot be changed.
    """
    import tomlkit  # beside `serve` only this pays for loading it

    corners = corners_of(sole_path(spec.sole))
    written = [[_number(y, spec.unit), _number(-z, spec.unit), round(-bulge, 12)] for y, z, bulge in corners]
    document = tomlkit.parse(text)
    sole: Any = document["sole"]
    for key in list(sole):
        if key not in ("form", "relief"):
            sole.remove(key)
    points = tomlkit.array()
    for corner in written:
        points.add_line([*corner[:2], *(corner[2:] if corner[2] else ())])
    points.add_line(indent="")
    sole["form"], sole["points"] = DRAWN, points
    return tomlkit.dumps(document)


def _number(mm: float, unit: UnitName) -> Any:
    """Return a length as a spec in some unit holds it, exact to a millionth of a mm."""
    return round(mm, 9) + 0.0 if unit == "mm" else f"{plain(mm, 9)} mm"


def _made_possible(
    text: str, file: str, first: Spec, known: Mapping[str, Key]
) -> tuple[str, tuple[str, ...]]:
    """Return the text without the values that leave the mate no geometry, and a remark on each.

    Raises CallError when it has none without them either.
    """
    try:
        parse_spec(text, file)
    except SpecError as error:
        faults = error.faults
    else:
        return text, ()
    gone = [fault for fault in faults if fault.key in known and not fault.key.startswith(("name", "sole."))]
    kinds = {dotted: key.kind for dotted, key in known.items()}
    try:
        changed = with_values(text, {fault.key: "" for fault in gone}, kinds)
        spec = parse_spec(changed, file)
    except (SpecError, CallError) as error:
        words = "; ".join(f"{fault.key}: {fault.problem}. {fault.cure}" for fault in faults)
        raise CallError(f"{file}: the mate of {first.name} has no geometry: {words}") from error
    remarks = (
        f"{fault.key} = {fault.value} cannot be kept: {fault.problem}. It is now worked out: "
        f"{_written(spec, known[fault.key])}"
        for fault in gone
    )
    return changed, tuple(remarks)


def _made_alike(text: str, first: Spec, known: Mapping[str, Key]) -> tuple[str, tuple[str, ...]]:
    """Return the text with the sizes of the first plane where the rules would give the mate others.

    Where the mate has no geometry at these sizes it keeps those worked out for it, which is remarked on.
    """
    mate = parse_spec(text, first.name)
    differing = tuple(_differing(first, mate, known))
    sizes = {dotted: _written(first, known[dotted]) for dotted in differing}
    try:
        alike = with_values(text, sizes, {dotted: known[dotted].kind for dotted in differing})
        parse_spec(alike, first.name)
    except SpecError:
        own = ", ".join(f"{dotted} {_written(mate, known[dotted])} ({sizes[dotted]})" for dotted in differing)
        return text, (f"this sole needs sizes of its own, beside those of {first.name} in brackets: {own}",)
    return alike, ()


def _written(spec: Spec, key: Key) -> str:
    return value_text(key.kind, value_of(spec, key.dotted), spec.unit).strip('"')


def _differing(first: Spec, mate: Spec, known: Iterable[str]) -> Iterator[str]:
    for dotted in known:
        if dotted.partition(".")[0] not in ALIKE:
            continue
        one, other = value_of(first, dotted), value_of(mate, dotted)
        if isinstance(one, float) and abs(one - other) > SAME:
            yield dotted


def value_of(spec: Spec, dotted: str) -> Any:
    """Return the value of a dotted key of a spec."""
    return reduce(getattr, dotted.split("."), spec)
