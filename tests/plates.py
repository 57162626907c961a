"""A plate and the program that cuts it, both written out by hand: what the simulator is tried on.

The plate is 100 × 60 × 12 mm with corners of 8 mm, a pocket of 40 × 20 mm, 5 mm deep, whose corners have
the cutter's radius, and a bore of 10 mm. It lies 20 mm from the left and 15 mm from the front of a board of
140 × 90 mm, and is held by two tabs of 3 mm on its long sides.
"""

from __future__ import annotations

from collections.abc import Iterator

import cadquery as cq

from cad.kernel.mesh import tessellate
from cad.simulate.job import Allowances, Job, Part, Run, Spared, Stock, Tool

CUTTER = Tool("6 mm straight", "flat", 6.0, 22.0)
STOCK = Stock(140, 90, 12)
TAB_TOP = -9.0
TABS = tuple(Spared("tab", ((64, y - 4), (76, y - 4), (76, y + 4), (64, y + 4)), TAB_TOP) for y in (12, 78))
ALLOWED = Allowances(into_bed_mm=0.5, spared=TABS)


def plate() -> Part:
    """Return the plate where it lies in the board."""
    solid = (
        cq.Workplane("XY")
        .box(100, 60, 12, centered=False)
        .edges("|Z")
        .fillet(8)
        .faces(">Z")
        .workplane(origin=(0, 0))
        .center(40, 30)
        .sketch()
        .rect(40, 20)
        .vertices()
        .fillet(3)
        .finalize()
        .cutBlind(-5)
        .faces(">Z")
        .workplane(origin=(0, 0))
        .center(80, 30)
        .hole(10)
        .val()
    )
    mesh = tessellate(solid.moved(cq.Location((20, 15, -12))))
    return Part("plate", mesh.points, mesh.triangles.astype("int64"))


def program() -> str:
    """Return the program: bore, pocket, outline with tabs on the last two passes; from inside out."""
    return "\n".join([*_head(), *_bore(), *_pocket(), *_outline(), "M5", "M2", ""])


def job(text: str, *, cutter: Tool = CUTTER, allowed: Allowances = ALLOWED) -> Job:
    """Return the job of cutting the plate by a program."""
    return Job(STOCK, (Run("plate.ngc", text, cutter),), (plate(),), allowed)


def _head() -> Iterator[str]:
    yield "(plate, mm, zero at the front left corner, top of the board)"
    yield "G21 G90 G17 G94"
    yield "G0 Z5"
    yield "M3 S18000"


def _bore() -> Iterator[str]:
    yield "G0 X102 Y45"
    yield "G0 Z1"
    yield "G1 Z0 F300"
    for z in (-3, -6, -9, -12.3):
        yield f"G3 X102 Y45 Z{z} I-2 J0 F600"
    yield "G3 X102 Y45 I-2 J0"
    yield "G1 X100"
    yield "G0 Z5"


def _pocket() -> Iterator[str]:
    """Rows 4 mm apart over the floor, then round its wall. The floor spans x 40 to 80, y 35 to 55."""
    yield "G0 X43 Y38"
    yield "G0 Z1"
    yield "G1 Z0 F300"
    for z in (-2.5, -5):
        yield f"G1 X77 Z{z} F600"
        yield "G1 X43 F1200"
        for i, y in enumerate((41.5, 45, 48.5, 52)):
            yield f"G1 Y{y}"
            yield f"G1 X{43 if i % 2 else 77}"
        yield "G1 X77"
        yield "G1 Y38"
        yield "G1 X43"
        yield "G1 Y52"
        yield "G1 X77"
        yield "G0 Z5"
        yield "G0 X43 Y38"
        yield f"G0 Z{z + 1 if z > -5 else 5}"
        if z > -5:
            yield f"G1 Z{z}"


def _outline() -> Iterator[str]:
    """Clockwise round the plate 3 mm off it, from the middle of the left side."""
    yield "G0 X17 Y45"
    yield "G0 Z1"
    yield "G1 Z0 F300"
    for z in (-3, -6, -9, -12.3):
        yield f"G1 Y67 Z{z} F800"
        yield "G2 X28 Y78 I11 J0"
        yield from _long_side(66, 74, 112, z)
        yield "G2 X123 Y67 I0 J-11"
        yield "G1 Y23"
        yield "G2 X112 Y12 R11"
        yield from _long_side(74, 66, 28, z)
        yield "G2 X17 Y23 R11"
        yield "G1 Y45"
    yield "G1 Y67"
    yield "G0 Z5"


def _long_side(first: float, last: float, end: float, z: float) -> Iterator[str]:
    if z < TAB_TOP:
        yield f"G1 X{first}"
        yield f"G1 Z{TAB_TOP}"
        yield f"G1 X{last}"
        yield f"G1 Z{z}"
    yield f"G1 X{end}"
