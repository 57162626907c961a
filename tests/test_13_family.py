"""A family's file: the planes it comes to, and what is said of every slip in it."""

from __future__ import annotations

import csv
import json
from hashlib import sha256
from io import StringIO
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cad.errors import SpecError
from cad.family import Family, family_of, read_family
from cad.family.scaling import STEP_IN
from cad.geometry import derive
from cad.report.lineup import lineup, lineup_csv
from cad.spec import parse_spec
from cad.spec.source import load_text
from tests.conftest import demo_path, planewright

HEAD = F = 'name = "set"\n[family]\n'


def family(text: str) -> Family:
    return family_of(load_text(text, "set.toml", sha256(text.encode())))


def faults(text: str) -> list[str]:
    with pytest.raises(SpecError) as caught:
        family(text)
    return [str(fault) for fault in caught.value.faults]


def radii(text: str) -> list[float]:
    return [member.spec.sole.radius for member in family(text).members if member.label.endswith("round")]


def test_the_demo_family_is_nine_pairs() -> None:
    found = read_family(demo_path("library-set"))
    assert len(found.members) == 18 and found.members[0].spec.name == "library-set-01-round"
    radii = [member.spec.sole.radius for member in found.members[::2]]
    assert radii == pytest.approx([(3 + 2 * at) / 16 * 25.4 for at in range(9)])
    lengths = [member.spec.body.length / 25.4 for member in found.members]
    assert lengths == pytest.approx([9.5] * 16 + [10.5] * 2), "its own table changes one pair"


def test_a_rule_and_a_list_of_radii_come_to_the_same() -> None:
    listed = radii(HEAD + 'radii = ["1/4 in", "3/8 in", "1/2 in"]\n')
    assert listed == [6.35, 9.525, 12.7]
    assert radii(HEAD + 'first = "1/4 in"\nstep = "1/8 in"\ncount = 3\n') == listed
    assert radii(HEAD + 'first = "1/4 in"\nstep = "1/8 in"\nlast = "1/2 in"\n') == listed
    assert radii(HEAD + "first = 4\nstep = 2\ncount = 4\n") == [4, 6, 8, 10]
    assert radii(f'unit = "in"\n{HEAD}first = 0.25\nstep = 0.125\ncount = 3\n') == listed


def test_scaled_values_are_exact_at_the_ends_and_straight_and_rounded_between() -> None:
    text = (
        HEAD + "radii = [4, 8, 12, 20]\n[family.scale]\nbody.height = [70, 86]\nthroat.bed = [48, 52]\n"
        "body.length = [240.3, 250.7]\n"
    )
    specs = [member.spec for member in family(text).members if member.label.endswith("round")]
    assert [spec.body.height for spec in specs] == [70, 74, 78, 86]
    assert [spec.throat.bed for spec in specs] == [48, 49, 50, 52]
    assert [spec.body.length for spec in specs] == [240.3, 243, 245.5, 250.7]  # halves of a mm between
    inches = text.replace("radii = [4, 8, 12, 20]", 'radii = ["4 mm", "8 mm", "12 mm", "20 mm"]')
    inches = inches.replace("[70, 86]", '["70 mm", "86 mm"]').replace("[240.3, 250.7]", '["9 in", "10 in"]')
    found = family('unit = "in"\n' + inches).members[2].spec.body
    assert found.height == pytest.approx(round(74 / STEP_IN) * STEP_IN)
    assert found.length == pytest.approx(9.25 * 25.4)


def test_what_is_laid_over_what_and_arc_and_width_give_way_to_each_other() -> None:
    text = (
        HEAD + "radii = [10, 20]\n[family.scale]\nbody.height = [70, 90]\n[sole]\narc = 60\n[body]\n"
        "height = 80\nlength = 240\n[plane.2]\nbody.length = 260\nsole.width = 18\n"
        '[plane.02-hollow]\nbody.height = 88\nbody.hand = "left"\n'
    )
    specs = {member.label: member.spec for member in family(text).members}
    assert specs["01-round"].body.height == 70 and specs["02-round"].body.height == 90
    assert specs["02-hollow"].body.height == 88 and specs["02-hollow"].body.hand == "left"
    assert specs["02-round"].body.length == specs["02-hollow"].body.length == 260
    assert specs["01-hollow"].body.length == 240
    assert specs["02-round"].sole.width == 18 and specs["01-round"].sole.arc == 60


