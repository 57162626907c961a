"""What was measured and can no longer work, or cannot be so, each with how much to true off to save it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import radians, sin

from cad.fields import Known, Problem, Span
from cad.formulas.circle import sagitta_mm
from cad.formulas.throat import TIGHT_GAP_MM, mouth_gap_mm
from cad.formulas.wedging import sink_per_shaving
from cad.soles import forms, top_mm, width_mm
from cad.spec import impossible, truing
from cad.spec.bench import REPLACES, corrections, measured_in, work_out_as_built
from cad.spec.found_sole import fitted_sole, found_radius
from cad.spec.keys import keys
from cad.spec.measured import Measured
from cad.spec.rules import Worked
from cad.spec.rules.plane import BLIND_WALL_MM
from cad.units import plain

LEAST_HEAD_MM = 5.0  # the least that a spec may give a head
LEAST_IRON_SHARE = 0.75  # of the sole's width; common practice, no source
LEAST_ARC_SHARE = 0.9  # of the sole's width, that an arc of the radius found must reach over
READ_MM = 0.2  # how far off a gauge's span may be read; common practice, no source
_PAIRS = (("sole_chord", "sole_sagitta"), ("sole_across", "sole_readings"))


@dataclass(frozen=True)
class _Bench:
    """The plan's values, what was measured, and what the plan's keys come to by it."""

    known: Known
    measured: Measured

    @property
    def found(self) -> dict[str, object]:
        return corrections(self.known, self.measured)

    def value(self, key: str) -> float:
        """Return a value as measured, else as planned."""
        found = self.found.get(key, self.known.value(key))
        if not isinstance(found, float):
            raise TypeError(f"{key} is no number")
        return found


def bench_problems(planned: Worked, form: str | None) -> tuple[Problem, ...]:
    """Return what is wrong with the measurements of a plan that is in order itself."""
    bench = _Bench(planned.known, measured_in(planned.known))
    if not bench.measured.found:
        return ()
    for group in _GROUPS:
        problems = tuple(problem for find in group for problem in find(bench))
        if problems:
            return problems
    return tuple(_as_built(planned, form, bench))


def _paired(bench: _Bench) -> Iterator[Problem]:
    given = bench.measured.found
    for one, other in _PAIRS:
        for missing, there in ((one, other), (other, one)):
            if there in given and missing not in given:
                yield Problem(
                    (f"measured.{there}",),
                    f"without {missing} it says nothing of the sole's radius",
                    f"Give {missing} too, or take this one out",
                )
    if {"sole_chord", "sole_across"} <= given.keys():
        yield Problem(
            ("measured.sole_chord", "measured.sole_across"),
            "the sole is measured twice, by chord and sagitta and by a depth gauge",
            "Keep the one you trust more",
        )


def _gauge(bench: _Bench) -> Iterator[Problem]:
    chord, sagitta = bench.measured.sole_chord, bench.measured.sole_sagitta
    width = width_mm(bench.known)
    if chord is not None and sagitta is not None and sagitta > chord / 2:
        yield Problem(
            ("measured.sole_sagitta", "measured.sole_chord"),
            f"no gauge reads more than half its span, {bench.known.show(chord / 2)}, on an arc",
            "Look whether the two are swapped, and measure again",
        )
    elif chord is not None and chord > width + READ_MM:
        yield Problem(
            ("measured.sole_chord",),
            f"the gauge spans more than the sole, which is {bench.known.show(width)} wide: its feet did not "
            "stand on the arc",
            "Measure with a narrower gauge, both feet on the sole",
        )


def _readings(bench: _Bench) -> Iterator[Problem]:
    across, readings = bench.measured.sole_across, bench.measured.sole_readings
    if across is None or readings is None:
        return
    width = width_mm(bench.known)
    if len(across) != len(readings):
        yield Problem(
            ("measured.sole_readings",),
            f"there are {len(readings)} readings at {len(across)} places",
            "Give one reading for each place of sole_across",
        )
    elif max(across) > width + 1e-9:
        yield Problem(
            ("measured.sole_across",),
            f"a place lies beyond the sole, which is {bench.known.show(width)} wide",
            "Measure from the rabbet face",
        )
    else:
        yield from _fit(bench)


def _fit(bench: _Bench) -> Iterator[Problem]:
    keys = ("measured.sole_readings", "measured.sole_across")
    try:
        fitted = fitted_sole(bench.measured)
    except ValueError as error:
        yield Problem(
            keys, f"no circle can be laid through the readings: {error}", "Take more, further apart"
        )
        return
    readings = bench.measured.sole_readings or ()
    is_round = bench.known.text("sole.form") == "round"
    if fitted is not None and (fitted.y > sum(readings) / len(readings)) != is_round:
        yield Problem(
            keys,
            f"the readings curve the wrong way for {forms()[bench.known.text('sole.form')].CALLED}",
            "Turn the sole up, lay a bar across above it, and give the depth from the bar down to the sole",
        )


def _one_arc(bench: _Bench) -> Iterator[Problem]:
    given = [key for key in ("sole_chord", "sole_across") if key in bench.measured.found]
    if given and not {"sole.radius", "sole.arc"} <= bench.known.values.keys():
        yield Problem(
            (f"measured.{given[0]}",),
            f"{forms()[bench.known.text('sole.form')].CALLED} has no one radius to be measured",
            "Take the measurement out, and hold the sole against its gauge",
        )


def _faces(bench: _Bench) -> Iterator[Problem]:
    bed, front = bench.value("throat.bed"), bench.value("throat.front")
    if front <= bed:
        yield Problem(
            ("measured.front", "measured.bed"),
            f"bed ({plain(bed)}°) and front ({plain(front)}°) as cut close on each other, and no wedge "
            "can be driven",
            truing.steeper_front(
                bench.known["body.height"], bed, front, truing.EASY_WEDGE_DEG, bench.known.show
            ),
        )


def _mouth(bench: _Bench) -> Iterator[Problem]:
    """Yield the fault of an iron that does not come out of the mouth."""
    bed, front = bench.value("throat.bed"), bench.value("throat.front")
    gap = mouth_gap_mm(bench.value("throat.mouth"), bench.value("iron.thickness"), bed)
    sawn = {"throat.bed", "throat.front", "throat.mouth"} & bench.found.keys()
    if gap < 0 and front > bed and sawn:
        lacking = TIGHT_GAP_MM - gap
        yield Problem(
            ("measured.mouth", "measured.iron_thickness", "measured.bed"),
            f"the mouth is too small for this iron by {bench.known.show(-gap)}",
            truing.wider_mouth(lacking, bed, front, bench.known.show),
        )


def _depth(bench: _Bench) -> Iterator[Problem]:
    """Yield the fault of a throat sawn out through the blind face, or to much less than the sole's width."""
    depth, width, known = bench.measured.throat_depth, width_mm(bench.known), bench.known
    if depth is None:
        return
    wood = bench.value("body.thickness") - bench.value("cheek.thickness")
    if depth >= wood:
        yield Problem(
            ("measured.throat_depth", "measured.body_thickness"),
            "a throat so deep comes out through the blind face: behind the cheek plate the body has "
            f"{known.show(wood)}",
            "Measure again from the rabbet face; if it is so, glue a board of the same wood, "
            f"{known.show(depth - width)} and more, to the throat's bottom or to the blind face",
        )
    elif depth < LEAST_IRON_SHARE * width:
        yield Problem(
            ("measured.throat_depth",),
            f"the throat is too shallow by {known.show(width - depth)} for a sole {known.show(width)} wide",
            f"Pare {known.show(width - depth)} off its bottom, towards the blind face; then measure again",
        )


