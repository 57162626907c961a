"""The rules of thumb yield a plane that has geometry, over the whole range that makers ask for."""

from __future__ import annotations

import re
from itertools import product
from math import radians, sin, tan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cad.errors import SpecError
from cad.formulas.grit import grain_mm
from cad.soles import sole_path
from cad.spec import Spec, keys, parse_spec, starter

FORMS = st.sampled_from(["round", "hollow"])
UNITS = st.sampled_from(["mm", "in"])


def _spec(form: str, unit: str, radius: float, arc: float, bed: float) -> Spec:
    text = (
        f'name = "x"\nunit = "{unit}"\n[sole]\nform = "{form}"\nradius = "{radius:.6f} mm"\narc = {arc}\n'
        f"[throat]\nbed = {bed}\n"
    )
    return parse_spec(text, "x.toml")


def _assert_works(spec: Spec) -> None:
    """Assert by formulas of this test's own that the plane has room for all its parts."""
    sole, body, throat, iron = spec.sole, spec.body, spec.throat, spec.iron
    sagitta = sole.radius - (max(sole.radius**2 - sole.width**2 / 4, 0)) ** 0.5
    edge = sagitta if sole.form == "round" else 0.0
    wall = body.thickness - spec.cheek.thickness - sole.width
    rise = tan(radians(sole.relief))
    assert wall >= 10 - 1e-9
    assert edge + wall / rise < body.height
    assert edge + spec.cheek.thickness / rise < body.shoulder < body.height
    gap = throat.mouth - iron.thickness / sin(radians(throat.bed))
    assert gap >= 1.5 - 1e-9
    back = throat.mouth_at + throat.mouth + body.height / tan(radians(throat.bed))
    assert back < body.length - 25
    assert abs(throat.mouth_at - body.length / 3) <= 0.8
    assert sagitta + 8 - 1e-9 <= spec.wedge.tip_height < body.height - 25
    run = body.height / sin(radians(throat.bed))
    assert 27.9 <= iron.length - run - spec.wedge.head_height < 35
    assert throat.bed - iron.bevel >= 12 - 1e-9
    saw = spec.shop.hand_saw
    assert saw.depth_under_back >= sole.width + spec.cheek.thickness + 20 - 1e-6
    assert spec.shop.table_saw.kerf / sin(radians(throat.bed)) <= throat.mouth
    stack = spec.shop.abrasive.pad + spec.shop.abrasive.backing + max(map(grain_mm, spec.shop.abrasive.grits))
    assert sole.form == "round" or stack <= sole.radius / 2 + 1e-9


@settings(deadline=None, max_examples=150)
@given(FORMS, UNITS, st.floats(2, 60), st.floats(30, 180), st.floats(40, 65))
def test_defaults_make_a_plane(form: str, unit: str, radius: float, arc: float, bed: float) -> None:
    _assert_works(_spec(form, unit, radius, arc, bed))


@pytest.mark.parametrize(
    ("form", "unit", "radius", "arc", "bed"),
    list(product(["round", "hollow"], ["mm", "in"], [2, 60], [30, 180], [40, 65])),
)
def test_defaults_make_a_plane_at_the_corners(
    form: str, unit: str, radius: float, arc: float, bed: float
) -> None:
    _assert_works(_spec(form, unit, radius, arc, bed))


@settings(deadline=None, max_examples=50)
@given(FORMS, st.floats(2, 60), st.floats(0.26, 1))
def test_width_and_arc_follow_from_each_other(form: str, radius: float, share: float) -> None:
    """Chord and arc: Machinery's Handbook, 31st ed., segments of circles."""
    width = 2 * radius * share
    text = f'name = "x"\n[sole]\nform = "{form}"\nradius = {radius!r}\nwidth = {width!r}\n'
    spec = parse_spec(text, "x.toml")
    assert 2 * spec.sole.radius * sin(radians(spec.sole.arc / 2)) == pytest.approx(width, abs=1e-9)


def test_wide_sole_asks_for_a_deeper_saw_and_says_so() -> None:
    spec = _spec("round", "mm", 40, 60, 50)
    assert spec.shop.hand_saw.depth_under_back == 70  # 40 + 6 + 20, up to the next 5
    assert "70 mm under its back" in spec.origins["shop.hand_saw.depth_under_back"].reason