def test_one_form_and_one_size_make_a_family_of_one() -> None:
    (only,) = family(
        HEAD + 'forms = ["hollow"]\nradii = [12]\n[family.scale]\nbody.height = [70, 90]\n'
    ).members
    assert only.label == "01-hollow" and only.spec.body.height == 70


@given(
    st.integers(1, 12),
    st.integers(3, 10),
    st.integers(1, 3),
    st.sampled_from(["mm", "in"]),
    st.integers(45, 120),
)
@settings(max_examples=25, deadline=None)
def test_each_plane_is_what_a_spec_of_its_own_gives(
    count: int, first: int, step: int, unit: str, arc: int
) -> None:
    text = (
        f'name = "lot"\nunit = "{unit}"\n[family]\nfirst = "{first} mm"\nstep = "{step} mm"\n'
        f"count = {count}\n"
        f'[family.scale]\nsole.arc = [{arc}, 60]\niron.thickness = ["3 mm", "4 mm"]\n'
        "[wood]\nspecies = 'sugar maple'\n"
    )
    found = family(text)
    assert len(found.members) == 2 * count
    for at, member in enumerate(found.members):
        alone = parse_spec(member.text, "alone.toml")
        assert alone == member.spec
        assert alone.sole.radius == pytest.approx(first + step * (at // 2), abs=1e-6)
        assert alone.name == f"lot-{member.label}" and alone.wood.species == "sugar maple"
    assert len({member.spec.digest for member in found.members}) == 2 * count


def test_mouldings_are_graded_by_their_width() -> None:
    text = (
        'name = "beads"\n[family]\nforms = ["bead", "astragal"]\nfirst = 6\nstep = 3\ncount = 3\n'
        "[family.scale]\nsole.arc = [100, 140]\nbody.height = [70, 80]\n[sole]\nspring = 5\n"
        "[plane.2]\nsole.arc = 90\n[plane.03-bead]\nsole.quirk = 1.5\n"
    )
    found = family(text)
    specs = {member.label: member.spec for member in found.members}
    assert [spec.sole.width for label, spec in specs.items() if label.endswith("bead")] == [6, 9, 12]
    # Arc and width of a bead are two things, unlike those of a round: neither puts the other out.
    assert [spec.sole.arc for label, spec in specs.items() if label.endswith("bead")] == [100, 90, 140]
    assert [spec.body.height for label, spec in specs.items() if label.endswith("agal")] == [70, 75, 80]
    assert specs["03-bead"].sole.quirk == 1.5 and specs["02-bead"].sole.quirk == 1.5 == 9 / 6
    assert all(spec.sole.spring == 5 for spec in specs.values())
    for member in found.members:
        assert parse_spec(member.text, "alone.toml") == member.spec
    listed = text.replace("first = 6\nstep = 3\ncount = 3", "widths = [6, 9, 12]")
    assert [one.spec.sole for one in family(listed).members] == [one.spec.sole for one in found.members]


def test_the_table_of_mouldings_tells_width_and_depth() -> None:
    text = 'name = "set"\n[family]\nforms = ["bead"]\nwidths = [10, 12]\n[sole]\nquirk = 2\narc = 180\n'
    rows = list(csv.DictReader(StringIO(lineup_csv(lineup([derive(m.spec) for m in family(text).members])))))
    # A half round as high as half its width stands beside the quirk.
    assert [(row["width_mm"], row["depth_mm"]) for row in rows] == [("10", "4"), ("12", "5")]
    assert "radius_mm" not in rows[0]


def test_what_a_plane_changes_for_itself_wins_over_all_else() -> None:
    """The order is the shared tables, the scaled keys, the size's table and the plane's, the last on top."""
    text = (
        HEAD + "radii = [10, 20]\n[family.scale]\nbody.height = [70, 90]\nsole.arc = [50, 60]\n"
        "[body]\nheight = 60\nlength = 230\nhand = 'left'\n[sole]\nwidth = 9\n"
        "[plane.1]\nbody.height = 76\nsole.width = 11\n[plane.01-round]\nbody.height = 77\nsole.arc = 72\n"
        "[plane.02-hollow]\nsole.radius = 20.5\nbody.hand = 'right'\n"
    )
    specs = {member.label: member.spec for member in family(text).members}
    heights = {label: spec.body.height for label, spec in specs.items()}
    assert heights == {"01-round": 77, "01-hollow": 76, "02-round": 90, "02-hollow": 90}
    arcs = {label: spec.sole.arc for label, spec in specs.items()}
    # 11 over a radius of 10 takes in 2 asin(11/20) = 66.734° (segments of circles, Machinery's Handbook).
    assert arcs == pytest.approx(
        {"01-round": 72, "01-hollow": 66.734, "02-round": 60, "02-hollow": 60}, abs=1e-3
    )
    assert specs["02-hollow"].sole.radius == 20.5 and specs["02-round"].sole.radius == 20
    assert [spec.body.hand for spec in specs.values()] == ["left", "left", "left", "right"]
    assert {spec.body.length for spec in specs.values()} == {230}


def test_a_change_to_one_plane_leaves_the_others_as_they_were() -> None:
    text = HEAD + "radii = [10, 12]\n"
    before = [member.spec.digest for member in family(text).members]
    after = [m.spec.digest for m in family(text + "[plane.02-round]\nthroat.mouth = 7\n").members]
    assert [a == b for a, b in zip(before, after, strict=True)] == [True, True, False, True]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (F, "set.toml:2: family: the family has no sizes. Give radii"),
        (F + "radii = [4]\nfirst = 3\n", "set.toml:4: family.first: the sizes are given twice"),
        (F + "first = 3\n", "set.toml:3: family.first: the rule for the sizes is not complete"),
        (F + "first = 3\nstep = 2\nlast = 8\n", "set.toml:5: family.last = 8: the last size"),
        (F + "first = 3\nstep = 2\ncount = 0\n", "set.toml:5: family.count = 0: this is no number"),
        (F + "first = 3\nstep = -2\ncount = 2\n", "set.toml:4: family.step = -2: the length is negative"),
        (F + "radii = [4, 4]\n", "set.toml:3: family.radii = 4: the radii do not rise"),
        (F + 'radii = "4 mm"\n', "set.toml:3: family.radii = \"4 mm\": this is no list of radii"),
        (F + 'radii = ["4"]\n', 'set.toml:3: family.radii = "4": the length has no unit'),
        (F + "radii = [4]\nradius = 3\n", "set.toml:4: family.radius: there is no such key"),
        (F + 'radii = [4]\nforms = ["rond"]\n', "'rond' is no form that can be graded"),
        (F + 'radii = [4]\nforms = ["drawn"]\n', "'drawn' is no form that can be graded"),
        (F + 'radii = [4]\nforms = ["bead"]\n', "family.radii: a side bead is sized by sole.width"),
        (F + "widths = [4]\n", "set.toml:3: family.widths: a round is sized by sole.radius. Write radii"),
        (F + 'widths = [4]\nforms = ["bead", "round"]\n', "Make two families of them"),
        (F + "widths = [4]\nradii = [4]\n", "set.toml:4: family.radii: the sizes are given twice"),
        (F + 'widths = [4]\nforms = ["bead"]\n[sole]\nwidth = 4\n', "set.toml:6: sole.width = 4: [family]"),
        (F + 'radii = [4]\n[plane.1]\nunit = "in"\n', 'set.toml:5: plane.1.unit = "in": every plane has its'),
        (F + 'radii = [4]\n[plane.1]\nname = "x"\n', "set.toml:5: plane.1.name"),
        (F + 'radii = [4]\n[plane.1]\nsole.form = "ogee"\n', "set.toml:5: plane.1.sole.form"),
        (F + "radii = [4]\nforms = 6.0\n[plane.1]\nbody.length = 9\n", "this is no list of forms"),
        (F + "radii = [4]\n[sole]\nradius = 4\n", "set.toml:5: sole.radius = 4: [family] gives"),
        (F + "radii = [4]\n[plane.2]\nbody.length = 1\n", "set.toml:4: plane.2: the family has no"),
        (F + "radii = [4]\n[family.scale]\nbody.hight = [1, 2]\n", "set.toml:5: family.scale.body.hight"),
        (F + "radii = [4]\n[family.scale]\nbody.height = 70\n", "this is no pair of values"),
        (F + "radii = [4]\n[family.scale]\nbody.hand = [1, 2]\n", "no value that could be scaled"),
        ("[family]\nradii = [4]\n", "set.toml: name: this key is required and missing"),
        ('name = "a/b"\n[family]\nradii = [4]\n', 'set.toml:1: name = "a/b": the name cannot name files'),
        ('name = "s"\nfamily = 3\n', "set.toml:2: family = 3: a number stands where"),
    ],
)  # fmt: skip
def test_a_slip_in_the_family_is_told_with_its_line_and_cure(text: str, words: str) -> None:
    told = faults(text)
    assert any(words in line for line in told), told


