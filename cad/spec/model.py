"""The spec as a value: every key of the file, with its meaning and its range. A Spec that exists is valid.

Lengths are in mm, angles in degrees, moisture in per cent, whatever the file was written in.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Literal

from pydantic import BeforeValidator, ConfigDict, Field, SerializeAsAny, SkipValidation

from cad.fields import OneOf, Origin, Span, Table, Word
from cad.formulas.filament import DENSITY_G_CM3
from cad.formulas.grit import GRAIN_UM
from cad.formulas.wood import FIBRE_SATURATION_PERCENT, SPECIES
from cad.profiles import Drawn
from cad.soles import forms
from cad.soles.table import SoleTable
from cad.spec.measured import Measured
from cad.spec.router import Router

Moisture = Annotated[float, Span("percent", 0, FIBRE_SATURATION_PERCENT)]
PrinterSide = Annotated[float, Span("mm", 40, 2000)]
Grit = Annotated[str, OneOf(lambda: tuple(GRAIN_UM))]
PaperScale = Annotated[float, Span("number", 0.95, 1.05)]
BoardLength = Annotated[float, Span("mm", 50, 6000)]
BoardWidth = Annotated[float, Span("mm", 10, 1500)]
BoardThickness = Annotated[float, Span("mm", 3, 700)]
Filament = Annotated[str, OneOf(lambda: tuple(DENSITY_G_CM3))]


class Body(Table):
    """The block of the plane."""

    length: Annotated[float, Span("mm", 80, 1000)] = Field(description="finished length, toe to heel")
    height: Annotated[float, Span("mm", 30, 400)] = Field(description="height above the lowest of the sole")
    thickness: Annotated[float, Span("mm", 4, 600)] = Field(
        description="full thickness across the plane, cheek plate included"
    )
    shoulder: Annotated[float, Span("mm", 0, 400, above=True)] = Field(
        description="height of the rabbet's shoulder above the sole; the rail stands above it"
    )
    spare: Annotated[float, Span("mm", 0, 300)] = Field(
        description="length left on each end until the plate is glued"
    )
    build: Literal["solid", "laminated"] = Field(
        description="one block with a cut rabbet, or two boards glued to leave the rabbet"
    )
    hand: Literal["right", "left"] = Field(description="left mirrors the plane across")


class Cheek(Table):
    """The plate glued into the rabbet to close the throat."""

    thickness: Annotated[float, Span("mm", 1, 50)] = Field(
        description="thickness of the cheek plate, which is the depth of the rabbet"
    )


class Throat(Table):
    """The opening for iron, wedge and shavings."""

    bed: Annotated[float, Span("deg", 30, 90)] = Field(description="angle of the bed from the sole")
    front: Annotated[float, Span("deg", 30, 90)] = Field(
        description="angle of the front face from the sole; more than the bed"
    )
    mouth_at: Annotated[float, Span("mm", 10, 900)] = Field(
        description="front edge of the mouth from the toe"
    )
    mouth: Annotated[float, Span("mm", 0.5, 60)] = Field(description="length of the mouth along the sole")


class Iron(Table):
    """The cutter, bedded bevel down."""

    thickness: Annotated[float, Span("mm", 0.5, 12)] = Field(description="thickness of the iron")
    bevel: Annotated[float, Span("deg", 10, 60)] = Field(description="bevel angle")
    length: Annotated[float, Span("mm", 40, 800)] = Field(description="length of the iron, edge to end")
    steel: Literal["O1", "W1"] = Field(
        description="tool steel: O1 (ASTM A681, hardens in oil) or W1 (ASTM A686, hardens in water)"
    )


class Wedge(Table):
    """The wedge between iron and front face."""

    side_clearance: Annotated[float, Span("mm", 0, 5)] = Field(
        description="how much narrower than the throat the wedge is"
    )
    tip_height: Annotated[float, Span("mm", 0, 400, above=True)] = Field(
        description="height of the tip above the sole"
    )
    head_height: Annotated[float, Span("mm", 5, 200)] = Field(
        description="how far the head stands above the body, along the bed"
    )


class Wood(Table):
    """The wood of body, plate and wedge."""

    species: Annotated[str, OneOf(lambda: tuple(SPECIES))] = Field(description="species, by its English name")
    grain: Literal["quartered", "flat"] = Field(description="which way the growth rings face across the body")
    moisture_now: Moisture = Field(description="moisture content when the plane is made")
    moisture_range: tuple[Moisture, Moisture] = Field(
        description="lowest and highest moisture content of the year where it will live"
    )
    board: tuple[BoardLength, BoardWidth, BoardThickness] = Field(
        description="the rough board it is sawn from: length along the grain, width, thickness"
    )
    price: Annotated[float, Span("number", 0, 1_000_000)] = Field(
        description="price of a board foot, in your own money; 0 when it is not known"
    )


class HandSaw(Table):
    """The backed saw for the throat."""

    plate: Annotated[float, Span("mm", 0.1, 3)] = Field(description="thickness of the saw's plate")
    kerf: Annotated[float, Span("mm", 0.1, 5)] = Field(description="width of its cut")
    depth_under_back: Annotated[float, Span("mm", 5, 400)] = Field(
        description="depth of the blade below its back"
    )


class TableSaw(Table):
    """The table saw for the sled."""

    kerf: Annotated[float, Span("mm", 0.3, 10)] = Field(description="width of the blade's cut")
    blade_diameter: Annotated[float, Span("mm", 80, 500)] = Field(description="diameter of the blade")
    slot_width: Annotated[float, Span("mm", 5, 50)] = Field(description="width of the miter slot")
    slot_depth: Annotated[float, Span("mm", 2, 40)] = Field(description="depth of the miter slot")
    slot_to_blade: Annotated[float, Span("mm", 20, 500)] = Field(
        description="slot's centre to the middle of the blade"
    )


class Printer(Table):
    """The printer for guides, blocks and gauges."""

    volume: tuple[PrinterSide, PrinterSide, PrinterSide] = Field(
        description="what it can print: width, depth, height"
    )
    nozzle: Annotated[float, Span("mm", 0.1, 2)] = Field(description="width of the nozzle")
    clearance: Annotated[float, Span("mm", 0, 2)] = Field(
        description="per side, between a print and the wood it sits on"
    )
    filament: Filament = Field(description="what it prints with: it gives the mass of a print")


class Abrasive(Table):
    """What the sanding blocks carry."""

    grits: tuple[Grit, ...] = Field(min_length=1, description="grits in use, coarse to fine")
    backing: Annotated[float, Span("mm", 0, 3)] = Field(description="thickness of the backing paper or cloth")
    pad: Annotated[float, Span("mm", 0, 20)] = Field(description="thickness of the pad under it, pressed")


class Accuracy(Table):
    """How near to the plan this shop works, either way: what `look --study` varies."""

    angle: Annotated[float, Span("deg", 0, 5)] = Field(description="of bed and front as sawn and pared")
    length: Annotated[float, Span("mm", 0, 5)] = Field(description="of the mouth and the throat's depth")
    iron: Annotated[float, Span("mm", 0, 2)] = Field(description="of the iron's thickness")


class Shop(Table):
    """The tools that the fixtures are made for."""

    hand_saw: HandSaw
    table_saw: TableSaw
    printer: Printer
    router: Router
    abrasive: Abrasive
    accuracy: Accuracy


class Paper(Table):
    """The papers: drawings, templates, sheets."""

    scale_x: PaperScale = Field(
        description="what true-size templates are stretched by across the page, for a printer that shrinks: "
        "100 mm over what the ruler along its lower edge measures on a print"
    )
    scale_y: PaperScale = Field(
        description="the same up the page: 100 mm over what the ruler along its side measures on a print"
    )
    size: Literal["A4", "letter"] = Field(
        description="sheets of the drawings; one twice as large (A3, tabloid) where a drawing needs it"
    )
    projection: Literal["first", "third"] = Field(
        description="how the views of the drawings stand to each other: first or third angle (ISO 5456-2)"
    )
    units: Literal["own", "both"] = Field(
        description="dimensions of the drawings in the file's own unit, or with the other unit beneath"
    )


def _of_its_form(sole: object) -> object:
    """Return the values of a sole as the table of their form; anything else as it is, for others to judge."""
    known = forms().get(str(sole.get("form"))) if isinstance(sole, dict) else None
    return sole if known is None else known.Table.model_validate(sole)


class Keys(Table):
    """Every key a spec file may hold."""

    name: Annotated[str, Word(64)] = Field(
        description="letters, digits, '-' and '_', at most 64: it names files"
    )
    unit: Literal["mm", "in"] = Field(description="unit of bare numbers, and the unit shown first")
    sole: Annotated[SerializeAsAny[SoleTable], BeforeValidator(_of_its_form)]
    body: Body
    cheek: Cheek
    throat: Throat
    iron: Iron
    wedge: Wedge
    wood: Wood
    shop: Shop
    paper: Paper
    measured: Measured


class Origins(Mapping[str, Origin]):
    """Where each value comes from, by dotted key such as "sole.radius"."""

    def __init__(self, found: Mapping[str, Origin]) -> None:
        self._found = dict(found)

    def __getitem__(self, key: str) -> Origin:
        return self._found[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._found)

    def __len__(self) -> int:
        return len(self._found)

    def __repr__(self) -> str:
        return f"Origins({self._found!r})"


class Spec(Keys):
    """One plane, complete: what the file gave, the rest worked out, and where each value comes from."""

    model_config = ConfigDict(arbitrary_types_allowed=True)

    digest: str = Field(
        description="SHA-256 of the file's bytes and of those it names, one after another, in hex"
    )
    drawing: SkipValidation[Drawn | None] = Field(
        default=None,
        exclude=True,
        description="what became of the drawing that the sole names, None when it names none",
    )
    origins: SkipValidation[Origins] = Field(exclude=True)

    def __hash__(self) -> int:
        return hash((self.name, self.digest))
