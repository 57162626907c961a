"""The same parts by a plain CadQuery script: chains of Workplanes, as its documentation teaches them.

Called with the drawing that recipe.py takes down and a folder; prints times and volumes as JSON.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from time import perf_counter
from typing import Any

START = perf_counter()

import cadquery as cq  # noqa: E402  (loading is timed)

LOADED = perf_counter()
PLANE = ("body", "cheek_plate", "iron", "wedge")


def swept(step: dict[str, Any]) -> cq.Workplane:
    across, along = cq.Vector(*step["across"]), cq.Vector(*step["along"])
    sheet = cq.Workplane(
        cq.Plane(tuple(step["origin"]), tuple(step["across"]), across.cross(along).toTuple())
    )
    for outline in step["outlines"]:
        sheet = sheet.moveTo(*outline["start"])
        for segment in outline["segments"]:
            ((kind, points),) = segment.items()
            if kind == "line":
                sheet = sheet.lineTo(*points[0])
            elif kind == "arc":
                sheet = sheet.threePointArc(*points)
            else:
                sheet = sheet.spline(points, includeCurrent=True)
        sheet = sheet.close()
    return sheet.extrude(step["length"], both=step.get("both", False))


def modelled(steps: list[dict[str, Any]]) -> cq.Workplane:
    work = cq.Workplane()
    for step in steps:
        if step["do"] == "add":
            work = swept(step)
        elif step["do"] == "cut":
            work = work.cut(swept(step))
        else:
            work = work.intersect(swept(step))
    return work


def main() -> None:
    recipes = json.loads(Path(sys.argv[1]).read_text())
    folder = Path(sys.argv[2])
    begun = perf_counter()
    solids = {name: modelled(steps) for name, steps in recipes.items()}
    done = perf_counter()
    for name, solid in solids.items():
        cq.exporters.export(solid, str(folder / f"{name}.step"))
        cq.exporters.export(solid, str(folder / f"{name}.stl"), tolerance=0.01, angularTolerance=0.1)
    plane = cq.Assembly()
    for name in PLANE:
        plane.add(solids[name], name=name)
    plane.export(str(folder / "plane.step"))
    written = perf_counter()
    times = {"import_s": LOADED - START, "model_s": done - begun, "write_s": written - done}
    print(json.dumps({**times, "volumes": {name: solid.val().Volume() for name, solid in solids.items()}}))


if __name__ == "__main__":
    main()