def _narrow(bench: _Bench) -> Iterator[Problem]:
    """Yield the fault of an iron that leaves too much of the sole without an edge."""
    width, sole = bench.measured.iron_width, width_mm(bench.known)
    if width is not None and width < LEAST_IRON_SHARE * sole:
        lacking, whole = bench.known.show(sole - width), bench.known.show(sole)
        yield Problem(
            ("measured.iron_width",),
            f"this iron leaves {lacking} of a sole of {whole} without an edge: wood stands up there and "
            "lifts the plane off its work",
            f"Take an iron {whole} wide, or make the plane for this one: its sole as wide",
        )


def _tight(bench: _Bench) -> Iterator[Problem]:
    """Yield the fault of a sole found so tight that an arc of its radius does not reach across it."""
    found, width = found_radius(bench.measured), width_mm(bench.known)
    if found is not None and 2 * found < LEAST_ARC_SHARE * width:
        show, meant = bench.known.show, bench.known["sole.radius"]
        off = sagitta_mm(found, 2 * found) - sagitta_mm(meant, 2 * found)
        where = "its middle" if bench.known.text("sole.form") == "round" else "both edges"
        yield Problem(
            ("measured.sole_sagitta", "measured.sole_readings"),
            f"the radius comes to {show(found)}, and no such arc reaches across a sole {show(width)} wide",
            f"Measure again over a wider stretch; or make the blocks without this measurement and true the "
            f"sole to {show(meant)}: {show(off)} comes off along {where}",
        )


