"""The assembly: three views with hidden lines removed, a section through the throat, the list of parts."""

from __future__ import annotations

import re
from collections.abc import Iterator

from cad.geometry import Plan
from cad.kernel.measure import extent
from cad.kernel.projection import seen, sliced
from cad.papers.drawings.dimension import length_text
from cad.papers.drawings.sheet import Item, Sheet, arranged
from cad.papers.drawings.subject import (
    Stand,
    Subject,
    from_above,
    from_open_side,
    from_the_left,
    in_the_iron,
)
from cad.papers.drawings.view import Balloon, CuttingLine, View, section_of, view_of

PLACE = 1
NAMES = {"body": "Body", "cheek_plate": "Cheek plate", "wedge": "Wedge", "iron": "Iron"}


def sheets(subject: Subject) -> Iterator[Sheet]:
    """Yield the one sheet of the assembly."""
    plan = subject.plan
    if not set(NAMES) <= set(subject.parts):
        return
    solids = [subject.parts[name] for name in NAMES]
    front, left, above = (at(plan) for at in (from_open_side, from_the_left, from_above))
    front_view = view_of(seen(solids, front.look)).with_marks(*_balloons(plan, front))
    above_view = view_of(seen(solids, above.look)).with_marks(_cutting_line(plan, above))
    rows = arranged(front_view, view_of(seen(solids, left.look)), above_view, subject.projection)
    column = 0 if subject.projection == "first" else 1
    section = _section(subject, front)
    below = (*rows, tuple(section if i == column else None for i in range(2)))
    beside = tuple((*row, section if front_view in row else None) for row in rows)
    yield Sheet(
        name="assembly",
        title=f"{plan.sole.form.capitalize()} plane, {plan.spec.body.hand} hand",
        document="Assembly drawing",
        rows=below,
        others=(beside,),
        notes=(
            f"Iron bedded at {plan.throat.bed_deg:g}°, its edge flush with the sole; wedge driven home.",
            f"Mouth in front of the edge: {subject.wording.length('gap', plan.throat.gap).text}.",
        ),
        items=tuple(_items(subject)),
        least_scale=0.5,
    )


def _section(subject: Subject, front: Stand) -> View:
    plan = subject.plan
    middle = plan.throat.depth / 2
    through = (0.0, -middle if plan.is_left else middle, 0.0)
    return section_of(sliced([subject.parts[name] for name in NAMES], front.look, through), "A–A")


def _cutting_line(plan: Plan, above: Stand) -> CuttingLine:
    middle = plan.throat.depth / 2
    ends = sorted([above.at(0, middle, 0), above.at(plan.stages.length, middle, 0)])
    return CuttingLine("A", ends[0], ends[1], "top")


def _balloons(plan: Plan, front: Stand) -> Iterator[Balloon]:
    length, section = plan.stages.length, plan.section
    rail = (section.height + section.shoulder) / 2
    wedge_u = plan.wedge.strike_u - 0.2 * plan.wedge.head_height
    wedge_n = plan.wedge.thickness(plan.wedge.front_exit_u) / 2
    yield Balloon("1", front.at(0.9 * length, 0, rail), "left" if front.flips else "right")
    yield Balloon("2", front.at(0.15 * length, 0, section.shoulder * 0.6), "top")
    yield Balloon("3", front.at(*in_the_iron(plan, wedge_u, 0, wedge_n)), "top", front.across(-14))
    yield Balloon("4", front.at(*in_the_iron(plan, plan.iron.length - 6, 0, -plan.iron.thickness / 2)), "top")


def _items(subject: Subject) -> Iterator[Item]:
    wood, steel = subject.plan.spec.wood.species, subject.plan.spec.iron.steel
    for number, (name, title) in enumerate(NAMES.items(), start=1):
        material = f"tool steel {steel}" if name == "iron" else wood
        yield Item(str(number), title, 1, material, _size(subject, name))


def _size(subject: Subject, name: str) -> str:
    """Return the block that a part is made from, its longest side first."""
    plan, unit = subject.plan, subject.plan.spec.unit
    if name == "wedge":
        line = plan.wedge.side_view().bounds()
        sides = [line[2] - line[0], line[3] - line[1], plan.wedge.width]
    elif name == "iron":
        sides = [plan.iron.length, plan.iron.width, plan.iron.thickness]
    else:
        low, high = extent(subject.parts[name])
        sides = [high[0] - low[0], high[2] - low[2], high[1] - low[1]]
    # The stock it is cut from: to the nearest mark of the rule, what is left over is on the part's own sheet.
    texts = [length_text(side, unit) for side in sides]
    return " × ".join(re.sub(r" [^ ]+ mm$", "", text) for text in texts)
