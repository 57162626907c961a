"""Plan against bench: what each measured value changes, by itself and with all others."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import reduce
from typing import Any, Literal

from cad.formulas.circle import sagitta_mm
from cad.formulas.sawing import set_of_teeth_mm
from cad.formulas.throat import along_sole_mm
from cad.formulas.uncertainty import student_95
from cad.geometry.plan import Plan, derive
from cad.geometry.seating import Flank, GroundEdge
from cad.outline import Arc
from cad.spec import Spec
from cad.spec.bench import REPLACES
from cad.spec.found_sole import fitted_sole, found_radius
from cad.spec.measured import Measured

Unit = Literal["mm", "deg"]
DUST = 1e-9  # a difference below this is none

# What a wedge or an edge made to the plan would show in the throat as cut.
SINK, STAND_OFF, OFF_SOLE = "wedge.sink", "wedge.stand_off", "edge.off_sole"

_ANGLES = ("bed", "front")
_SOLE = (("sole_chord", "sole_sagitta"), ("sole_across", "sole_readings"))


@dataclass(frozen=True)
class Effect:
    """A size that a measured value changes: as planned, and as it comes out."""

    id: str
    what: str
    unit: Unit
    planned: float
    built: float


@dataclass(frozen=True)
class Difference:
    """One measured value against the plan: the keys that hold it, what it is of, what it alone changes."""

    keys: tuple[str, ...]  # of the table [measured]
    of: str
    unit: Unit
    planned: float
    measured: float
    effects: tuple[Effect, ...]


@dataclass(frozen=True)
class SoleFit:
    """The circle fitted to a depth gauge's readings, mm.

    `off_centre` is how far its centre lies to the blind side of the planned one. `radius_95` is the half
    width of the radius's 95 % interval (standard error times Student's factor), `off_centre_95` that of the
    centre's place across; None with three readings, which say nothing of it.
    """

    radius: float
    off_centre: float
    rms: float
    readings: int
    radius_95: float | None
    off_centre_95: float | None


def planned_only(plan: Plan) -> Plan:
    """Return the plan as if nothing had been measured."""
    return derive(_with(plan.planned, {}))


def differences(plan: Plan) -> tuple[Difference, ...]:
    """Return each measured value against the plan, in the order of the table."""
    before = planned_only(plan)
    return tuple(_difference(plan, before, names) for names in _groups(plan.planned.measured))


def together(plan: Plan) -> tuple[Effect, ...]:
    """Return what all that was measured changes taken together."""
    return _effects(planned_only(plan), plan)


def sole_fit(plan: Plan) -> SoleFit | None:
    """Return the circle through the depth gauge's readings, None when there are none."""
    fitted = fitted_sole(plan.planned.measured)
    if fitted is None:
        return None
    errors = fitted.errors
    factor = student_95(fitted.spare) if errors else 0.0
    arc = planned_only(plan).sole.path.segments[0]
    meant = arc.centre[0] if isinstance(arc, Arc) else 0.0
    return SoleFit(
        radius=fitted.radius,
        off_centre=fitted.x - meant,
        rms=fitted.rms,
        readings=fitted.spare + 3,
        radius_95=factor * errors[2] if errors else None,
        off_centre_95=factor * errors[0] if errors else None,
    )


def _groups(measured: Measured) -> Iterator[tuple[str, ...]]:
    """Yield the names of the table that belong together."""
    pairs = {name: pair for pair in _SOLE for name in pair}
    yield from dict.fromkeys(pairs.get(name, (name,)) for name in measured.found)


def _with(spec: Spec, found: dict[str, Any]) -> Spec:
    """Return a spec with these measurements alone."""
    return spec.model_copy(update={"measured": Measured.model_construct(**found)})


def _difference(plan: Plan, before: Plan, names: tuple[str, ...]) -> Difference:
    measured = plan.planned.measured
    of, planned, value = _values(before, measured, names)
    own = {name: getattr(measured, name) for name in names}
    alone = derive(_with(plan.planned, {**_to_plan(plan, before, names), **own}))
    unit: Unit = "deg" if names[0] in _ANGLES else "mm"
    return Difference(names, of, unit, planned, value, _effects(before, alone))


