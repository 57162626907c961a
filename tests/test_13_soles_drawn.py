"""Soles that are drawn: the spec with its file, what it refuses, and the solids against the drawing."""

from __future__ import annotations

import os
from hashlib import sha256
from pathlib import Path

import numpy as np
import pytest
from cadquery import Compound, Vertex
from hypothesis import given, settings
from hypothesis import strategies as st

from cad.cli.app import app
from cad.errors import SpecError
from cad.geometry import Plan, derive
from cad.outline import Arc, Line
from cad.parts import build_part
from cad.profiles import MOST_BYTES
from cad.report import dimensions
from cad.serve.desk import Desk, Outcome
from cad.serve.form import fields, kinds_of
from cad.soles import sole_path
from cad.soles.drawn import FIT_MM
from cad.spec import Spec, parse_spec, read_spec, starter
from cad.spec.editing import raw_value
from tests.drawings import dxf, svg

OGEE = '<path d="M 2 5 L 6 5 C 10 5 12 10 16 10 S 21 12 22 13 L 24 13"/>'
CORNERS = "[[0, 6], [3, 6, -0.4], [9, 3, 0.4], [15, 0], [18, 0]]"
CURVES = [((6, 5), (10, 5), (12, 10), (16, 10)), ((16, 10), (20, 10), (21, 12), (22, 13))]


def head(more: str) -> str:
    return f'name = "x"\n[sole]\nform = "drawn"\n{more}\n'


def spec_of(folder: Path, more: str) -> Spec:
    path = folder / "x.toml"
    path.write_text(head(more), "utf-8")
    return read_spec(path)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "ogee.svg").write_bytes(svg(OGEE))
    (tmp_path / "kept").mkdir()
    (tmp_path / "kept" / "step.DXF").write_bytes(
        dxf(lambda s, _: s.add_lwpolyline([(0, 4), (9, 4), (20, 0)]))
    )
    return tmp_path


def faults(folder: Path, more: str) -> list[str]:
    with pytest.raises(SpecError) as caught:
        spec_of(folder, more)
    assert all(fault.cure for fault in caught.value.faults)
    return [str(fault).removeprefix(f"{folder}/") for fault in caught.value.faults]


def test_points_are_a_profile() -> None:
    spec = parse_spec(head(f"points = {CORNERS}"), "x.toml")
    path = sole_path(spec.sole)
    assert [type(segment) for segment in path] == [Line, Arc, Arc, Line]
    assert path.start[0] == 0 and path.end[0] == spec.sole.width == 18
    # Chord √45, bulge 0.4: radius chord(1 + b²)/4b (DXF reference, LWPOLYLINE, code 42).
    assert [s.radius for s in path if isinstance(s, Arc)] == pytest.approx([45**0.5 * 1.16 / 1.6] * 2)
    assert path.bounds()[1] == pytest.approx(0, abs=1e-9)


def test_points_are_read_in_the_files_own_unit_and_from_either_end() -> None:
    mm = parse_spec(head(f"points = {CORNERS}"), "x.toml")
    turned = "[[18, 0], [15, 0, -0.4], [9, 3, 0.4], [3, 6], [0, 6]]"
    assert sole_path(parse_spec(head(f"points = {turned}"), "x.toml").sole) == sole_path(mm.sole)
    inches = parse_spec(
        'unit = "in"\n' + head('points = [[0, "1/4 in"], [0.5, 0.125], ["20 mm", 0]]'), "x.toml"
    )
    assert inches.sole.points == ((0, 6.35, 0), (12.7, 3.175, 0), (20, 0, 0))


def test_a_file_beside_the_spec_becomes_points(folder: Path) -> None:
    spec = spec_of(folder, 'profile = "ogee.svg"')
    assert spec.sole.points[0] == (0, 8, 0) and spec.sole.points[-1] == (22, 0, 0)
    assert spec.drawing is not None and 0 < spec.drawing.strays_mm <= FIT_MM * 1.05
    assert spec.origins["sole.points"].reason.startswith("drawn in ogee.svg, in millimetres; ")
    again = head(f"points = {[list(corner) for corner in spec.sole.points]}")
    assert sole_path(parse_spec(again, "x.toml").sole) == sole_path(spec.sole)


