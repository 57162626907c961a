"""A new form of sole is one new file, found by itself, with keys, rules, faults and a curve of its own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

import cad.soles
from cad.errors import SpecError
from cad.soles import forms, sole_path
from cad.spec import keys, parse_spec, starter

CHAMFERED = """
from typing import Annotated

from pydantic import Field

from cad.fields import Problem, Rule, Span
from cad.outline import Line
from cad.soles.member import Member
from cad.soles.table import RELIEF, Size, SoleTable

FORM = "chamfered"
CALLED = "a chamfered sole"
SUMMARY = "flat with two chamfers"


SIZE = Size("sole.width", "20 mm", 'width = "3/4 in"')
FLATTER = "Make the chamfers longer"


class Table(SoleTable):
    chamfer: Annotated[float, Span("mm", 0, 50, above=True)] = Field(description="length of each chamfer")


RULES = (
    Rule("sole.chamfer", lambda known: known["sole.width"] / 4, "a quarter of the width"),
    RELIEF,
    Rule("sole.tolerance", lambda known: 0.1, "what shows against the light"),
)


def _meeting(known):
    if 2 * known["sole.chamfer"] >= known["sole.width"]:
        yield Problem(("sole.chamfer",), "the chamfers meet", "Make them shorter")


PROBLEMS = (_meeting,)


def members(table):
    c, w = table.chamfer, table.width
    corners = [(0, c), (c, 0), (w - c, 0), (w, c)]
    names = ("plate chamfer", "flat", "blind chamfer")
    return tuple(Member(name, Line(*ends)) for name, ends in zip(names, zip(corners, corners[1:])))
"""

TEXT = 'name = "x"\n[sole]\nform = "chamfered"\nwidth = 20\n'


@pytest.fixture
def _chamfered(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    (tmp_path / "chamfered.py").write_text(CHAMFERED, "utf-8")
    monkeypatch.setattr(cad.soles, "__path__", [*cad.soles.__path__, str(tmp_path)])
    forms.cache_clear()
    yield
    forms.cache_clear()


def test_the_forms_that_come_along() -> None:
    assert list(forms())[:2] == ["round", "hollow"], "the usual ones first"
    assert "drawn" in forms()


@pytest.mark.usefixtures("_chamfered")
def test_a_new_file_is_a_new_form() -> None:
    spec = parse_spec(TEXT, "x.toml")
    assert spec.sole.model_dump()["chamfer"] == 5
    assert spec.model_dump()["sole"]["chamfer"] == 5
    assert spec.origins["sole.chamfer"].reason == "a quarter of the width"
    assert sole_path(spec.sole).bounds() == (0, 0, 20, 5)
    assert "sole.chamfer" in {key.dotted for key in keys("chamfered")}
    assert "sole.chamfer" not in {key.dotted for key in keys("round")}
    assert "# chamfer = 5  # length of each chamfer" in starter("chamfered", 20, "mm")


@pytest.mark.usefixtures("_chamfered")
def test_its_faults_stand_with_the_others() -> None:
    with pytest.raises(SpecError) as caught:
        parse_spec(TEXT + "chamfer = 10\n[throat]\nbed = 60\nfront = 50\n", "x.toml")
    assert [(fault.line, fault.key) for fault in caught.value.faults] == [
        (5, "sole.chamfer"),
        (8, "throat.front"),
    ]


@pytest.mark.usefixtures("_chamfered")
def test_its_keys_are_unknown_to_other_forms() -> None:
    with pytest.raises(SpecError, match="no such key in"):
        parse_spec(TEXT.replace("chamfered", "round") + "chamfer = 5\n", "x.toml")
