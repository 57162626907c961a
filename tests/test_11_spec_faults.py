"""Every way a spec can be wrong: one tiny file each in specs/bad, what it is told in specs/expected.toml."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cad.errors import SpecError
from cad.spec import keys, parse_spec, read_spec

SPECS = Path(__file__).parent / "specs"
BAD = sorted((SPECS / "bad").glob("*.toml"))
GOOD = sorted((SPECS / "good").glob("*.toml"))
ON_THEIR_OWN = {"least", "written-otherwise", "byte-order-mark"}
EXPECTED: dict[str, Any] = tomllib.loads((SPECS / "expected.toml").read_text("utf-8"))


def test_every_bad_spec_has_its_expectation() -> None:
    assert {path.stem for path in BAD} == set(EXPECTED)


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_bad_spec_is_told_where_what_and_cure(path: Path) -> None:
    with pytest.raises(SpecError) as caught:
        read_spec(path)
    faults = caught.value.faults
    wanted = EXPECTED[path.stem]["faults"]
    assert [(fault.line, fault.key) for fault in faults] == [(one["line"], one["key"]) for one in wanted]
    for fault, one in zip(faults, wanted, strict=True):
        assert fault.file == str(path)
        assert one["problem"] in fault.problem
        assert one["cure"] in fault.cure


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_messages_stay_on_one_line_of_readable_length(path: Path) -> None:
    with pytest.raises(SpecError) as caught:
        read_spec(path)
    for fault in caught.value.faults:
        assert "\n" not in str(fault)
        assert len(str(fault).removeprefix(str(path))) < 420


@pytest.mark.parametrize("path", GOOD, ids=lambda path: path.stem)
def test_good_spec_is_read(path: Path) -> None:
    assert read_spec(path).name


@pytest.mark.parametrize("path", GOOD, ids=lambda path: path.stem)
def test_the_cure_of_an_impossible_plane_changes_one_line(path: Path) -> None:
    bad = SPECS / "bad" / path.name
    if path.stem in ON_THEIR_OWN:
        assert not bad.exists()
        return
    wrong, cured = bad.read_text("utf-8").splitlines(), path.read_text("utf-8").splitlines()
    assert len({*wrong} ^ {*cured}) in (1, 2, 4)  # a line left out, one changed, or two swapped angles


@pytest.mark.parametrize(
    "text",
    [
        '"a\\u202eb" = 1\n',
        '[throat]\nbed = {"\\u001b]0;mine" = 1}\n',
        '["x\\u007f\\u009b"]\na = 1\n',
        '[throat]\nbed = "\\u001b[2J"\n',
    ],
)
def test_what_a_spec_says_cannot_command_the_terminal(text: str) -> None:
    with pytest.raises(SpecError) as caught:
        parse_spec(text, "x.toml")
    assert all(line.isprintable() for line in str(caught.value).split("\n"))


def test_missing_file(tmp_path: Path) -> None:
    with pytest.raises(
        SpecError, match=r"there is no such file. Check the name, or start one: planewright new"
    ):
        read_spec(tmp_path / "absent.toml")


def test_folder_instead_of_a_file(tmp_path: Path) -> None:
    with pytest.raises(SpecError, match="this is a folder"):
        read_spec(tmp_path)


def test_file_name_that_no_system_takes() -> None:
    with pytest.raises(SpecError, match="cannot be read"):
        read_spec("a\0b.toml")


def test_file_under_a_file(tmp_path: Path) -> None:
    (tmp_path / "plain").write_text("x", "utf-8")
    with pytest.raises(SpecError, match="cannot be read"):
        read_spec(tmp_path / "plain" / "x.toml")


def test_very_large_file(tmp_path: Path) -> None:
    path = tmp_path / "large.toml"
    path.write_bytes(b"#" * 1_000_001)
    with pytest.raises(SpecError, match="larger than 1000000 bytes"):
        read_spec(path)


def test_a_faulty_value_brings_no_faults_of_its_own_making() -> None:
    """Thickness, height and all else rest on the width; only the slip itself may be told."""
    text = 'name = "x"\n[sole]\nform = "round"\nradius = "16 cm"\n[body]\nthickness = 5\nheight = 30\n'
    with pytest.raises(SpecError) as caught:
        parse_spec(text, "x.toml")
    assert [fault.key for fault in caught.value.faults] == ["sole.radius"]


def test_an_unknown_unit_is_told_once() -> None:
    text = (
        'unit = "cm"\nname = "x"\n[sole]\nform = "round"\nradius = 16\n[body]\nlength = true\nhand = "up"\n'
    )
    with pytest.raises(SpecError) as caught:
        parse_spec(text, "x.toml")
    assert [fault.key for fault in caught.value.faults] == ["unit", "body.hand"]


def test_the_message_names_file_line_key_value_and_cure() -> None:
    with pytest.raises(SpecError) as caught:
        parse_spec('name = "x"\n[sole]\nform = "round"\nradius = -3\n', "plane.toml")
    assert str(caught.value) == (
        "plane.toml:4: sole.radius = -3: the length is negative. It must be from 1 mm to 250 mm"
    )


_VALUES = st.sampled_from(
    [
        "0",
        "-1",
        "1e-9",
        "1e308",
        "nan",
        "-inf",
        "true",
        "[]",
        "{}",
        "[[1]]",
        '""',
        '"3/8 in"',
        '"0 mm"',
        "30",
        "60",
        "90",
        "5",
        "75",
        "250",
        '["P60"]',
        "[6, 12]",
        '"hollow"',
        '"in"',
        "1979-05-27",
        '"""a\nb"""',
        "9" * 400,
    ]
)
_KEYS = st.sampled_from([*(key.dotted for key in keys("round")), "sole.x", "a.b", '"a\\nb"'])


@settings(deadline=None, max_examples=300)
@given(st.dictionaries(_KEYS, _VALUES, max_size=8))
def test_any_values_make_a_plane_or_faults_on_lines_of_the_file(values: dict[str, str]) -> None:
    least = {"name": '"x"', "sole.form": '"round"', "sole.radius": "16"}
    text = "\n".join(f"{key} = {value}" for key, value in (least | values).items())
    try:
        spec = parse_spec(text, "x.toml")
    except SpecError as error:
        for fault in error.faults:
            assert 0 <= fault.line <= text.count("\n") + 1
            assert fault.problem and fault.cure and "\n" not in str(fault)
    else:
        assert type(spec).model_validate({**spec.model_dump(), "origins": spec.origins}, strict=False) == spec


_SHARDS = st.sampled_from(
    ['"', "'", "[", "]", "{", "}", "\n", "=", ".", "#", "\\", "\0", '"""', ",", "[sole]\n"]
)


@settings(deadline=None, max_examples=300)
@given(st.data())
def test_a_broken_text_is_told_and_never_breaks_the_reader(data: st.DataObject) -> None:
    text = (SPECS / "good" / "written-otherwise.toml").read_text("utf-8")
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(text)))
        text = text[:at] + data.draw(_SHARDS) + text[at + data.draw(st.integers(0, 3)) :]
    try:
        parse_spec(text, "x.toml")
    except SpecError as error:
        assert all(0 <= fault.line <= text.count("\n") + 1 for fault in error.faults)