def _thin(bench: _Bench) -> Iterator[Problem]:
    """Yield the fault of a blank too thin for its throat: wood can be glued on where it lacks."""
    known = bench.known
    thick = bench.measured.body_thickness
    if thick is None:
        return
    lacking = width_mm(known) + bench.value("cheek.thickness") + BLIND_WALL_MM - thick
    if lacking >= BLIND_WALL_MM:
        yield Problem(
            ("measured.body_thickness",),
            f"the throat would cut the body in two: with cheek plate and throat it takes "
            f"{known.show(thick + lacking - BLIND_WALL_MM)}, and the blank has no more",
            f"Glue a board of the same wood to the blind face, {known.show(lacking)} thick for the usual "
            f"wall of {known.show(BLIND_WALL_MM)}, or plane a thicker blank; then measure again",
        )


def _sunk(bench: _Bench) -> Iterator[Problem]:
    """Yield the fault of a wedge that sits so deep that its tip is in the sole, or its head in the body."""
    sink = bench.measured.wedge_sink
    bed, front = bench.value("throat.bed"), bench.value("throat.front")
    if sink is None or front <= bed:
        return
    top, head = top_mm(bench.known), bench.value("wedge.head_height")
    low = bench.value("wedge.tip_height")
    if low <= top or head < LEAST_HEAD_MM:
        slip = sink / sink_per_shaving(bed, front)
        cut = (
            f"or cut {bench.known.show((top - low) / sin(radians(bed)))} off its tip, " if low <= top else ""
        )
        yield Problem(
            ("measured.wedge_sink",),
            "the wedge sits so deep that its "
            + ("tip is in the sole" if low <= top else "head cannot be struck"),
            f"Glue a slip {bench.known.show(slip)} thick to its front, {cut}or make a new one; "
            "then measure again",
        )


_Finder = Callable[[_Bench], Iterator[Problem]]
# Each group rests on those before it: values that are no measurement are not worth working out further.
_GROUPS: tuple[tuple[_Finder, ...], ...] = (
    (_paired, _one_arc),
    (_gauge, _readings),
    (_faces, _mouth, _depth, _narrow, _tight, _thin, _sunk),
)


def _as_built(planned: Worked, form: str | None, bench: _Bench) -> Iterator[Problem]:
    """Yield what cannot be built from the plan as corrected, blaming what was measured."""
    corrected = work_out_as_built(planned, form)
    unit = planned.known.unit
    numbers = {**corrected.known.values, **corrected.out_of_range}
    for key in keys(form):
        number = numbers.get(key.dotted)
        if isinstance(key.kind, Span) and isinstance(number, float) and not key.kind.allows(number):
            yield Problem(
                _blamed((key.dotted,), bench),
                f"{key.dotted} comes to {key.kind.show(number, unit)} by what was measured",
                f"It must be {key.kind.limits(unit)}: measure again, or give {key.dotted}",
            )
    if not corrected.out_of_range:
        for problem in impossible.problems(corrected.known):
            yield Problem(_blamed(problem.keys, bench), f"as built, {problem.problem}", problem.cure)


def _blamed(keys: tuple[str, ...], bench: _Bench) -> tuple[str, ...]:
    """Return the measured keys behind those to blame, then these themselves."""
    behind = {spec: f"measured.{name}" for name, spec in REPLACES.items() if name in bench.measured.found}
    first = [f"measured.{name}" for name in bench.measured.found]
    return (*(behind[key] for key in keys if key in behind), *first[:1], *keys)
