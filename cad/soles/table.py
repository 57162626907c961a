"""The keys that every form of sole has."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from cad.fields import OneOf, Span, Table


def _form_names() -> tuple[str, ...]:
    from cad.soles import forms  # the forms themselves import this file

    return tuple(forms())


class SoleTable(Table):
    """The sole: what it is the counterpart of, and how far it reaches."""

    form: Annotated[str, OneOf(_form_names)] = Field(
        description="form of the sole: a round is convex and cuts a cove, a hollow is concave"
    )
    radius: Annotated[float, Span("mm", 1, 250)] = Field(description="radius of the arc of the sole")
    arc: Annotated[float, Span("deg", 0, 180, above=True)] = Field(
        description="angle the sole takes in at its centre; give this or width, not both"
    )
    width: Annotated[float, Span("mm", 0.5, 500)] = Field(
        description="width of the sole, of the iron and of the throat; give this or arc, not both"
    )
    relief: Annotated[float, Span("deg", 0, 60, above=True)] = Field(
        description="lean of the body's sides away from the work beside the sole, from the vertical"
    )
    tolerance: Annotated[float, Span("mm", 0.01, 5)] = Field(
        description="how far the radius of the sole may be off, either way: the go and no-go gauges tell"
    )
