"""The keys that every form of sole has, and how a form says which key it cannot do without."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from pydantic import Field

from cad.fields import OneOf, Rule, Span, Table
from cad.soles.spring import MOST_SPRING_DEG

RELIEF = Rule(
    "sole.relief",
    lambda known: 20.0,
    "keeps the body clear of the work when the plane is sunk into a cove",
    practice=True,
)


SPRING = Rule("sole.spring", lambda known: 0.0, "held upright, as most planes are", practice=True)


def _form_names() -> tuple[str, ...]:
    from cad.soles import forms  # the forms themselves import this file

    return tuple(forms())


class SoleTable(Table):
    """The sole: what it is the counterpart of, and how far it reaches. A form adds keys of its own."""

    form: Annotated[str, OneOf(_form_names)] = Field(
        description="form of the sole: a round is convex and cuts a cove, a hollow is concave"
    )
    width: Annotated[float, Span("mm", 0.5, 500)] = Field(
        description="width of the sole, of the iron and of the throat"
    )
    relief: Annotated[float, Span("deg", 0, 60, above=True)] = Field(
        description="lean of the body's sides away from the work beside the sole, from the vertical"
    )
    spring: Annotated[float, Span("deg", -MOST_SPRING_DEG, MOST_SPRING_DEG)] = Field(
        description="lean of the plane at work, its top towards the cheek plate when positive: the profile "
        "is turned in the body by as much; a width given is that of the profile on the work"
    )
    tolerance: Annotated[float, Span("mm", 0.01, 5)] = Field(
        description="how far the profile of the sole may be off, either way"
    )


@dataclass(frozen=True)
class Size:
    """The one key that a form's file must give: its dotted name, a value to start from, and how to write it.

    `usual` is what a starter holds, as a text with a unit or a list in TOML; `example` follows "Add a line
    such as ". A key `or_else` does as well.
    """

    key: str
    usual: str
    example: str
    or_else: str = ""
