"""Spring: whether leaning the profile would bring its steepest members nearer to square."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians

from cad import soles
from cad.checks.check import GEOMETRY, Check, at_most
from cad.checks.cure import change
from cad.fields import PRACTICE
from cad.geometry import Plan
from cad.soles.spring import MOST_SPRING_DEG, lean_of
from cad.units import plain

WORTH_DEG = 5.0  # a lean that gains less is not worth holding a plane aslant for


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the check of the steepest turn against the least that a spring could leave."""
    spec, steepest = plan.spec, plan.sole.steepest_deg
    upright = soles.form_of(spec.sole).members(spec.sole)
    lean = lean_of([member.segment for member in upright])
    even = min(max(round(lean.even_deg * 2) / 2, -MOST_SPRING_DEG), MOST_SPRING_DEG)
    best = lean.steepest_at(even)
    gain = cos(radians(best)) / max(cos(radians(steepest)), 1e-9)
    many = "many times" if gain > 9 else f"{plain(gain, 1)} times"
    held = f"The plane is then held leaning by {plain(abs(even))}° at work" if even else ""
    yield at_most(
        "spring.even",
        steepest,
        "deg",
        note=best + WORTH_DEG,
        source=f"{GEOMETRY}: the middle between the steepest turns to either side; {plain(WORTH_DEG)}° more: "
        f"{PRACTICE}",
        why=f"the sole turns to {plain(steepest, 1)}° from level; with a spring of {plain(even)}° it would "
        f"turn to {plain(best, 1)}° at the most, and its steepest members would take a shaving {many} as "
        "thick",
        cure=change(f"sole.spring = {plain(even)}", then=held),
    )
