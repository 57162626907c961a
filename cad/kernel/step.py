"""STEP (ISO 10303-21) as bytes: named, coloured solids, alone or as an assembly, the same bytes every time.

The kernel's writer stamps the clock, numbers the occurrences of an assembly on through the life of the
process and writes the colours in the order of memory addresses. The header takes fixed values; the other
two sit in a few lines of the file, so those lines alone are put in order and the geometry is not touched.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO

from cadquery import Solid
from OCP.APIHeaderSection import APIHeaderSection_MakeHeader
from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Interface import Interface_Static
from OCP.Message import Message, Message_Gravity
from OCP.Quantity import Quantity_Color, Quantity_TypeOfColor
from OCP.STEPCAFControl import STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_StepModelType
from OCP.TCollection import TCollection_ExtendedString, TCollection_HAsciiString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Shape
from OCP.XCAFApp import XCAFApp_Application
from OCP.XCAFDoc import XCAFDoc_ColorTool, XCAFDoc_ColorType, XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

from cad.errors import KernelError

Colour = tuple[float, float, float]

STAMP = "2000-01-01T00:00:00"  # a file that tells the time is never the same twice
MAKER = "planewright"
_CURVES = "write.surfacecurve.mode"


@dataclass(frozen=True)
class Body:
    """A solid, with its name and its colour: red, green, blue as shown on a screen, 0 to 1."""

    name: str
    solid: Solid
    colour: Colour


def single(body: Body) -> bytes:
    """Return a STEP file, in mm, of one product. Raises KernelError when the kernel cannot write it."""
    document = _document()
    _add(document, body)
    return _written(document, body.name)


def assembly(name: str, bodies: Sequence[Body]) -> bytes:
    """Return a STEP file, in mm, of a named assembly, each body a product of its own placed where it is.

    Raises KernelError when the kernel cannot write it.
    """
    document = _document()
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    root = shapes.NewShape()
    _name(root, name)
    for body in bodies:
        _name(shapes.AddComponent(root, _add(document, body), TopLoc_Location()), body.name)
    shapes.UpdateAssemblies()
    return _written(document, name)


def _document() -> TDocStd_Document:
    document = TDocStd_Document(TCollection_ExtendedString("XmlOcaf"))
    XCAFApp_Application.GetApplication_s().InitDocument(document)
    XCAFDoc_ShapeTool.SetAutoNaming_s(False)
    return document


def _add(document: TDocStd_Document, body: Body) -> TDF_Label:
    shapes: XCAFDoc_ShapeTool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours: XCAFDoc_ColorTool = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    label = shapes.AddShape(_settled(body.solid), False)
    _name(label, body.name)
    colour = Quantity_Color(*body.colour, Quantity_TypeOfColor.Quantity_TOC_sRGB)
    colours.SetColor(label, colour, XCAFDoc_ColorType.XCAFDoc_ColorSurf)
    return label


def _settled(solid: Solid) -> TopoDS_Shape:
    """Return the shape with its location worked into its geometry.

    The writer makes an assembly of a shape that carries a location, and a nameless product of what is in it.
    """
    shape = solid.wrapped
    if shape.Location().IsIdentity():
        return shape
    bare = shape.Located(TopLoc_Location())
    return BRepBuilderAPI_Transform(bare, shape.Location().Transformation(), True).Shape()


def _name(label: TDF_Label, name: str) -> None:
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(name))


def _written(document: TDocStd_Document, name: str) -> bytes:
    stream = BytesIO()
    writer = STEPCAFControl_Writer()  # sets the kernel's switches to their defaults, the first time
    with _quiet(), _edges_only():
        writer.SetNameMode(True)
        writer.SetColorMode(True)
        for leave_out in (writer.SetLayerMode, writer.SetPropsMode, writer.SetSHUOMode, writer.SetDimTolMode):
            leave_out(False)  # the document has none of them, and looking for them takes time
        writer.SetMaterialMode(False)
        if not writer.Transfer(document, STEPControl_StepModelType.STEPControl_AsIs):
            raise KernelError(name, "STEP", "the kernel could not translate the solids")
        _head(APIHeaderSection_MakeHeader(writer.ChangeWriter().Model()), name)
        if writer.WriteStream(stream) != IFSelect_ReturnStatus.IFSelect_RetDone:
            raise KernelError(name, "STEP", "the kernel could not write the file")
    return ordered(stream.getvalue().decode("ascii")).encode("ascii")


def _head(header: APIHeaderSection_MakeHeader, name: str) -> None:
    def text(words: str) -> TCollection_HAsciiString:
        return TCollection_HAsciiString(words)

    header.SetName(text(name))
    header.SetTimeStamp(text(STAMP))
    header.SetAuthorValue(1, text(""))
    header.SetOrganizationValue(1, text(""))
    header.SetOriginatingSystem(text(MAKER))
    header.SetAuthorisation(text(""))


@contextmanager
def _quiet() -> Iterator[None]:
    """Keep the kernel's statistics off standard output, which belongs to the command line."""
    printers = list(Message.DefaultMessenger_s().Printers())
    levels = [printer.GetTraceLevel() for printer in printers]
    for printer in printers:
        printer.SetTraceLevel(Message_Gravity.Message_Fail)
    try:
        yield
    finally:
        for printer, level in zip(printers, levels, strict=True):
            printer.SetTraceLevel(level)