def test_small_hollow_gets_a_thin_pad_and_says_so() -> None:
    spec = _spec("hollow", "mm", 3, 60, 50)
    assert spec.shop.abrasive.pad == 1.0  # 1.5 less 0.25 of backing and 0.162 of grain, down to the next 0.1
    assert "narrowest member" in spec.origins["shop.abrasive.pad"].reason


def test_narrow_mouth_gets_a_thin_blade_and_says_so() -> None:
    spec = parse_spec('name = "x"\n[sole]\nform = "round"\nradius = 16\n[throat]\nmouth = 4\n', "x.toml")
    assert spec.shop.table_saw.kerf == 2.7  # 0.9 · 4 · sin 50°, down to the next 0.1
    assert "thinner blade" in spec.origins["shop.table_saw.kerf"].reason


@pytest.mark.parametrize("form", ["round", "hollow"])
@pytest.mark.parametrize(("radius", "arc", "sagitta"), [(1, 60, 0.133975), (10, 90, 2.92893), (2, 180, 2.0)])
def test_sole_path_against_the_handbook(form: str, radius: float, arc: float, sagitta: float) -> None:
    """Heights of segments for r = 1: Machinery's Handbook, 31st ed., segments of circles."""
    spec = _spec(form, "mm", radius, arc, 50)
    path = sole_path(spec.sole)
    edge, middle = (sagitta, 0.0) if form == "round" else (0.0, sagitta)
    (arc_segment,) = path.segments
    assert path.start == pytest.approx((0, edge), abs=1e-5 * radius)
    assert path.end == pytest.approx((spec.sole.width, edge), abs=1e-5 * radius)
    assert arc_segment.point(0.5) == pytest.approx((spec.sole.width / 2, middle), abs=1e-5 * radius)
    assert path.length == pytest.approx(radius * radians(arc), rel=1e-9)
    assert path.bounds()[1] == pytest.approx(0, abs=1e-9)


@settings(deadline=None, max_examples=40)
@given(FORMS, UNITS, st.floats(2, 60))
def test_starter_parses_and_its_comments_hold_the_same_values(form: str, unit: str, mm: float) -> None:
    text = starter(form, f"{mm:.4f} mm", unit)
    plain = parse_spec(text, "new.toml")
    # Width stays out, since the arc says it already.
    spoken = re.sub(r"^# (?!width)(\w+ = |\[)", r"\1", text, flags=re.MULTILINE)
    spoken_out = parse_spec(spoken, "new.toml")
    assert all(origin.given for key, origin in spoken_out.origins.items() if key != "sole.width")
    for key in keys(form):
        one, two = _value(plain, key.dotted), _value(spoken_out, key.dotted)
        assert one == pytest.approx(two, abs=1e-6) if isinstance(one, float) else one == two, key.dotted


def test_starter_takes_a_bare_number_and_a_name() -> None:
    spec = parse_spec(starter("hollow", "0.5", "in", name="bead"), "new.toml")
    assert (spec.name, spec.unit, spec.sole.form, spec.sole.radius) == ("bead", "in", "hollow", 12.7)
    assert parse_spec(starter("round", 16, "mm"), "new.toml").name == "round-16-mm"


@pytest.mark.parametrize(
    ("form", "radius", "unit", "key"),
    [
        ("oval", "16", "mm", "sole.form"),
        ("round", "16", "cm", "unit"),
        ("round", "3/8", "in", "sole.radius"),
        ("round", "nan", "mm", "sole.radius"),
        ("round", "-3", "mm", "sole.radius"),
        ("round", '"\n[x]', "mm", "sole.radius"),
        ("round", 1e9, "mm", "sole.radius"),
    ],
)
def test_starter_refuses_what_makes_no_plane(form: str, radius: str | float, unit: str, key: str) -> None:
    with pytest.raises(SpecError) as caught:
        starter(form, radius, unit)
    assert [(fault.line, fault.key) for fault in caught.value.faults] == [(0, key)]


def _value(spec: Spec, dotted: str) -> object:
    found: object = spec
    for part in dotted.split("."):
        found = getattr(found, part)
    return found
