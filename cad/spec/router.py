"""The table of the spec for the router: its sheet, its cutters, and how it is driven.

Feeds are lengths a minute: mm, or inches where the file or the value says so.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from cad.fields import OneOf, Span, Table
from cad.formulas.routing import MATERIALS

SheetSide = Annotated[float, Span("mm", 20, 4000)]
SheetThickness = Annotated[float, Span("mm", 1, 60)]
Material = Annotated[str, OneOf(lambda: MATERIALS)]
Feed = Annotated[float, Span("mm", 10, 20000)]
Speed = Annotated[float, Span("number", 500, 60000)]


class Router(Table):
    """The router for pieces cut from sheet, and for blocks of wood."""

    cutter: Annotated[float, Span("mm", 0.5, 30)] = Field(description="diameter of the cutter")
    sheet: tuple[SheetSide, SheetSide, SheetThickness] = Field(
        description="the sheet: length, width, thickness"
    )
    spacing: Annotated[float, Span("mm", 0.5, 100)] = Field(
        description="between pieces on a sheet, at least the cutter's diameter"
    )
    material: Material = Field(description="what the sheet is: speeds and feeds start from it")
    block: Material = Field(description="what blocks that are cut to a profile are made of")
    flutes: Annotated[float, Span("number", 1, 6)] = Field(description="cutting edges of a cutter")
    flute_length: Annotated[float, Span("mm", 1, 150)] = Field(
        description="how far up from its end the straight cutter cuts"
    )
    ball: Annotated[float, Span("mm", 0.5, 30)] = Field(
        description="diameter of the cutter with a round end, for profiles"
    )
    ball_length: Annotated[float, Span("mm", 1, 150)] = Field(
        description="how far up from its end the round cutter cuts"
    )
    speed: Speed = Field(description="turns of the spindle in a minute")
    feed: Feed = Field(description="feed along the cut, a minute")
    plunge: Feed = Field(description="feed downwards on a ramp or a helix, a minute")
    block_feed: Feed = Field(description="feed along a block, a minute")
    block_step: Annotated[float, Span("mm", 0.1, 30)] = Field(
        description="most that one rough pass takes in depth off a block"
    )
    drill_speed: Speed = Field(description="turns of the spindle in a minute for drills")
    drill_feed: Feed = Field(description="feed of drills, a minute")
    depth_step: Annotated[float, Span("mm", 0.1, 30)] = Field(description="most that one pass takes in depth")
    stepover: Annotated[float, Span("number", 0.05, 0.5)] = Field(
        description="from pass to pass when a floor is cleared, as a share of the cutter's diameter"
    )
    ramp: Annotated[float, Span("deg", 0.5, 30)] = Field(
        description="angle from level at which the cutter goes down into wood"
    )
    direction: Literal["conventional", "climb"] = Field(
        description="against the turn of the cutter (conventional) or with it (climb)"
    )
    through: Annotated[float, Span("mm", 0, 3)] = Field(
        description="how far a cut through the sheet goes into the waste board below"
    )
    tab_width: Annotated[float, Span("mm", 1, 50)] = Field(
        description="width of the tabs that hold a piece in the sheet"
    )
    tab_height: Annotated[float, Span("mm", 0, 20)] = Field(
        description="height of the tabs above the sheet's underside; 0 for none"
    )
    tab_spacing: Annotated[float, Span("mm", 30, 2000)] = Field(
        description="most between two tabs along an outline; each has two at least"
    )
    scallop: Annotated[float, Span("mm", 0.01, 1)] = Field(
        description="most that the ridges between passes along a profile stand up"
    )
    leave: Annotated[float, Span("mm", 0, 5)] = Field(
        description="wood that the rough passes leave on a profile for the round cutter"
    )
    safe_height: Annotated[float, Span("mm", 1, 100)] = Field(
        description="height above the wood at which the cutter travels"
    )
    units: Literal["mm", "in"] = Field(description="unit of the programs: G21 for mm, G20 for inches")