@contextmanager
def _edges_only() -> Iterator[None]:
    """Leave out the edges' copies in each face's own parameters: the file is half as long, and none is lost.

    A reader works them out from edge and face.
    """
    before = Interface_Static.IVal_s(_CURVES)
    Interface_Static.SetIVal_s(_CURVES, 0)
    try:
        yield
    finally:
        Interface_Static.SetIVal_s(_CURVES, before)


_OCCURRENCE = re.compile(r"(= NEXT_ASSEMBLY_USAGE_OCCURRENCE\()'\d+'([^;]*;)")
_STYLES = " = MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION("
_ENTITY = re.compile(r"^#(\d+) = ([^;]*);\n", re.MULTILINE)
_REFERENCE = re.compile(r"#(\d+)")
_WRAP = re.compile(r"\n *")


def ordered(text: str) -> str:
    """Return a STEP file with its occurrences numbered from 1 and its styles in the order of its solids.

    The styles are the last entities of the file: one tree for each coloured solid. Raises KernelError when
    something else stands among them, since reordering would then not be safe.
    """
    head, found, _ = text.partition(_STYLES)
    if not found:
        return _counted(text)
    start = head.rindex("\n") + 1
    end = text.index("ENDSEC;\nEND-ISO-10303-21;", start)
    return _counted(text[:start]) + _styles(text[start:end]) + text[end:]


def _counted(text: str) -> str:
    # The length of the number decides where the line was wrapped, so it is unwrapped as well.
    parts = _OCCURRENCE.split(text)
    numbered = [
        f"{parts[i]}'{i // 3 + 1}'{_WRAP.sub('', parts[i + 1])}{parts[i + 2]}"
        for i in range(1, len(parts), 3)
    ]
    return parts[0] + "".join(numbered)


def _styles(text: str) -> str:
    entities = {int(number): _WRAP.sub("", words) for number, words in _ENTITY.findall(text)}
    lowest = min(entities)
    roots = [number for number, words in entities.items() if words.startswith("MECHANICAL_DESIGN")]
    trees = sorted((_tree(root, entities) for root in roots), key=lambda tree: _solids(tree, entities))
    order = list(dict.fromkeys(number for tree in trees for number in tree))
    if sorted(order) != sorted(entities) or _ENTITY.sub("", text):
        raise KernelError("STEP", "styles", "the file ends with entities other than styles")
    new = {old: lowest + i for i, old in enumerate(order)}

    def renumber(found: re.Match[str]) -> str:
        number = int(found[1])
        return f"#{new.get(number, number)}"

    return "".join(f"#{new[old]} = {_REFERENCE.sub(renumber, entities[old])};\n" for old in order)


def _tree(root: int, entities: dict[int, str]) -> list[int]:
    """Return the entities that a root refers to, itself first, in the order they are met."""
    found, queue = {root: None}, [root]
    while queue:
        for number in map(int, _REFERENCE.findall(entities[queue.pop(0)])):
            if number in entities and number not in found:
                found[number] = None
                queue.append(number)
    return list(found)


def _solids(tree: Sequence[int], entities: dict[int, str]) -> list[int]:
    """Return the entities outside the styles that a tree of styles refers to: the solid and its context."""
    outside = {int(n) for number in tree for n in _REFERENCE.findall(entities[number])} - entities.keys()
    return sorted(outside)
