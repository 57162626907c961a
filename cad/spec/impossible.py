"""Planes that have no geometry: each value is in order, but together they leave no plane.

What is merely unwise is for cad.checks, which can say by how much; here are only the values that nothing
could be built from.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from math import atan2, ceil, degrees, floor, radians, sin

from cad.fields import Known, NotKnownError, Problem
from cad.formulas.throat import along_sole_mm, cot, mouth_gap_mm, opening_mm, relief_rise_mm
from cad.soles import (
    blind_edge_mm,
    form_of,
    forms,
    known_members,
    known_table,
    plate_edge_mm,
    top_mm,
    width_mm,
)
from cad.soles.drawing import drawing
from cad.soles.member import Member
from cad.soles.sound import DUST_DEG, flaws, past_plumb_deg
from cad.soles.spring import MOST_SPRING_DEG, lean_of
from cad.units import plain

IRON_PROUD_MM = 10.0  # the iron must stand at least so far out of the body to be struck and set


def problems(known: Known) -> tuple[Problem, ...]:
    """Return all that is impossible about the values, as far as they are known."""
    form = forms().get(str(known.values.get("sole.form")))
    own = _found(form.PROBLEMS, known) if form is not None else ()
    # Values that a form itself refuses have no profile worth judging.
    return own + _found(_FINDERS if own else (_profile, *_FINDERS), known)


def _found(finders: Iterable[Callable[[Known], Iterator[Problem]]], known: Known) -> tuple[Problem, ...]:
    return tuple(problem for find in finders for problem in _found_by(find, known))


def _found_by(find: Callable[[Known], Iterator[Problem]], known: Known) -> tuple[Problem, ...]:
    try:
        return tuple(find(known))
    except NotKnownError:
        return ()  # the value that is missing has a fault of its own


def _profile(known: Known) -> Iterator[Problem]:
    table, members = known_table(known), known_members(known)
    form = form_of(table)
    keys = tuple(filter(None, (form.SIZE.or_else, form.SIZE.key)))
    undercut = any(past_plumb_deg(member.segment) > DUST_DEG for member in members)
    saved = _saved(form.members(table)) if undercut else ""
    for flaw in flaws(members, known.show):
        drawn = _drawn_by(known, [member.name for member in members].index(flaw.member))
        yield Problem(("sole.spring", *keys) if saved else keys, flaw.problem + drawn, saved or flaw.cure)


def _saved(upright: Sequence[Member]) -> str:
    """Return the cure of a profile that is undercut as it leans, when some spring would cure it."""
    lean = lean_of([member.segment for member in upright])
    least, most = max(ceil(lean.least_deg), -MOST_SPRING_DEG), min(floor(lean.most_deg), MOST_SPRING_DEG)
    if least > most:
        return ""
    return f"Set sole.spring from {least} to {most}: no member is undercut between these"


def _drawn_by(known: Known, place: int) -> str:
    """Return in words which piece of a drawing a member comes from, nothing for a profile of no file."""
    drawn = drawing(known)
    return f" (drawn by {drawn.names[place]} in {known.text('sole.profile')})" if drawn else ""


def _height(known: Known) -> Iterator[Problem]:
    top, height = top_mm(known), known["body.height"]
    if top >= height:
        yield Problem(
            ("body.height", "sole.radius"),
            f"the body is no higher than its sole, which rises to {known.show(top)}",
            f"Make the height well over {known.show(top)}, or the profile flatter",
        )


def _thickness(known: Known) -> Iterator[Problem]:
    width, plate, thickness = width_mm(known), known["cheek.thickness"], known["body.thickness"]
    if thickness - plate <= width:
        yield Problem(
            ("body.thickness", "cheek.thickness", "sole.width", "sole.radius"),
            f"the throat would cut the body in two: it is {known.show(width)} deep, and behind the cheek "
            f"plate the body has {known.show(thickness - plate)}",
            f"Make the thickness more than {known.show(width + plate)}; a blind wall of 10 mm is usual",
        )


def _blind_relief(known: Known) -> Iterator[Problem]:
    wall = known["body.thickness"] - known["cheek.thickness"] - width_mm(known)
    edge, height = blind_edge_mm(known), known["body.height"]
    top = edge + relief_rise_mm(wall, known["sole.relief"])
    if wall > 0 and edge < height <= top:
        least = _least_relief(wall, height - edge)
        yield Problem(
            ("sole.relief", "body.thickness", "body.height"),
            f"the side relief leaves the body: it would meet the blind face {known.show(top)} above the sole "
            f"and the body is {known.show(height)} high",
            f"{least}make the body thinner, or higher than {known.show(top)}",
        )


def _least_relief(run: float, rise: float) -> str:
    angle = degrees(atan2(run, rise))
    return f"Make the relief more than {plain(angle + 0.05, 1)}°, " if angle < 60 else ""


def _plate_relief(known: Known) -> Iterator[Problem]:
    plate, shoulder, edge = known["cheek.thickness"], known["body.shoulder"], plate_edge_mm(known)
    top = edge + relief_rise_mm(plate, known["sole.relief"])
    if top_mm(known) < shoulder <= top:
        yield Problem(
            ("body.shoulder", "sole.relief", "cheek.thickness"),
            f"the relief of the cheek plate reaches the shoulder: it rises to {known.show(top)}, and the "
            f"shoulder is {known.show(shoulder)} above the sole",
            f"{_least_relief(plate, shoulder - edge)}make the plate thinner, or the shoulder higher than "
            f"{known.show(top)}",
        )


def _shoulder(known: Known) -> Iterator[Problem]:
    shoulder, height, top = known["body.shoulder"], known["body.height"], top_mm(known)
    if top < height and not top < shoulder < height:
        place = "at or above the top of the body" if shoulder >= height else "within the sole"
        yield Problem(
            ("body.shoulder", "body.height", "sole.radius"),
            f"the shoulder of the rabbet lies {place}",
            f"Put it between {known.show(top)} (the sole's highest point) and {known.show(height)}; "
            "three quarters of the height is usual",
        )


def _faces(known: Known) -> Iterator[Problem]:
    bed, front = known["throat.bed"], known["throat.front"]
    if front > bed:
        return
    cure = f"Make the front more than {plain(bed)}°; 10° more than the bed is usual"
    if front < bed and {"throat.bed", "throat.front"} <= known.given:
        cure = f"The two angles look swapped: write bed = {plain(front)} and front = {plain(bed)}"
    elif bed >= 90:
        cure = "Make the bed less than 90°; 50° is usual"
    yield Problem(
        ("throat.front", "throat.bed"),
        f"bed ({plain(bed)}°) and front ({plain(front)}°) close on each other, and no wedge can be driven",
        cure,
    )


def _heel(known: Known) -> Iterator[Problem]:
    length, at = known["body.length"], known["throat.mouth_at"]
    run = known["throat.mouth"] + known["body.height"] * cot(known["throat.bed"])
    if at + run >= length:
        room = length - run
        back = f"Put the mouth less than {known.show(room)} from the toe, or make" if room > 0 else "Make"
        yield Problem(
            ("throat.mouth_at", "body.length", "throat.bed", "body.height"),
            f"the throat runs out of the heel: at the top it reaches {known.show(at + run)} from the toe and "
            f"the body is {known.show(length)} long",
            f"{back} the body longer than {known.show(at + run)}",
        )


def _wedge(known: Known) -> Iterator[Problem]:
    tip, height, top = known["wedge.tip_height"], known["body.height"], top_mm(known)
    if top < height and not top < tip < height:
        place = "above the body" if tip >= height else "within the sole"
        keys, cure = ("wedge.tip_height", "body.height", "sole.radius"), ""
        if tip > top and "wedge.tip_height" not in known.given and _gap(known) < 0:
            # The rule has put the tip where the throat is at last wider than the iron.
            keys, cure = ("throat.mouth", "iron.thickness", "throat.front"), "Make the mouth longer, or "
        yield Problem(
            keys,
            f"the tip of the wedge lies {place}",
            f"{cure}{'put' if cure else 'Put'} it between {known.show(top)} (the sole's highest point) and "
            f"{known.show(height)}",
        )


def _gap(known: Known) -> float:
    return mouth_gap_mm(known["throat.mouth"], known["iron.thickness"], known["throat.bed"])


def _wedge_tip(known: Known) -> Iterator[Problem]:
    bed, front, mouth = known["throat.bed"], known["throat.front"], known["throat.mouth"]
    if front <= bed:
        return  # this has a fault of its own
    iron = along_sole_mm(known["iron.thickness"], bed)
    thick = opening_mm(mouth, bed, front, known["wedge.tip_height"]) - iron
    if thick <= 0:
        yield Problem(
            ("wedge.tip_height", "throat.mouth", "iron.thickness"),
            f"the wedge has no thickness at its tip: the iron fills the throat there and lacks "
            f"{known.show(-thick)}",
            f"Put the tip higher, make the iron thinner, or the mouth longer (the iron alone takes "
            f"{known.show(iron)} along the sole)",
        )


def _wedge_width(known: Known) -> Iterator[Problem]:
    clearance, width = known["wedge.side_clearance"], width_mm(known)
    if clearance >= width:
        yield Problem(
            ("wedge.side_clearance", "sole.width", "sole.radius"),
            f"the clearance leaves the wedge no width: the throat is {known.show(width)} deep",
            "Make the clearance smaller; 0.2 mm is usual",
        )


def _iron(known: Known) -> Iterator[Problem]:
    length = known["iron.length"]
    run = known["body.height"] / sin(radians(known["throat.bed"]))
    if length < run + IRON_PROUD_MM:
        yield Problem(
            ("iron.length", "body.height", "throat.bed"),
            f"the iron is too short: it lies {known.show(run)} along the bed and must stand out of the body",
            f"Make it at least {known.show(run + IRON_PROUD_MM)}; the wedge's head and 28 mm more are usual",
        )


def _moisture(known: Known) -> Iterator[Problem]:
    low, high = known.numbers("wood.moisture_range")
    if low > high:
        yield Problem(
            ("wood.moisture_range",),
            "the lowest moisture is above the highest",
            f"Write it as [{plain(high)}, {plain(low)}]",
        )


def _hand_saw(known: Known) -> Iterator[Problem]:
    plate, kerf = known["shop.hand_saw.plate"], known["shop.hand_saw.kerf"]
    if kerf < plate:
        yield Problem(
            ("shop.hand_saw.kerf", "shop.hand_saw.plate"),
            f"the saw's kerf is narrower than its plate ({known.show(plate)})",
            "Measure both: the kerf is the plate and the set of the teeth on each side",
        )


def _router(known: Known) -> Iterator[Problem]:
    spacing, cutter = known["shop.router.spacing"], known["shop.router.cutter"]
    if spacing < cutter:
        yield Problem(
            ("shop.router.spacing", "shop.router.cutter"),
            f"pieces lie closer on the sheet than the cutter is wide ({known.show(cutter)}): cutting one "
            "would spoil the next",
            f"Make the spacing at least {known.show(cutter)}; 2 mm more is usual",
        )


_FINDERS: tuple[Callable[[Known], Iterator[Problem]], ...] = (
    _height,
    _thickness,
    _blind_relief,
    _plate_relief,
    _shoulder,
    _faces,
    _heel,
    _wedge,
    _wedge_tip,
    _wedge_width,
    _iron,
    _moisture,
    _hand_saw,
    _router,
)