def test_the_file_lies_beside_the_spec_wherever_one_stands(
    folder: Path, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path_factory.mktemp("elsewhere"))
    spec = spec_of(folder, 'profile = "kept/step.DXF"')
    assert [corner[:2] for corner in spec.sole.points] == [(0, 4), (9, 4), (20, 0)]
    text = (folder / "x.toml").read_text("utf-8")
    assert parse_spec(text, str(folder / "x.toml")) == spec
    (tmp_path := folder / "linked").mkdir()
    (tmp_path / "y.toml").symlink_to(folder / "x.toml")
    assert read_spec(tmp_path / "y.toml") == spec, "a link to a spec is that spec"


def test_the_hash_of_a_spec_covers_its_drawing(folder: Path) -> None:
    spec = spec_of(folder, 'profile = "ogee.svg"')
    both = (folder / "x.toml").read_bytes() + (folder / "ogee.svg").read_bytes()
    assert spec.digest == sha256(both).hexdigest()
    (folder / "ogee.svg").write_bytes(svg(OGEE.replace("24 13", "25 13")))
    changed = read_spec(folder / "x.toml")
    assert changed.digest != spec.digest and changed != spec and changed.sole.width == 23


def test_a_units_length_can_be_given(folder: Path) -> None:
    (folder / "bare.dxf").write_bytes(dxf(lambda s, _: s.add_line((0, 0), (1, 0.25)), units=0))
    (fault,) = faults(folder, 'profile = "bare.dxf"')
    assert fault.startswith('x.toml:4: sole.profile = "bare.dxf": bare.dxf: the file names no unit')
    assert spec_of(folder, 'profile = "bare.dxf"\nprofile_unit = "in"').sole.width == 25.4


def test_a_wrong_unit_shows_in_the_width(folder: Path) -> None:
    (folder / "far.dxf").write_bytes(dxf(lambda s, _: s.add_line((0, 0), (18, 4)), units=6))
    (fault,) = faults(folder, 'profile = "far.dxf"')
    assert "18000 mm wide" in fault and "profile_unit" in fault
    (folder / "high.dxf").write_bytes(dxf(lambda s, _: s.add_line((0, 0), (9, 8)), units=1))
    (fault,) = faults(folder, 'profile = "high.dxf"')
    assert "228.6 mm wide and 203.2 mm high" in fault and "profile_unit" in fault


def test_the_fit_is_the_makers_to_choose(folder: Path) -> None:
    counts = [len(spec_of(folder, f'profile = "ogee.svg"\nfit = {fit}').sole.points) for fit in (0.2, 0.005)]
    assert counts[0] < counts[1]


