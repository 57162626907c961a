"""STEP by a second parser: ISO 10303-21 (steputils), ISO 10303-42 (geometry, see brep.py), and the kernel.

The kernel wrote these files, so its own reading proves little; the volumes, centroids, areas and angles here
come from the text of the file alone.
"""

from __future__ import annotations

import re
from math import degrees, tan
from pathlib import Path

import numpy as np
import pytest
from cadquery import importers
from steputils import p21

from cad.geometry import Plan
from cad.parts import part_names
from tests.outside.brep import Face, read
from tests.outside.reading import Output

SHARE = 1e-6  # of a volume or an area: arcs are summed by chords here
NEAR = 1e-4  # mm, of a centroid
ANGLE_DEG = 0.01  # GEOMETRY's own tolerance of the solids, and so the suite's


def test_header(output: Output) -> None:
    """ISO 10303-21, 8.2: description, name of seven fields and schema, once each, in that order."""
    for path in output.files("*.step", "parts/*.step", "fixtures/*.step"):
        text = path.read_text(encoding="ascii")
        # The header alone: a lettered fixture takes the parser twenty seconds.
        file = p21.loads(text[: text.index("DATA;")] + "DATA;\n#1=A();\nENDSEC;\nEND-ISO-10303-21;\n")
        assert list(file.header.entities) == ["FILE_DESCRIPTION", "FILE_NAME", "FILE_SCHEMA"], path.name
        assert len(file.header["FILE_NAME"].params) == 7
        assert text.startswith("ISO-10303-21;") and text.rstrip().endswith("END-ISO-10303-21;")


def test_every_reference_resolves(output: Output) -> None:
    """ISO 10303-21: an instance's name is unique, and what is referred to is there."""
    for path in output.files("plane.step", "parts/*.step"):
        data = p21.readfile(str(path)).data[0]
        named = set(data.instances)
        assert set(re.findall(r"#\d+", path.read_text(encoding="ascii"))) <= named
        assert len(named) == len(re.findall(r"^#\d+ *=", path.read_text(encoding="ascii"), re.MULTILINE))


def kernel_solids(path: Path) -> list:
    return [solid for shape in importers.importStep(str(path)).vals() for solid in shape.Solids()]


def test_volumes_centroids_and_areas_by_both_readings(output: Output) -> None:
    for path in output.files("plane.step", "parts/*.step"):
        ours, theirs = read(path), kernel_solids(path)
        assert len(ours) == len(theirs), path.name
        for one, other in zip(ours, theirs, strict=True):
            assert one.volume == pytest.approx(other.Volume(), rel=SHARE), (path.name, one.name)
            assert one.centroid == pytest.approx(other.Center().toTuple(), abs=NEAR), (path.name, one.name)
            if all(face.axis is not None for face in one.faces):
                assert one.area == pytest.approx(other.Area(), rel=SHARE), (path.name, one.name)


def test_the_manifest_says_what_the_text_of_the_files_says(output: Output) -> None:
    for path in output.files("parts/*.step"):
        (solid,) = read(path)
        assert output.entry(path)["volume_mm3"] == pytest.approx(solid.volume, rel=SHARE), path.name


def test_names_and_colours_survive(output: Output) -> None:
    assembled = {solid.name: solid.colour for solid in read(output.folder / "plane.step")}
    assert set(assembled) == set(part_names()) - {"throat"}
    assert len(set(assembled.values())) == len(assembled), "each part has a colour of its own"
    for name, colour in assembled.items():
        (alone,) = read(output.folder / "parts" / f"{name}.step")
        assert (alone.name, alone.colour) == (name, pytest.approx(colour, abs=1e-6))


def planes_at(faces: tuple[Face, ...], lean_deg: float) -> list[Face]:
    """Return the planes square to the x-z plane that lean so many degrees from the sole."""
    found = []
    for face in faces:
        if face.kind != "PLANE" or face.axis is None:
            continue
        normal = face.axis[1]
        lean = degrees(np.arctan2(abs(normal[0]), abs(normal[2])))
        leans_to_the_heel = normal[0] * normal[2] < 0
        if abs(normal[1]) < 1e-9 and leans_to_the_heel and abs(lean - lean_deg) < ANGLE_DEG:
            found.append(face)
    return found


def test_bed_and_front_lie_where_the_plan_has_them(demo: Plan, made: Path) -> None:
    """x = xm + m + z cot(bed) and x = xm + z cot(front), read off the placements of the body's planes."""
    (body,) = read(made / demo.spec.name / "parts" / "body.step")
    throat = demo.throat
    for angle, mark in (
        (throat.bed_deg, throat.mouth_at + throat.mouth),
        (throat.front_deg, throat.mouth_at),
    ):
        (face,) = planes_at(body.faces, angle)
        assert face.axis is not None
        point = face.axis[0]
        assert point[0] - point[2] / tan(np.radians(angle)) == pytest.approx(mark, abs=0.01)


def test_the_sole_is_a_cylinder_of_the_spec_s_radius(demo: Plan, made: Path) -> None:
    (body,) = read(made / demo.spec.name / "parts" / "body.step")
    soles = [face for face in body.faces if face.radius is not None and abs(face.along[0]) > 0.999]
    assert soles
    for face in soles:
        assert face.radius == pytest.approx(demo.spec.sole.radius, abs=0.01)
