"""STEP read back by the kernel: names, colours, one valid solid each, and the header of the standard."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from cadquery import Assembly, Location, Shape, Solid, Vector
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Quantity import Quantity_Color, Quantity_TypeOfColor
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_LabelSequence
from OCP.TDocStd import TDocStd_Document
from OCP.XCAFDoc import XCAFDoc_ColorType, XCAFDoc_DocumentTool

from cad.errors import KernelError
from cad.kernel.measure import extent
from cad.kernel.step import Body, assembly, ordered, single
from cad.outputs.files import OutFile
from cad.outputs.write import product_files
from tests.conftest import DEMOS
from tests.products import product

PLANE = ["body", "cheek_plate", "iron", "wedge"]


@dataclass(frozen=True)
class ReadBack:
    """A product as a STEP file tells it."""

    name: str
    colour: tuple[float, float, float]
    shape: Shape


def read_single(path: Path) -> ReadBack:
    """Return the one product of a STEP file."""
    document = TDocStd_Document(TCollection_ExtendedString("XmlOcaf"))
    reader = STEPCAFControl_Reader()
    assert reader.ReadFile(str(path)) == IFSelect_ReturnStatus.IFSelect_RetDone
    assert reader.Transfer(document)
    labels = TDF_LabelSequence()
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    shapes.GetFreeShapes(labels)
    assert labels.Length() == 1
    label = labels.Value(1)
    name, colour = TDataStd_Name(), Quantity_Color()
    assert label.FindAttribute(TDataStd_Name.GetID_s(), name)
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    assert colours.GetColor_s(label, XCAFDoc_ColorType.XCAFDoc_ColorSurf, colour)
    rgb = colour.Values(Quantity_TypeOfColor.Quantity_TOC_sRGB)
    return ReadBack(name.Get().ToExtString(), rgb, Shape.cast(shapes.GetShape_s(label)))


@pytest.fixture(params=DEMOS, scope="module")
def step_files(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with the STEP files of a demo plane."""
    folder = tmp_path_factory.mktemp(request.param)
    for file in product_files(product(request.param), {"step"}):
        place = folder / file.path
        place.parent.mkdir(exist_ok=True)
        place.write_bytes(file.data)
    (folder / "name").write_text(request.param)
    return folder


def test_the_assembly_reads_back_by_name_and_colour(step_files: Path) -> None:
    name = (step_files / "name").read_text()
    read = Assembly.importStep(str(step_files / "plane.step"))
    assert read.name == name
    built = {part.name: part for part in product(name).parts}
    assert sorted(child.name for child in read.children) == PLANE
    for child in read.children:
        assert isinstance(child.obj, Solid) and child.obj.isValid()
        assert child.obj.Volume() == pytest.approx(built[child.name].solid.Volume(), rel=1e-7)
        assert child.color.toTuple()[:3] == pytest.approx(built[child.name].colour, abs=1e-6)


def test_every_part_and_piece_reads_back_as_one_valid_solid(step_files: Path) -> None:
    made = product((step_files / "name").read_text())
    solids = {f"parts/{part.name}": part.solid for part in made.parts}
    solids |= {f"fixtures/{piece.name}": piece.solid for piece in made.pieces()}
    found = {p.relative_to(step_files).with_suffix("").as_posix() for p in step_files.glob("*/*.step")}
    assert found == set(solids)
    for place, solid in solids.items():
        read = read_single(step_files / f"{place}.step")
        assert read.name == Path(place).name
        assert len(read.shape.Solids()) == 1 and read.shape.isValid(), place
        assert read.shape.Volume() == pytest.approx(solid.Volume(), rel=1e-6), place
        assert np.array(extent(read.shape)) == pytest.approx(np.array(extent(solid)), abs=1e-6), place


def test_single_parts_carry_their_own_colour(step_files: Path) -> None:
    for part in product((step_files / "name").read_text()).parts:
        read = read_single(step_files / f"parts/{part.name}.step")
        assert read.colour == pytest.approx(part.colour, abs=1e-6)


