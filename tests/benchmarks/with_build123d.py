"""The same parts by a plain build123d script, in its algebra mode. Runs where build123d is installed.

Called with the drawing that recipe.py takes down and a folder; prints times and volumes as JSON.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from time import perf_counter
from typing import Any

START = perf_counter()

from build123d import (  # noqa: E402  (loading is timed)
    Compound,
    Face,
    Line,
    Part,
    Plane,
    Spline,
    ThreePointArc,
    Vector,
    Wire,
    export_step,
    export_stl,
    extrude,
)

LOADED = perf_counter()
PLANE = ("body", "cheek_plate", "iron", "wedge")


def swept(step: dict[str, Any]) -> Part:
    across, along = Vector(*step["across"]), Vector(*step["along"])
    plane = Plane(origin=tuple(step["origin"]), x_dir=across, z_dir=across.cross(along))
    outer, *holes = (wire(outline) for outline in step["outlines"])
    return extrude(plane * Face(outer, holes), amount=step["length"], both=step.get("both", False))


def wire(outline: dict[str, Any]) -> Wire:
    at, edges = tuple(outline["start"]), []
    for segment in outline["segments"]:
        ((kind, listed),) = segment.items()
        points = [tuple(point) for point in listed]
        if kind == "line":
            edges.append(Line(at, points[0]))
        elif kind == "arc":
            edges.append(ThreePointArc(at, *points))
        else:
            edges.append(Spline(at, *points))
        at = points[-1]
    return Wire(edges)


def modelled(steps: list[dict[str, Any]]) -> Part:
    part = Part()
    for step in steps:
        if step["do"] == "add":
            part = swept(step)
        elif step["do"] == "cut":
            part = part - swept(step)
        else:
            part = part & swept(step)
    return part


def main() -> None:
    recipes = json.loads(Path(sys.argv[1]).read_text())
    folder = Path(sys.argv[2])
    begun = perf_counter()
    solids = {name: modelled(steps) for name, steps in recipes.items()}
    done = perf_counter()
    for name, solid in solids.items():
        export_step(solid, str(folder / f"{name}.step"))
        export_stl(solid, str(folder / f"{name}.stl"), tolerance=0.01, angular_tolerance=0.1)
    export_step(Compound(children=[solids[name] for name in PLANE]), str(folder / "plane.step"))
    written = perf_counter()
    times = {"import_s": LOADED - START, "model_s": done - begun, "write_s": written - done}
    print(json.dumps({**times, "volumes": {name: solid.volume for name, solid in solids.items()}}))


if __name__ == "__main__":
    main()
