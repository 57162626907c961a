"""What was measured at the bench, held against what it must fit; and cures for wood that is already cut."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType

from cad.checks.check import GEOMETRY, Check, at_least, at_most
from cad.checks.mouth import LOOSE_MM, TIGHT_MM
from cad.checks.wedge import SELF_JAMMING_DEG, SLIPPERY
from cad.formulas.circle import sagitta_mm
from cad.formulas.throat import square_to_face_mm
from cad.formulas.wedging import widest_holding_deg
from cad.geometry import Plan
from cad.geometry.bench import planned_only, sole_fit
from cad.spec import truing
from cad.spec.bench import REPLACES, Work
from cad.spec.found_sole import found_radius
from cad.units import format_limit

LOOSE_IRON_MM, ADRIFT_MM = 0.3, 1.0  # common practice, no source
# Keys, or how they begin, that a piece of work settles: what it says stands in wood or steel from then on.
_SETTLED: Mapping[Work, tuple[str, ...]] = MappingProxyType(
    {
        "blank": ("body.length", "body.height", "body.thickness"),
        "sole": ("sole.", "body.shoulder", "cheek.thickness"),
        "throat": ("throat.",),
        "iron's blank": ("iron.thickness", "iron.length"),
        "wedge": ("wedge.",),
    }
)
_SET = re.compile(r"[a-z_]+(?:\.[a-z_]+)+(?= = )")  # a key in a cure that says what to set


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of what was measured: none where nothing was."""
    yield from _iron_width(plan)
    yield from _throat_depth(plan)
    yield from _iron_play(plan)
    yield from _sole(plan)
    yield from _fit(plan)


def _iron_width(plan: Plan) -> Iterator[Check]:
    width = plan.planned.measured.iron_width
    if width is not None:
        over = format_limit(width - plan.throat.depth, plan.spec.unit)
        yield at_most(
            "bench.iron_width",
            width,
            fail=plan.throat.depth,
            source=GEOMETRY,
            why="an iron wider than the throat is deep does not go in",
            cure=f"Grind {over} off its sides, then measure again",
        )


def _throat_depth(plan: Plan) -> Iterator[Check]:
    depth = plan.planned.measured.throat_depth
    if depth is not None:
        lacking = format_limit(plan.sole.width - depth, plan.spec.unit)
        yield at_least(
            "bench.throat_depth",
            depth,
            warn=plan.sole.width - LOOSE_IRON_MM,
            why="a throat less deep than the sole is wide takes a narrower iron, and leaves a strip of the "
            "sole beside the blind wall without an edge",
            cure=f"Pare {lacking} off its bottom, towards the blind face, then measure again",
        )


def _iron_play(plan: Plan) -> Iterator[Check]:
    measured = plan.planned.measured
    width = measured.iron_width or plan.iron.width
    if (measured.iron_width or measured.throat_depth) and width <= plan.throat.depth:
        yield at_most(
            "bench.iron_play",
            plan.throat.depth - width,
            note=LOOSE_IRON_MM,
            warn=ADRIFT_MM,
            why="an iron narrower than the throat turns aside under the wedge, and one narrower than the "
            "sole leaves a strip of it without an edge",
            cure="Set it against the cheek plate, a slip of veneer at the blind wall"
            + (", or take a wider one" if width < plan.sole.width else ""),
        )


def _sole(plan: Plan) -> Iterator[Check]:
    found, meant = found_radius(plan.planned.measured), planned_only(plan).sole.radius
    if found is None or meant is None:
        return
    yield at_most(
        "bench.sole",
        abs(found - meant),
        warn=plan.spec.sole.tolerance,
        why=f"the sole's radius was found at {format_limit(found, plan.spec.unit)}, off the plan's by more "
        "than sole.tolerance: iron and blocks follow what was found, and the work will show it",
        cure=_true_the_sole(plan, found, meant),
    )


def _true_the_sole(plan: Plan, found: float, meant: float) -> str:
    """Return what comes off a sole that was found too tight or too flat."""
    width = min(plan.spec.sole.width, 2 * min(found, meant))
    off = abs(sagitta_mm(found, width) - sagitta_mm(meant, width))
    at_crown = (found < meant) == (plan.sole.form == "round")
    where = (
        "along its middle, running out to its edges" if at_crown else "along both edges, none in its middle"
    )
    amount = format_limit(off, plan.spec.unit)
    return f"Make the blocks without this measurement and sand again: {amount} comes off {where}"


def _fit(plan: Plan) -> Iterator[Check]:
    fit = sole_fit(plan)
    if fit is not None and fit.radius_95 is not None:
        yield at_most(
            "bench.readings",
            fit.radius_95,
            note=plan.spec.sole.tolerance,
            source="half width of the 95 % interval, JCGM 100:2008, annex G",
            why="the readings tell the sole's radius no nearer than this, which is wider than "
            "sole.tolerance: a short arc says little of its radius",
            cure="Take more readings, as far out as the sole goes, or trust the gauge",
        )


def _wider(plan: Plan) -> str:
    lacking = TIGHT_MM - plan.throat.gap
    return truing.wider_mouth(lacking, plan.throat.bed_deg, plan.throat.front_deg, _show(plan))


def _narrower(plan: Plan) -> str:
    slip = square_to_face_mm(plan.throat.gap - LOOSE_MM, plan.throat.bed_deg)
    return f"Glue a slip {_show(plan)(slip)} thick to the bed, under the iron, then measure again"


def _steeper(plan: Plan) -> str:
    throat = plan.throat
    return truing.steeper_front(
        plan.section.height, throat.bed_deg, throat.front_deg, SELF_JAMMING_DEG, _show(plan)
    )


def _leaner(plan: Plan) -> str:
    throat, most = plan.throat, widest_holding_deg(SLIPPERY, SLIPPERY)
    return truing.leaner_front(plan.section.height, throat.bed_deg, throat.front_deg, most, _show(plan))


def _show(plan: Plan) -> Callable[[float], str]:
    return lambda mm: format_limit(mm, plan.spec.unit)


_CURES: dict[str, Callable[[Plan], str]] = {
    "mouth.gap": _wider,
    "mouth.wide": _narrower,
    "wedge.enters": _steeper,
    "wedge.holds": _leaner,
}


def cured_at_bench(plan: Plan, check: Check) -> Check:
    """Return a check with the cure for a throat that is sawn: what to pare or glue, not what to plan."""
    if check.holds:
        return check
    if "throat" in plan.made and check.id in _CURES:
        return replace(check, cure=_CURES[check.id](plan))
    settled = tuple(key for work in plan.made for key in _SETTLED.get(work, ()))
    measured = [of for name, of in REPLACES.items() if name in plan.planned.measured.found]
    keys = dict.fromkeys(_SET.findall(check.cure))
    there = [key for key in keys if key.startswith(settled) or key in measured]
    what = "that is" if len(there) == 1 else "those are"
    said = f"{check.cure}. But {' and '.join(there)} can no longer be set: {what} made or measured"
    return replace(check, cure=said) if there else check