def test_the_header_is_that_of_the_standard(step_files: Path) -> None:
    """ISO 10303-21: FILE_DESCRIPTION, FILE_NAME with seven arguments, FILE_SCHEMA, once each, in order."""
    for path in step_files.rglob("*.step"):
        text = path.read_text(encoding="ascii")
        assert text.startswith("ISO-10303-21;\nHEADER;\n")
        assert text.endswith("ENDSEC;\nEND-ISO-10303-21;\n")
        header = text[: text.index("ENDSEC;")].replace("\n", "")
        assert re.findall(r"(FILE_\w+)\(", header) == ["FILE_DESCRIPTION", "FILE_NAME", "FILE_SCHEMA"]
        (arguments,) = re.findall(r"FILE_NAME\((.*?)\);", header)
        assert len(re.findall(r"\(\s*'[^']*'\s*\)|'[^']*'", arguments)) == 7
        assert "'2000-01-01T00:00:00'" in arguments
        assert "SI_UNIT(.MILLI.,.METRE.)" in text


def test_entities_are_numbered_once_and_refer_to_what_is_there(step_files: Path) -> None:
    """ISO 10303-21: an entity instance name is unique in its file, and every reference resolves."""
    for path in step_files.rglob("*.step"):
        text = path.read_text(encoding="ascii")
        defined = re.findall(r"^#(\d+) = ", text, re.MULTILINE)
        assert len(defined) == len(set(defined))
        assert set(re.findall(r"#(\d+)", text)) == set(defined)


def test_the_same_bytes_again_in_one_process_and_between_other_planes() -> None:
    one, other = product("cornice-round"), product("skirting-round")

    def steps(of: object) -> list[OutFile]:
        return product_files(of, {"step"})  # type: ignore[arg-type]

    first = steps(one)
    steps(other)
    assert steps(one) == first


def test_a_moved_solid_is_still_one_named_coloured_product(tmp_path: Path) -> None:
    moved = Solid.makeBox(3, 2, 1).moved(Location(Vector(10, 20, 30), Vector(0, 0, 1), 90))
    body = Body("block", moved, (0.2, 0.4, 0.6))
    data = single(body)
    assert data == single(body)
    (tmp_path / "block.step").write_bytes(data)
    read = read_single(tmp_path / "block.step")
    assert (read.name, len(read.shape.Solids())) == ("block", 1)
    assert read.colour == pytest.approx((0.2, 0.4, 0.6), abs=1e-6)
    assert read.shape.Center().toTuple() == pytest.approx((9, 21.5, 30.5), abs=1e-9)
    assert data.count(b"= PRODUCT(") == 1


def test_many_bodies_of_few_colours_keep_their_bytes() -> None:
    """Occurrence numbers of more digits and shared colours change neither order nor line breaks."""
    bodies = [
        Body(f"block-{i}", Solid.makeBox(1 + i, 2, 3), ((0.2, 0.4, 0.6), (1.0, 0.0, 0.0))[i % 2])
        for i in range(12)
    ]
    first = assembly("blocks", bodies)
    assert all(assembly("blocks", bodies) == first for _ in range(8))
    again = [Body(b.name, Solid.makeBox(1 + i, 2, 3), b.colour) for i, b in enumerate(bodies)]
    assert assembly("blocks", again) == first
    assert re.findall(rb"OCCURRENCE\('(\d+)'", first) == [b"%d" % i for i in range(1, 13)]


def test_ordering_refuses_a_file_it_does_not_understand() -> None:
    text = single(Body("block", Solid.makeBox(1, 2, 3), (0.5, 0.5, 0.5))).decode("ascii")
    assert ordered(text) == text
    odd = text.replace("ENDSEC;\nEND-ISO", "#99999 = CARTESIAN_POINT('',(0.,0.,0.));\nENDSEC;\nEND-ISO")
    with pytest.raises(KernelError, match="other than styles"):
        ordered(odd)
