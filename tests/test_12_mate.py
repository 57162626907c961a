"""The spec of a mate: what it keeps, what it changes, and that it reads back."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings

from cad.errors import CallError, SpecError
from cad.geometry import derive
from cad.soles import forms, mate_form
from cad.spec import parse_spec
from cad.spec.mate import mate_name, mate_of, value_of
from fixtures.bench.mating import laid_together
from tests.conftest import DEMOS, demo_path, planewright
from tests.planes import specs

PAIRED = (
    *("sole.radius", "sole.arc", "sole.width", "body.length", "body.height", "body.thickness"),
    *("body.shoulder", "cheek.thickness", "throat.bed", "throat.front", "throat.mouth_at", "throat.mouth"),
    *("iron.thickness", "iron.length", "wedge.tip_height"),
)


@pytest.mark.parametrize("name", DEMOS)
def test_the_mate_is_alike_in_all_but_form_and_name_and_keeps_the_makers_words(name: str) -> None:
    text = demo_path(name).read_text()
    spec, mate = parse_spec(text, name), mate_of(text, name)
    assert {spec.sole.form, mate.spec.sole.form} == {"round", "hollow"} and not mate.remarks
    for key in PAIRED:
        assert value_of(mate.spec, key) == pytest.approx(value_of(spec, key), abs=1e-9), key
    comments = [line for line in text.splitlines() if line.startswith("#")]
    assert all(line in mate.text for line in comments)
    before, after = tomllib.loads(text), tomllib.loads(mate.text)
    assert after["sole"].pop("form") != before["sole"].pop("form")
    assert after.pop("name") != before.pop("name")
    assert after == before, "values stand as the maker wrote them, in his units"


@given(specs())
@settings(max_examples=25, deadline=None)
def test_every_mate_reads_back_lies_closely_and_gives_the_first_again(text: str) -> None:
    spec = parse_spec(text, "lot.toml")
    mate = mate_of(text, "lot.toml")
    ours, theirs = derive(spec).sole, derive(mate.spec).sole
    width = ours.width
    for at in range(1, 20):  # closed form: turned end for end, z becomes depth - z and y stays
        y = width * at / 20
        assert theirs.highest - theirs.height(y) == pytest.approx(ours.height(y), abs=1e-9)
    again = mate_of(mate.text, "mate.toml")
    assert again.spec.sole.form == spec.sole.form and again.text.count("# The mate of") == 1
    if not mate.remarks:
        for key in PAIRED:
            assert value_of(again.spec, key) == pytest.approx(value_of(spec, key), abs=1e-6), key


def test_forms_that_name_a_mate_are_named_by_it() -> None:
    for form in forms():
        mate = mate_form(form)
        assert mate is None or mate_form(mate) == form


# The grain of P60, 0.269 mm (FEPA 43), and 1 mm of backing leave a hollow of 1.2 mm radius nothing.
TINY = (
    'name = "tiny"\n[sole]\nform = "round"\nradius = 1.2\n[shop.abrasive]\n'
    'grits = ["P60"]\nbacking = 1\npad = 0\n'
)
STEEP = (
    'name = "a-{form}"\n[sole]\nform = "{form}"\nradius = 20\narc = 150\nrelief = 10\n'
    "[cheek]\nthickness = 8\n"
)


def test_sizes_that_the_rules_would_change_are_set_to_those_of_the_first() -> None:
    spec = parse_spec(STEEP.format(form="round"), "a")
    alone = parse_spec(STEEP.format(form="hollow"), "a")
    assert spec.body.height != alone.body.height and spec.iron.length != alone.iron.length
    mate = mate_of(STEEP.format(form="round"), "a")
    assert all(value_of(mate.spec, key) == value_of(spec, key) for key in PAIRED) and not mate.remarks
    assert mate.spec.origins["body.height"].given


def test_a_mate_that_needs_sizes_of_its_own_keeps_them_and_says_so() -> None:
    spec, mate = parse_spec(STEEP.format(form="hollow"), "a"), mate_of(STEEP.format(form="hollow"), "a")
    (remark,) = mate.remarks
    assert mate.spec.body.height > spec.body.height
    assert f"body.height {mate.spec.body.height:g} ({spec.body.height:g})" in remark


def test_a_value_that_leaves_the_mate_no_geometry_is_worked_out_anew_and_said() -> None:
    text = 'name = "tiny"\n[sole]\nform = "round"\nradius = 2\n[shop.abrasive]\npad = 3  # felt\n'
    mate = mate_of(text, "tiny.toml")
    (remark,) = mate.remarks
    assert "shop.abrasive.pad = 3 cannot be kept" in remark and "no radius left" in remark
    assert f"# {remark}" in mate.text and "# pad = 3  # felt" in mate.text
    assert mate.spec.shop.abrasive.pad < 2


def test_a_mate_that_cannot_be_is_refused_with_what_stands_in_its_way() -> None:
    with pytest.raises(CallError, match=r"tiny\.toml: the mate of tiny has no geometry: .*no radius left"):
        mate_of(TINY, "tiny.toml")
    with pytest.raises(SpecError):
        mate_of('name = "x"\n', "x.toml")


@pytest.mark.parametrize(
    ("name", "wanted"),
    [
        ("round-8", "hollow-8"),
        ("no_8_round", "no_8_hollow"),
        ("ground", "ground-hollow"),
        ("n" * 64, "n" * 57 + "-hollow"),
    ],
)
def test_the_name_says_which_of_the_two_it_is(name: str, wanted: str) -> None:
    assert mate_name(name, "round", "hollow") == wanted


def test_the_command_writes_beside_the_spec_and_never_over_a_file(tmp_path: Path) -> None:
    file = tmp_path / "bead-round.toml"
    assert planewright("new", file, "--radius", "3/8 in", "--unit", "in").returncode == 0
    done = planewright("mate", file)
    target = tmp_path / "bead-hollow.toml"
    assert done.returncode == 0 and str(target) in done.stderr and not done.stdout
    assert planewright("look", target).returncode == 0
    text = target.read_text()
    refused = planewright("mate", file)
    assert refused.returncode == 2 and "--force" in refused.stderr and target.read_text() == text
    assert planewright("mate", file, "--to", tmp_path / "x.toml").returncode == 0
    assert (tmp_path / "x.toml").read_text() == text
    assert planewright("mate", file, "--force").returncode == 0
    assert planewright("mate", tmp_path / "nowhere.toml").returncode == 2


def test_a_mate_that_fails_a_check_is_written_and_what_must_change_is_said(tmp_path: Path) -> None:
    file = tmp_path / "tight-round.toml"
    file.write_text(
        'name = "tight-round"\n[sole]\nform = "round"\nradius = 10\n[throat]\nmouth = 4\n'
        "[iron]\nthickness = 3.2\n"
    )
    done = planewright("mate", file)
    assert done.returncode == 1 and "mouth.gap fails" in done.stderr
    assert (tmp_path / "tight-hollow.toml").is_file()


def test_a_mate_that_cannot_be_exits_2_and_writes_nothing(tmp_path: Path) -> None:
    file = tmp_path / "tiny.toml"
    file.write_text(TINY)
    done = planewright("mate", file)
    assert done.returncode == 2 and "no radius left" in done.stderr and "Traceback" not in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["tiny.toml"]


def test_what_was_measured_on_the_first_is_not_the_mates() -> None:
    found = "bed = 50.4 # as pared\nsole_across = [1, 8, 15]\nsole_readings = [8.7, 7, 8.7]\n"
    text = f"{demo_path('cornice-round').read_text()}\n[measured]\n{found}"
    mate = mate_of(text, "own.toml")
    assert mate.spec.measured.found == {}
    assert "# as pared" in mate.text


@pytest.mark.parametrize("spring", [10, -7.5])
def test_the_mate_of_a_sprung_plane_leans_the_other_way(spring: float) -> None:
    text = f'name = "x"\n[sole]\nform = "round"\nradius = 16\nspring = {spring}\n'
    mate = mate_of(text, "x.toml")
    assert mate.spec.sole.spring == -spring
    found = laid_together(derive(parse_spec(text, "x.toml")), derive(mate.spec))
    assert found.passes and found.most < 1e-6
