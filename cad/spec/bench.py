"""The plan corrected at the bench: measured values in place of planned ones, the rest worked out anew.

What is measured has been made. What was made with it keeps the values of the plan, and all that is still to
be made follows the rules again from what is there:

- a face or the mouth of the throat: the body is shaped, rabbeted and sawn;
- the sole's radius: the body is shaped and rabbeted;
- the body's thickness: its blank is squared;
- the cheek plate's thickness, and the iron's thickness or width: that piece is prepared;
- how the wedge sits: wedge and throat are made;
- the saw's plate or kerf: nothing is made, but the guides for it follow.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import reduce
from math import radians, sin
from typing import Any, Literal

from cad.fields import Known, Origin
from cad.spec.assembling import assembled
from cad.spec.found_sole import found_radius
from cad.spec.keys import keys
from cad.spec.measured import Measured
from cad.spec.model import Spec
from cad.spec.rules import Worked, work_out

Work = Literal["blank", "sole", "throat", "cheek plate", "iron's blank", "wedge"]

REPLACES = {
    "bed": "throat.bed",
    "front": "throat.front",
    "mouth": "throat.mouth",
    "iron_thickness": "iron.thickness",
    "saw_plate": "shop.hand_saw.plate",
    "saw_kerf": "shop.hand_saw.kerf",
    "body_thickness": "body.thickness",
    "cheek_thickness": "cheek.thickness",
}
_MADE: Mapping[str, tuple[Work, ...]] = {
    "bed": ("throat", "sole", "blank"),
    "front": ("throat", "sole", "blank"),
    "mouth": ("throat", "sole", "blank"),
    "throat_depth": ("throat", "sole", "blank"),
    "wedge_sink": ("wedge", "throat", "sole", "blank"),
    "sole_chord": ("sole", "blank"),
    "sole_across": ("sole", "blank"),
    "body_thickness": ("blank",),
    "cheek_thickness": ("cheek plate",),
    "iron_thickness": ("iron's blank",),
    "iron_width": ("iron's blank",),
}
# Which of the plan's values are in the wood, or the steel, once a piece of work is done.
_HELD: Mapping[Work, tuple[str, ...]] = {
    "blank": ("body.",),
    "sole": ("cheek.",),
    "throat": ("throat.",),
    "cheek plate": (),
    "iron's blank": ("iron.thickness", "iron.length"),
    "wedge": ("wedge.",),
}
_ALWAYS_HELD = ("wood.", "shop.", "paper.", "sole.")
_OWN_SAW = "shop.hand_saw."


def made(measured: Measured) -> frozenset[Work]:
    """Return what is made already, going by what was measured on it."""
    return frozenset(work for name in measured.found for work in _MADE.get(name, ()))


def as_built(spec: Spec) -> Spec:
    """Return the spec with what was measured in the place of what was planned, and nothing left to measure.

    A spec that was read has been held to work as built: nothing here can fail. With some of its measurements
    alone it need not work; what then comes to lie out of range stays as planned.
    """
    if not spec.measured.found:
        return spec
    form = spec.sole.form
    values = {key.dotted: reduce(getattr, key.dotted.split("."), spec) for key in keys(form)}
    known = Known(
        spec.unit,
        {key: value for key, value in values.items() if value is not None},
        frozenset(key for key, origin in spec.origins.items() if origin.given),
    )
    corrected = work_out_as_built(Worked(known, spec.origins, {}), form)
    whole = {**known.values, **corrected.known.values}
    kept = {key: value for key, value in whole.items() if not key.startswith("measured.")}
    origins = {**spec.origins, **corrected.origins}
    built = Worked(replace(known, values=kept), origins, {})
    return assembled(built, form, spec.digest, spec.drawing)


def work_out_as_built(planned: Worked, form: str | None) -> Worked:
    """Return the values of a complete plan corrected by those of them that were measured."""
    known = planned.known
    measured = measured_in(known)
    found = corrections(known, measured)
    works = made(measured)
    held = [*_ALWAYS_HELD, *(prefix for work in works for prefix in _HELD[work])]
    kept = {key: value for key, value in known.values.items() if _is_held(key, tuple(held), known)}
    start = {key: value for key, value in known.values.items() if key in known.given} | kept | found
    given = known.given | found.keys()
    if "sole.radius" in found:
        start.pop("sole.arc")  # it follows from the radius found and the width, which is in the wood
        given -= {"sole.arc"}
    worked = work_out(replace(known, values=start, given=frozenset(start)), form, frozenset())
    origins = {**worked.origins, **{key: planned.origins[key] for key in start if key in planned.origins}}
    direct = {"sole.radius", *(REPLACES[name] for name in measured.found if name in REPLACES)}
    for key in found:
        if key in direct:
            origins[key] = Origin(given=False, reason="measured at the bench")
        elif found[key] != known.values[key]:
            origins[key] = Origin(given=False, reason="follows from what was measured at the bench")
    return Worked(replace(worked.known, given=given), origins, worked.out_of_range)


def _is_held(key: str, held: tuple[str, ...], known: Known) -> bool:
    # A saw is measured as a whole: the plate that was not given follows the kerf that was found.
    return key.startswith(held) and (not key.startswith(_OWN_SAW) or key in known.given)


def measured_in(known: Known) -> Measured:
    """Return the table of what was measured out of values by dotted key."""
    prefix = "measured."
    found: dict[str, Any] = {
        key.removeprefix(prefix): value for key, value in known.values.items() if key.startswith(prefix)
    }
    return Measured.model_construct(**found)


def corrections(known: Known, measured: Measured) -> dict[str, Any]:
    """Return what the plan's keys come to by what was measured."""
    values = measured.found
    found: dict[str, Any] = {REPLACES[name]: value for name, value in values.items() if name in REPLACES}
    if measured.cheek_thickness is not None and "sole" in made(measured):
        found |= _planed_flush(known, measured.cheek_thickness, found)
    radius = found_radius(measured)
    if radius is not None:
        found |= {"sole.radius": radius, "sole.width": min(known["sole.width"], 2 * radius)}
    if measured.wedge_sink is not None:
        found |= _sunk(known, measured.wedge_sink, found.get("throat.bed", known["throat.bed"]))
    return found


def _planed_flush(known: Known, plate: float, found: Mapping[str, Any]) -> dict[str, float]:
    """Return plate and body once the prouder of plate and rail is planed down to the other.

    The rabbet is cut to the plan; the body's blind face stays where it is.
    """
    lower = min(plate - known["cheek.thickness"], 0.0)
    thickness = found.get("body.thickness", known["body.thickness"])
    return {"cheek.thickness": known["cheek.thickness"] + lower, "body.thickness": thickness + lower}


def _sunk(known: Known, sink: float, bed_deg: float) -> dict[str, float]:
    """Return where tip and head of the wedge are once it sits `sink` mm further down the bed."""
    return {
        "wedge.tip_height": known["wedge.tip_height"] - sink * sin(radians(bed_deg)),
        "wedge.head_height": known["wedge.head_height"] - sink,
    }