REFUSED = {
    "absent": ('profile = "no.svg"', 'x.toml:4: sole.profile = "no.svg": there is no such file'),
    "above": ('profile = "../x.svg"', "leads out of the spec's folder"),
    "root": ('profile = "/etc/x.svg"', "leads out of the spec's folder"),
    "link": ('profile = "link.svg"', "leads out of the spec's folder"),
    "backslash": ('profile = "kept\\\\step.DXF"', "leads out of the spec's folder"),
    "kind": ('profile = "x.toml"', "no drawing ends in .toml"),
    "no kind": ('profile = "ogee"', "does not say what file it is"),
    "folder": ('profile = "folder.svg"', "this is no file"),
    "pipe": ('profile = "pipe.svg"', "this is no file"),
    "large": ('profile = "large.dxf"', f"larger than {MOST_BYTES} bytes"),
    "null": ('profile = "a\\u0000.svg"', "cannot name files"),
    "empty": ('profile = ""', "the name is empty"),
    "both": (f'profile = "ogee.svg"\npoints = {CORNERS}', "profile and points are both given"),
    "neither": ("", "sole.points: this key is required and missing. Add a line such as profile ="),
    "width": (f"points = {CORNERS}\nwidth = 18", "x.toml:5: sole.width = 18: the width follows"),
    "last bulge": ("points = [[0, 0], [9, 0, 0.5]]", "the last corner has a bulge"),
    "one": ("points = [[0, 0]]", "corners given: 1"),
    "three": ("points = [[0, 0, 0, 0], [1, 1]]", "in place 1, [0, 0, 0, 0]: the list holds 4 values"),
    "text": ('points = [[0, 0], [1, "x"]]', 'in place 2, [1, "x"]: in place 2, "x"'),
    "far": ("points = [[0, 0], [1e9, 1]]", "the value is too large"),
    "bulge": ("points = [[0, 0, 3], [9, 1]]", "the value is too large"),
    "undercut": ("points = [[0, 0], [9, 0], [8, 9], [18, 9]]", "the line 2, from"),
    "crossing": ("points = [[0, 0], [9, 9], [9, 0], [0, 8], [20, 8]]", "crosses or touches itself"),
    "fit of points": (f"points = {CORNERS}\nfit = 0.01", "x.toml:5: sole.fit = 0.01: fit would say how"),
    "unit of points": (f'points = {CORNERS}\nprofile_unit = "in"', "x.toml:5: sole.profile_unit"),
    "both of points": (
        f'points = {CORNERS}\nprofile_unit = "in"\nfit = 0.01',
        'x.toml:5: sole.profile_unit = "in": profile_unit and fit would say how a drawing is read',
    ),
    "key of others": ("radius = 16", "It is a key of"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_refused_says_where_and_what_to_do(folder: Path, name: str) -> None:
    (folder.parent / "outside.svg").write_bytes(svg(OGEE))
    (folder / "link.svg").symlink_to(folder.parent / "outside.svg")
    (folder / "folder.svg").mkdir()
    (folder / "large.dxf").write_bytes(b" " * (MOST_BYTES + 1))
    os.mkfifo(folder / "pipe.svg")
    more, words = REFUSED[name]
    found = faults(folder, more)
    assert any(words in fault for fault in found), found
    assert all(fault.startswith("x.toml:") for fault in found)


def test_an_undercut_names_what_was_drawn(folder: Path) -> None:
    (folder / "u.svg").write_bytes(svg('<path id="nose" d="M 0 9 L 9 9 L 8 0 L 18 0"/>'))
    (fault,) = faults(folder, 'profile = "u.svg"')
    assert '(drawn by path "nose" in u.svg)' in fault
    # The undercut line leans atan(1/9) = 6.34° past plumb: held leaning by more, it can be cut.
    assert "Set sole.spring from 7 to 45" in fault or "Set sole.spring from -45 to -7" in fault
    assert spec_of(folder, f'profile = "u.svg"\nspring = {-7 if "-45" in fault else 7}').sole.spring


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_a_starter_is_a_plane(unit: str) -> None:
    text = starter("drawn", None, unit, "mine")
    spec = parse_spec(text, "mine.toml")
    assert spec.name == "mine" and spec.sole.width == pytest.approx(18)
    assert "\nprofile =" not in text and "# fit = " in text


def test_the_page_shows_and_changes_points() -> None:
    text = head(f"points = {CORNERS}")
    kinds = kinds_of(text)
    written = "[0, 6], [3, 6, -0.4], [9, 3, 0.4], [15, 0], [18, 0]"
    shown = {
        field["key"]: field
        for field in fields({"sole": {"form": "drawn", "points": [[0, 6], [18, 0]]}}, None)
    }
    assert shown["sole.points"]["written"] == "[0, 6], [18, 0]"
    for words in (written, f"[{written}]"):
        assert raw_value(kinds["sole.points"], words) == [[0, 6], [3, 6, -0.4], [9, 3, 0.4], [15, 0], [18, 0]]
    assert raw_value(kinds["sole.points"], "nonsense") == "nonsense"
    named = fields({"sole": {"form": "drawn", "profile": "ogee.svg"}}, None)
    assert not next(field for field in named if field["key"] == "sole.points")["required"]


def test_the_page_reads_the_drawing_beside_the_spec_anew(folder: Path) -> None:
    (folder / "x.toml").write_text(head('profile = "ogee.svg"'), "utf-8")
    desk = Desk(folder / "x.toml", folder / "out", lambda *call: Outcome(0, ""))
    text = desk.read()["text"]
    assert desk.look(text, {})["faults"] == []
    (folder / "ogee.svg").write_bytes(svg('<path d="M 0 0 H 5 M 6 0 H 9"/>'))
    (fault,) = desk.look(text, {})["faults"]
    assert fault["key"] == "sole.profile" and "the profile is in 2 parts" in fault["problem"]
    (outside,) = desk.look(text, {"sole.profile": "../outside.svg"})["faults"]
    assert "leads out of the spec's folder" in outside["problem"]


def test_the_report_lists_the_corners() -> None:
    plan = derive(parse_spec(head(f"points = {CORNERS}"), "x.toml"))
    assert dimensions(plan)["sole.points"].shown("mm").startswith("(0 6 0), (3 6 -0.4), ")


def test_the_command_says_what_is_wrong_with_a_drawing(folder: Path) -> None:
    from typer.testing import CliRunner

    (folder / "x.toml").write_text(head('profile = "two.svg"'), "utf-8")
    (folder / "two.svg").write_bytes(svg('<path d="M 0 0 H 5 M 6 0 H 9"/>'))
    ended = CliRunner().invoke(app, ["look", str(folder / "x.toml")])
    assert ended.exit_code == 2
    assert "two.svg: path 1: the profile is in 2 parts" in ended.output


numbers = st.one_of(st.integers(-30, 30), st.floats(allow_nan=True, allow_infinity=True))
rows = st.lists(st.lists(numbers, min_size=0, max_size=4), max_size=6)


@settings(max_examples=60, deadline=None)
@given(rows)
def test_points_at_random_are_a_plane_or_a_fault(points: list[list[float]]) -> None:
    text = head(f"points = {points}".replace("nan", "nan").replace("inf", "inf"))
    try:
        plan = derive(parse_spec(text, "x.toml"))
    except SpecError as error:
        assert all(fault.cure for fault in error.faults)
    else:
        ys = np.linspace(0, plan.sole.width, 21)
        assert all(plan.sole.height(float(y)) >= -1e-6 for y in ys)


def exact_profile() -> np.ndarray:
    """Return points of the drawing of OGEE by Bernstein's polynomials, (y, z) as the sole lies."""
    t = np.linspace(0, 1, 40)[:, None]
    bezier = [
        (1 - t) ** 3 * np.array(a) + 3 * t * (1 - t) ** 2 * np.array(b) + 3 * t**2 * (1 - t) * np.array(c)
        + t**3 * np.array(d)
        for a, b, c, d in CURVES
    ]  # fmt: skip
    drawn = np.vstack([[[2, 5], [6, 5]], *bezier, [[24, 13]]])
    return np.column_stack([drawn[:, 0] - 2, 13 - drawn[:, 1]])


@pytest.fixture(scope="module", params=[0, -20])
def plan(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Plan:
    folder = tmp_path_factory.mktemp("drawn")
    (folder / "ogee.svg").write_bytes(svg(OGEE))
    return derive(spec_of(folder, f'profile = "ogee.svg"\nspring = {request.param}'))


def test_the_body_and_the_irons_edge_stand_on_the_drawing(plan: Plan) -> None:
    """Each point of the drawn curve lies on the solid body, and stretched by 1/sin β on the iron's edge."""
    body = Compound.makeCompound(build_part("body", plan).solid.Faces())
    iron = Compound.makeCompound(build_part("iron", plan).solid.Edges())
    x0, up = plan.iron.origin, np.array(plan.iron.up_bed)
    a = np.radians(plan.spec.sole.spring)
    leaned = exact_profile() @ np.array([[np.cos(a), -np.sin(a)], [np.sin(a), np.cos(a)]])
    for y, z in leaned - [leaned[0, 0], leaned[:, 1].min()]:
        assert Vertex.makeVertex(10.0, y, z).distance(body) <= FIT_MM * 1.05
        on_edge = np.array(x0) + [0, y, 0] + z / np.sin(np.radians(plan.throat.bed_deg)) * up
        assert on_edge[2] == pytest.approx(z)
        assert Vertex.makeVertex(*map(float, on_edge)).distance(iron) <= FIT_MM * 1.05 / np.sin(
            np.radians(50)
        )


def test_a_drawn_sole_stays_as_drawn_when_the_throat_was_measured(folder: Path) -> None:
    (folder / "x.toml").write_text(
        head('profile = "ogee.svg"\nspring = 10') + "[measured]\nbed = 50.5\nmouth = 6.2\n", "utf-8"
    )
    spec = read_spec(folder / "x.toml")
    plan = derive(spec)
    assert plan.sole.path == sole_path(spec.sole) and plan.spec.drawing is spec.drawing
    assert plan.throat.bed_deg == 50.5 and plan.spec.sole == spec.sole
