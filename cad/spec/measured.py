"""What was measured on wood that is cut and steel that is bought: each key is left out until it is known."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from cad.fields import Span, Table

Place = Annotated[float, Span("mm", 0, 500)]
Reading = Annotated[float, Span("mm", -500, 500)]


class Measured(Table):
    """What was found at the bench, where it came out otherwise than planned."""

    bed: Annotated[float, Span("deg", 30, 90)] | None = Field(
        None, description="angle of the bed from the sole, as cut"
    )
    front: Annotated[float, Span("deg", 30, 90)] | None = Field(
        None, description="angle of the front face from the sole, as cut"
    )
    mouth: Annotated[float, Span("mm", 0.5, 60)] | None = Field(
        None, description="length of the mouth along the sole, as sawn"
    )
    throat_depth: Annotated[float, Span("mm", 0.5, 500)] | None = Field(
        None, description="depth of the throat from the rabbet face, as sawn"
    )
    iron_thickness: Annotated[float, Span("mm", 0.5, 12)] | None = Field(
        None, description="the iron's real thickness"
    )
    iron_width: Annotated[float, Span("mm", 0.5, 500)] | None = Field(
        None, description="the iron's real width"
    )
    saw_plate: Annotated[float, Span("mm", 0.1, 3)] | None = Field(
        None, description="the hand saw's plate, by micrometer"
    )
    saw_kerf: Annotated[float, Span("mm", 0.1, 5)] | None = Field(
        None, description="the hand saw's kerf, as found in a trial cut"
    )
    body_thickness: Annotated[float, Span("mm", 4, 600)] | None = Field(
        None, description="thickness of the body's blank as prepared, over the rail: cheek plate included"
    )
    cheek_thickness: Annotated[float, Span("mm", 1, 50)] | None = Field(
        None, description="thickness of the cheek plate as prepared"
    )
    sole_chord: Annotated[float, Span("mm", 0.5, 500)] | None = Field(
        None, description="span of a gauge that stands on the sole: the chord under which it reads"
    )
    sole_sagitta: Annotated[float, Span("mm", 0, 250, above=True)] | None = Field(
        None, description="what that gauge reads in the middle: the sole's height over, or depth under, it"
    )
    sole_across: tuple[Place, ...] | None = Field(
        None, description="places across the sole where a depth gauge was read, from the rabbet face"
    )
    sole_readings: tuple[Reading, ...] | None = Field(
        None, description="its readings there: down to the upturned sole from a bar laid across above it"
    )
    wedge_sink: Annotated[float, Span("mm", -60, 60)] | None = Field(
        None, description="how much deeper the wedge sits than planned, along the bed; negative: higher"
    )

    @property
    def found(self) -> dict[str, float | tuple[float, ...]]:
        """What was measured, by key, in the order of the table."""
        return {name: value for name, value in self if value is not None}
