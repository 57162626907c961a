"""Planes drawn by lot over all that is sensible: refused in words, or solids that hold every invariant.

CI draws the same 40 every time. PLANEWRIGHT_PLANES=500 (see DEVELOPERS.md) draws so many new ones; hypothesis
prints the spec that breaks and the blob that draws it again. What it has broken is kept below by name.
"""

from __future__ import annotations

import json
import os

import pytest
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from cad.checks import run_checks
from cad.errors import SpecError
from cad.geometry import derive
from cad.spec import parse_spec
from tests.test_30_parts import assert_sound

NIGHTLY = os.environ.get("PLANEWRIGHT_PLANES")
ARC_BEDS = st.integers(400, 650).map(lambda tenths: tenths / 10)

TABLES: dict[str, dict[str, st.SearchStrategy[object]]] = {
    "body": {
        "length": st.integers(150, 400),
        "height": st.integers(50, 110),
        "thickness": st.integers(20, 90),
        "spare": st.sampled_from([0, 25, 50]),
    },
    "cheek": {"thickness": st.integers(4, 12)},
    "iron": {
        "thickness": st.integers(20, 50).map(lambda tenths: tenths / 10),
        "bevel": st.integers(20, 35),
        "length": st.integers(120, 220),
    },
    "wedge": {
        "side_clearance": st.sampled_from([0, 0.1, 0.2, 0.5]),
        "head_height": st.integers(20, 60),
    },
    "shop.hand_saw": {"plate": st.sampled_from([0.4, 0.5, 0.6]), "kerf": st.sampled_from([0.6, 0.7, 0.9])},
    "shop.table_saw": {"kerf": st.sampled_from([2.2, 3.0, 3.2]), "blade_diameter": st.integers(160, 300)},
    "shop.printer": {"nozzle": st.sampled_from([0.25, 0.4, 0.6, 0.8])},
    "shop.router": {"cutter": st.sampled_from([3, 3.175, 6, 6.35, 8])},
    "shop.abrasive": {
        "pad": st.sampled_from([0, 1, 2, 3]),
        "grits": st.sampled_from([["P100"], ["P80", "P220"]]),
    },
}


@st.composite
def any_specs(draw: st.DrawFn) -> str:
    """Draw a spec: radius 2 to 60 mm, arcs 30° to 180°, beds 40° to 65°, forms and hands, tables in part."""
    bed = draw(ARC_BEDS)
    lines = [
        'name = "drawn-by-lot"',
        f'unit = "{draw(st.sampled_from(["mm", "in"]))}"',
        "[sole]",
        f'form = "{draw(st.sampled_from(["round", "hollow"]))}"',
        f'radius = "{draw(st.integers(20, 600)) / 10} mm"',
        f"arc = {draw(st.integers(30, 180))}",
        "[throat]",
        f"bed = {bed}",
        f"front = {bed + draw(st.integers(60, 140)) / 10:g}",
    ]
    hand, build = draw(st.sampled_from(["right", "left"])), draw(st.sampled_from(["solid", "laminated"]))
    for name, keys in TABLES.items():
        given_keys = (
            draw(st.sets(st.sampled_from(sorted(keys)), max_size=2)) if draw(st.booleans()) else set()
        )
        own = [f"hand = {json.dumps(hand)}", f"build = {json.dumps(build)}"] if name == "body" else []
        values = [f"{key} = {_written(key, draw(keys[key]))}" for key in sorted(given_keys)]
        if own or values:
            lines += [f"[{name}]", *own, *values]
    return "\n".join(lines) + "\n"


def _written(key: str, value: object) -> str:
    """Return a value as TOML; lengths with their unit, so that the file's own does not matter."""
    is_length = isinstance(value, int | float) and key != "bevel"
    return json.dumps(f"{value} mm" if is_length else value)


def assert_refused_or_sound(text: str) -> str:
    """Assert that a spec is refused with a cure, fails a check with one, or makes sound solids: say which."""
    try:
        plan = derive(parse_spec(text, "drawn-by-lot.toml"))
    except SpecError as error:
        assert error.faults and all(fault.cure and fault.line for fault in error.faults)
        return "refused"
    failing = [check for check in run_checks(plan) if check.level == "fail"]
    if failing:
        assert all(check.why and check.cure for check in failing)
        return "fails a check"
    assert_sound(plan)
    return "sound"


@settings(
    max_examples=int(NIGHTLY or 40),
    derandomize=NIGHTLY is None,
    deadline=None,
    print_blob=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(any_specs())
def test_any_plane_is_refused_or_sound(text: str) -> None:
    event(assert_refused_or_sound(text))


def _short(form: str, radius: float, arc: float, bed: float, front: float) -> str:
    """Return a spec that gives these values and leaves the rest to the rules."""
    return (
        f'name = "drawn-by-lot"\n[sole]\nform = "{form}"\nradius = {radius}\narc = {arc}\n'
        f"[throat]\nbed = {bed}\nfront = {front}\n"
    )


# What once broke, and what it is now.
BROKEN_ONCE = {
    "a round so deep that half of the body's height is sole": (_short("round", 60, 179, 40, 46), "sound"),
    "a hollow so deep that half of the body's height is void": (
        _short("hollow", 59.3, 179, 51.6, 60.5),
        "sound",
    ),
    "an escapement whose straight edge all but vanishes": (_short("round", 54.7, 83, 40, 46), "sound"),
    "an escapement whose eye all but touches the relief": (_short("round", 47.1, 140, 54.6, 61), "sound"),
    "a wedge so thick and high that it meets the front face above the body": (
        _short("hollow", 38.7, 146, 41.9, 53.8) + "[body]\nheight = 50\n",
        "fails a check",
    ),
}


@pytest.mark.parametrize("name", BROKEN_ONCE)
def test_what_the_search_once_broke(name: str) -> None:
    text, outcome = BROKEN_ONCE[name]
    assert assert_refused_or_sound(text) == outcome