def _to_plan(plan: Plan, before: Plan, names: tuple[str, ...]) -> dict[str, float]:
    """Return measurements that find what is made as it was planned, so that it counts as made."""
    found: dict[str, float] = {}
    if "sole" in plan.made and names not in _SOLE and before.sole.radius is not None:
        radius = before.sole.radius
        found |= {"sole_chord": radius, "sole_sagitta": sagitta_mm(radius, radius)}
    if "throat" in plan.made:
        found["mouth"] = before.throat.mouth
    if "wedge" in plan.made:
        found["wedge_sink"] = 0.0
    return found


def _values(before: Plan, measured: Measured, names: tuple[str, ...]) -> tuple[str, float, float]:
    """Return what was measured in words of the plan, its planned value, and its value."""
    (name, *_) = names
    if names in _SOLE:
        return "sole.radius", before.sole.radius or 0.0, found_radius(measured) or 0.0
    value: float = getattr(measured, name)
    if name == "throat_depth":
        return "throat.depth", before.throat.depth, value
    if name == "iron_width":
        return "iron.width", before.iron.width, value
    if name == "wedge_sink":
        return "wedge's sink", 0.0, value
    of = REPLACES[name]
    planned: Any = reduce(getattr, of.split("."), before.spec)
    return of, planned, value


def _effects(before: Plan, after: Plan) -> tuple[Effect, ...]:
    """Return the sizes that differ between two plans, with those that pieces made to the first would show."""
    pairs = zip(_sizes(before, before), _sizes(before, after), strict=True)
    return tuple(replace(one, built=two.built) for one, two in pairs if abs(one.built - two.built) > DUST)


def _sizes(first: Plan, plan: Plan) -> Iterator[Effect]:
    """Yield what measured values can change; `first` is the plan that wedge and iron may be made to."""
    seat = Flank(first.wedge).seat(plan.wedge)
    edge = GroundEdge(first.sole, first.throat.bed_deg, plan.sole).off_sole(plan.throat.bed_deg)
    saw, bed = plan.spec.shop.hand_saw, plan.throat.bed_deg
    play = plan.throat.depth - (plan.planned.measured.iron_width or plan.iron.width)
    guide = set_of_teeth_mm(saw.kerf, saw.plate)
    sizes: tuple[tuple[str, str, Unit, float], ...] = (
        ("mouth.gap", "mouth gap", "mm", plan.throat.gap),
        ("wedge.angle", "wedge's angle", "deg", plan.wedge.angle_deg),
        (SINK, "how much deeper a wedge made to the plan sits", "mm", seat.sink),
        (STAND_OFF, "its light on the front face: at its head, negative at its tip", "mm", seat.stand_off),
        ("wedge.tip", "wedge's tip above the sole", "mm", plan.wedge.tip_height),
        ("wedge.head", "wedge's head above the body, along the bed", "mm", plan.wedge.head_height),
        ("wedge.width", "wedge's width", "mm", plan.wedge.width),
        ("iron.clearance", "iron's clearance behind the edge", "deg", plan.iron.clearance_deg),
        ("iron.profile", "depth of the iron's profile", "mm", plan.iron.profile_depth()),
        (OFF_SOLE, "an edge ground to the plan, off the sole at its ends: negative proud", "mm", edge[0]),
        ("iron.play", "iron's side play in the throat", "mm", play),
        ("sole.profile", "depth of the sole's profile", "mm", plan.sole.highest),
        ("walls.blind", "wood between throat and blind face", "mm", plan.behind_throat),
        ("body.thickness", "thickness over the rail", "mm", plan.section.thickness),
        ("saw.guide", "saw guide's face off the line", "mm", guide),
        ("saw.along", "the kerf along the sole", "mm", along_sole_mm(saw.kerf, bed)),
    )
    yield from (Effect(name, what, unit, value, value) for name, what, unit, value in sizes)
