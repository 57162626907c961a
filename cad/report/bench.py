"""Plan against bench as `look` tells it: what was measured, what each difference does, what is left."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, get_args

from cad.formulas.wedging import sink_per_shaving
from cad.geometry import Plan
from cad.geometry.bench import (
    OFF_SOLE,
    SINK,
    STAND_OFF,
    Difference,
    Effect,
    SoleFit,
    differences,
    sole_fit,
    together,
)
from cad.report.dimension import Dimension, Kind
from cad.spec.bench import Work
from cad.units import INCH_MM, UnitName, format_limit

PLACES = 9
SOURCE = "JCGM 100:2008, annex G: standard error times Student's factor"


def bench_json(plan: Plan) -> dict[str, Any] | None:
    """Return plan against bench ready for json.dumps, None where nothing was measured."""
    if not plan.planned.measured.found:
        return None
    fit = sole_fit(plan)
    return {
        "made": [work for work in _works() if work in plan.made],
        "to_make": _to_make(plan),
        "differences": [_difference_json(one, plan) for one in differences(plan)],
        "together": [_effect_json(one) for one in together(plan)],
        "sole_fit": None if fit is None else _fit_json(fit),
    }


def _works() -> tuple[Work, ...]:
    return get_args(Work)


def _to_make(plan: Plan) -> list[str]:
    """Return what follows from what was measured; an iron is measured before its edge is ground."""
    return [*(work for work in _works() if work not in plan.made), "iron's edge"]


def _difference_json(one: Difference, plan: Plan) -> dict[str, Any]:
    return {
        "keys": [f"measured.{name}" for name in one.keys],
        "of": one.of,
        "unit": one.unit,
        "planned": round(one.planned, PLACES),
        "measured": round(one.measured, PLACES),
        "difference": round(one.measured - one.planned, PLACES),
        "effects": [_effect_json(effect) for effect in one.effects],
        "to_do": _to_do(one, plan),
    }


def _effect_json(one: Effect) -> dict[str, Any]:
    planned, built = round(one.planned, PLACES) + 0.0, round(one.built, PLACES) + 0.0
    return {"id": one.id, "what": one.what, "unit": one.unit, "planned": planned, "built": built}


def _fit_json(fit: SoleFit) -> dict[str, Any]:
    return {
        "radius_mm": round(fit.radius, PLACES),
        "radius_95_mm": None if fit.radius_95 is None else round(fit.radius_95, PLACES),
        "off_centre_mm": round(fit.off_centre, PLACES),
        "off_centre_95_mm": None if fit.off_centre_95 is None else round(fit.off_centre_95, PLACES),
        "rms_mm": round(fit.rms, PLACES),
        "readings": fit.readings,
        "source": SOURCE,
    }


def bench_text(plan: Plan) -> Iterator[str]:
    """Yield plan against bench as lines, none where nothing was measured."""
    if not plan.planned.measured.found:
        return
    unit = plan.spec.unit
    yield "At the bench: plan against what was measured"
    for one in differences(plan):
        planned, found = _shown(one.unit, one.planned, unit), _shown(one.unit, one.measured, unit)
        more = _shown(one.unit, one.measured - one.planned, unit, signed=True)
        yield f"  {one.of}: {planned} planned, {found} found ({more})"
        yield from _effects(one.effects, unit)
        if to_do := _to_do(one, plan):
            yield f"    {to_do}."
    if len(differences(plan)) > 1 and (effects := together(plan)):
        yield "  all of it together"
        yield from _effects(effects, unit)
    if fit := sole_fit(plan):
        yield from _fit(fit, unit)
    yield f"  made: {', '.join(work for work in _works() if work in plan.made) or 'nothing yet'}"
    yield f"  still to be made, to fit what is there: {', '.join(_to_make(plan))}"
    yield ""


def _effects(effects: tuple[Effect, ...], unit: UnitName) -> Iterator[str]:
    for one in effects:
        before, after = _shown(one.unit, one.planned, unit), _shown(one.unit, one.built, unit)
        if before == after:
            continue  # a hair that no figure shows is none
        size, more = _shown(one.unit, abs(one.built), unit), one.built > 0
        if one.id == SINK:
            yield f"    a wedge made to the plan sits {size} {'deeper' if more else 'higher'}"
        elif one.id == STAND_OFF:
            yield f"    and stands {size} off the front face at its {'head' if more else 'tip'}"
        elif one.id == OFF_SOLE:
            side = "shy of the sole" if more else "proud of the sole"
            yield f"    an edge ground to the plan stands {size} {side} at its ends"
        else:
            yield f"    {one.what}: {after} instead of {before}"


def _shown(kind: Kind, value: float, unit: UnitName, signed: bool = False) -> str:
    plus = "+" if signed and value > 0 else ""
    return plus + Dimension(kind, value, False, "").shown(unit)


def _fit(fit: SoleFit, unit: UnitName) -> Iterator[str]:
    yield (
        f"  circle through {fit.readings} readings: radius {_fine(fit.radius, unit)}"
        f"{_give_or_take(fit.radius_95, unit)},"
    )
    side = "blind" if fit.off_centre > 0 else "rabbet"
    yield (
        f"    centre {_fine(abs(fit.off_centre), unit)} off its place, to the {side} side"
        f"{_give_or_take(fit.off_centre_95, unit)}"
    )
    if fit.radius_95 is None:
        yield "    three readings fit any circle: with more, their scatter tells how far it may be trusted"
    else:
        yield f"    readings lie {_fine(fit.rms, unit)} off it (root mean square); ± holds 19 times in 20"
        yield f"    ({SOURCE})"
        yield "    a bar that lies askew moves the centre, not the radius"


def _fine(mm: float, unit: UnitName) -> str:
    return f"{mm:.3f} mm" if unit == "mm" else f"{mm / INCH_MM:.4f} in ({mm:.3f} mm)"


def _give_or_take(half: float | None, unit: UnitName) -> str:
    return "" if half is None else f" ± {_fine(half, unit)}"


def _to_do(one: Difference, plan: Plan) -> str:
    """Return what the maker does about a difference, where there is something to do with the piece itself."""
    off = one.measured - one.planned
    unit, wedge = plan.spec.unit, plan.wedge
    if one.of == "wedge's sink" and off < 0:
        shaving = -off / sink_per_shaving(wedge.throat.bed_deg, wedge.throat.front_deg)
        return f"Plane {_fine(shaving, unit)} off one face, and it sits where it was planned"
    if one.of == "throat.depth" and off < 0:
        width, lacking = format_limit(plan.iron.width, unit), format_limit(-off, unit)
        return f"Make the iron {width} wide, or pare {lacking} off the throat's bottom and measure again"
    if one.of == "iron.width" and one.measured > plan.throat.depth:
        return f"Grind {format_limit(one.measured - plan.throat.depth, unit)} off its sides"
    if one.of == "cheek.thickness" and "sole" in plan.made and off:
        prouder = "the plate" if off > 0 else "the rail"
        return f"Once it is glued, plane {prouder} down by {format_limit(abs(off), unit)} to lie flush"
    return ""
