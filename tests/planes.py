"""Sensible planes for property tests: specs over the whole range that the trade would build."""

from __future__ import annotations

from hypothesis import strategies as st

from cad.geometry import Plan, derive
from cad.spec import parse_spec


def spec_text(
    form: str,
    radius: float,
    arc: float,
    bed: float,
    hand: str,
    unit: str = "mm",
    build: str = "solid",
    wedge: float = 10,
) -> str:
    """Return a short spec; everything it leaves out is worked out by the rules of the trade."""
    return (
        f'name = "drawn-by-lot"\nunit = "{unit}"\n'
        f'[sole]\nform = "{form}"\nradius = "{radius} mm"\narc = {arc}\n'
        f'[body]\nhand = "{hand}"\nbuild = "{build}"\n[throat]\nbed = {bed}\nfront = {bed + wedge}\n'
    )


def plan_of(text: str) -> Plan:
    """Return the plan of a spec given as text."""
    return derive(parse_spec(text, "drawn-by-lot.toml"))


@st.composite
def specs(draw: st.DrawFn) -> str:
    """Draw the text of a spec: radius 3 to 40 mm, arcs 45° to 180°, beds 45° to 60°, both forms and hands."""
    return spec_text(
        draw(st.sampled_from(["round", "hollow"])),
        draw(st.integers(6, 80)) / 2,
        draw(st.integers(45, 180)),
        draw(st.integers(45, 60)),
        draw(st.sampled_from(["right", "left"])),
        draw(st.sampled_from(["mm", "in"])),
        draw(st.sampled_from(["solid", "laminated"])),
        draw(st.integers(8, 14)),
    )
