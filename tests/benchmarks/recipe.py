"""What the solids of a plane and three of its fixtures are made of: outlines in planes, swept, added, cut.

The other modellers are to build the same parts to the same sizes. They are given them as a maker would have
them on a drawing: plane outlines of lines and arcs, and how far each is swept. So that the drawing cannot
fall behind the program, it is taken down while the program builds its own.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from math import hypot
from pathlib import Path as FilePath
from typing import Any
from unittest.mock import patch

from cadquery import Solid

from cad.geometry import Plan, derive
from cad.kernel import shapes
from cad.outline import Arc, Path
from cad.outputs.curves import half_turns
from cad.parts import body, cheek_plate, throat, wedge
from cad.spec import read_spec
from fixtures import sanding_blocks, saw_guide, sled
from fixtures.bench import sled_base, sled_carrier

FIXTURES = (saw_guide, sled, sanding_blocks)
TRACED = (body, cheek_plate, throat, wedge, saw_guide, sanding_blocks, sled_base, sled_carrier)
FAR_MM = 40.0

Steps = list[dict[str, Any]]


class Drawn:
    """The steps by which each solid came about, by the solid."""

    def __init__(self) -> None:
        self._steps: list[tuple[Solid, Steps]] = []

    def of(self, solid: Solid) -> Steps:
        return next(steps for known, steps in self._steps if known is solid)

    def prism(self, path: Path, frame: shapes.Frame, sweep: shapes.Triple, holes: Any = ()) -> Solid:
        length = hypot(*sweep)
        step = {
            "do": "add",
            "origin": frame.origin,
            "across": frame.across,
            "along": frame.along,
            "length": length if sum(a * b for a, b in zip(sweep, frame.normal, strict=True)) > 0 else -length,
            "outlines": [_outline(one) for one in (path, *holes)],
        }
        return self._keep(shapes.prism(path, frame, sweep, holes), [step])

    def placed(self, solid: Solid, location: Any) -> Solid:
        return self._keep(shapes.placed(solid, location), self.of(solid))

    def cut(self, solid: Solid, *tools: Solid, part: str, feature: str) -> Solid:
        steps = [{**step, "do": "cut"} for tool in tools for step in self.of(tool)]
        return self._keep(shapes.cut(solid, *tools, part=part, feature=feature), [*self.of(solid), *steps])

    def common(self, first: Solid, second: Solid, part: str, feature: str) -> Solid:
        steps = [{**step, "do": "keep"} for step in self.of(second)]
        return self._keep(shapes.common(first, second, part, feature), [*self.of(first), *steps])

    def _keep(self, solid: Solid, steps: Steps) -> Solid:
        self._steps.append((solid, steps))
        return solid


def _outline(path: Path) -> dict[str, Any]:
    segments = half_turns(path)
    return {
        "start": segments[0].start,
        "segments": [
            {"arc": [one.point(0.5), one.end]} if isinstance(one, Arc) else {"line": [one.end]}
            for one in segments
        ],
    }


@contextmanager
def taking_down(drawn: Drawn) -> Iterator[None]:
    """Have the parts and fixtures make their solids by way of `drawn`."""
    with ExitStack() as stack:
        for module in TRACED:
            for name in ("prism", "placed", "cut", "common"):
                if hasattr(module, name):
                    stack.enter_context(patch.object(module, name, getattr(drawn, name)))
        yield


def recipes(plan: Plan) -> dict[str, Steps]:
    """Return the steps of every part, and of every piece of the three fixtures, for a right-hand plane."""
    drawn, found = Drawn(), {}
    with taking_down(drawn):
        parts: dict[str, Callable[[Plan], Solid]] = {
            module.__name__.rpartition(".")[2]: module.build for module in (body, cheek_plate, throat, wedge)
        }
        for name, build in parts.items():
            found[name] = drawn.of(build(plan))
        for fixture in FIXTURES:
            for piece in fixture.build(plan).pieces:
                found[piece.name] = drawn.of(piece.solid)
    return {**found, "iron": _iron(plan)}


def _iron(plan: Plan) -> Steps:
    """Return the iron, which the program sews together of faces: a bar, and what is ground off its edge."""
    iron, (v, u) = plan.iron, ((0.0, 1.0, 0.0), plan.iron.up_bed)
    edge, end = iron.edge(), iron.striking_end()
    points = [segment.point(i / 8) for segment in edge for i in range(8)] + [edge[-1].end]
    low, wide, thick = min(p[1] for p in points) - FAR_MM, iron.width, iron.thickness
    bar = {
        "start": (0.0, low),
        "segments": [
            {"line": [(wide, low)]},
            {"line": [end.start]},
            {"arc": [end.point(0.5), end.end]},
            {"line": [(0.0, low)]},
        ],
    }
    # The edge is swept back along the bevel, by `back` up the bed while it goes down through the thickness.
    back = sum(a * b for a, b in zip(iron.bevel_way, u, strict=True))
    down = -sum(a * b for a, b in zip(iron.bevel_way, iron.off_bed, strict=True))
    slant = hypot(back, down)
    across = tuple((a * down + b * back) / slant for a, b in zip(u, iron.off_bed, strict=True))
    squeezed = [(p[0], p[1] * down / slant) for p in points]
    left, right = (squeezed[0][0] - 1, squeezed[0][1]), (squeezed[-1][0] + 1, squeezed[-1][1])
    under = low - FAR_MM
    waste = {
        "start": (left[0], under),
        "segments": [
            {"line": [(right[0], under)]},
            {"line": [right]},
            {"line": [squeezed[-1]]},
            {"spline": squeezed[-2::-1]},
            {"line": [left]},
            {"line": [(left[0], under)]},
        ],
    }
    normal = shapes.Frame(iron.origin, v, u).normal
    outwards = sum(a * b for a, b in zip(normal, iron.off_bed, strict=True))
    frame = {"origin": iron.origin, "across": v, "along": u}
    ground = {"origin": iron.origin, "across": v, "along": across}
    return [
        {"do": "add", **frame, "length": -thick if outwards > 0 else thick, "outlines": [bar]},
        {"do": "cut", **ground, "length": 3 * FAR_MM, "both": True, "outlines": [waste]},
    ]


if __name__ == "__main__":
    FilePath(sys.argv[2]).write_text(json.dumps(recipes(derive(read_spec(sys.argv[1])))))