def test_a_fault_of_single_planes_names_them_and_the_line_of_the_file() -> None:
    text = HEAD + "radii = [2, 10, 20]\n[body]\nlength = 240\n[throat]\nmouth_at = 80\n"
    told = faults(text + "[plane.02-round]\nthroat.bed = 60\nthroat.front = 50\n")
    assert len(told) == 1
    assert told[0].startswith("set.toml:10: throat.front = 50: in plane 02-round: ") and "swapped" in told[0]
    told = faults(text + "[shop.abrasive]\npad = 3\n")
    assert len(told) == 1 and "set.toml:9: shop.abrasive.pad = 3: in plane 01-hollow: " in told[0]
    told = faults(text + "[wod]\nspecies = 1\n")
    assert len(told) == 1 and told[0].startswith("set.toml:8: wod: in every plane: there is no such table")
    told = faults(HEAD + "radii = [0.1, 0.2, 10]\n")
    assert any("set.toml:3: sole.radius = 0.1: in planes 01-round, 01-hollow" in line for line in told)


def test_look_prints_one_table_and_fails_when_a_plane_does(tmp_path: Path) -> None:
    done = planewright("look", demo_path("library-set"))
    lines = done.stdout.splitlines()
    assert done.returncode == 0 and not done.stderr
    assert len([line for line in lines if line.startswith("library-set-")]) == 18
    file = tmp_path / "set.toml"
    file.write_text(HEAD + "radii = [10, 12]\n[plane.02-hollow]\nthroat.mouth = 4\niron.thickness = 3.2\n")
    done = planewright("look", file)
    (row,) = [line for line in done.stdout.splitlines() if line.startswith("set-02-hollow ")]
    assert (
        done.returncode == 1 and row.endswith("mouth.gap") and "set-02-hollow: mouth.gap fails" in done.stdout
    )
    told = json.loads(planewright("look", file, "--json").stdout)
    assert [plane["name"] for plane in told["planes"]] == [
        "set-01-round", "set-01-hollow", "set-02-round", "set-02-hollow",
    ]  # fmt: skip


def test_a_faulty_family_exits_2(tmp_path: Path) -> None:
    file = tmp_path / "set.toml"
    file.write_text(HEAD + "radii = [10, 12]\n[plane.02]\nbody.hight = 70\n")
    for command in (["look", file], ["make", file, "--to", tmp_path / "out"]):
        done = planewright(*command)
        assert (
            done.returncode == 2
            and "set.toml:5: body.hight = 70: in planes 02-round, 02-hollow" in done.stderr
        )
    assert not (tmp_path / "out").exists()
