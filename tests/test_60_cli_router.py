"""Programs for the router from the command line: run on paper by `prove`, and any other beside them."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import demo_path, planewright

SOUND = """%
(a groove across an offcut)
G21 G90 G17 G94
S18000 M3
G0 Z5
G0 X50 Y40
G1 Z0 F300
G1 X75 Z-3
G1 X50
G1 X150 F1200
G0 Z5
M5
M2
%
"""


def test_prove_shows_the_figures_of_every_program(proved: Callable[[str], Any]) -> None:
    told = proved("cornice-round")
    found = told["router"]
    assert isinstance(found, list) and told["no_program"] == []
    names = {one["stock"] for one in found}
    assert {"sheet_1", "cradle_toe", "sanding_block_P100"} <= names
    for one in found:
        assert one["passes"] and one["parts"] and one["cell_mm"] == 0.2
        assert 0 <= one["gouge_mm"] < 0.05 and one["left_mm"] < 0.05
        for program in one["programs"]:
            assert program["findings"] == [] and program["minutes"] > 0 and program["moves"] > 3
            assert program["removed_cm3"] > 0
    assert any(one["ridge_mm"] > 0.02 for one in found)


def test_a_program_from_anywhere_is_run_on_the_sheet(tmp_path: Path) -> None:
    """A groove of 100 mm by 6 and its round ends, 3 mm deep: (600 + 9 pi) 3 mm³."""
    file = tmp_path / "groove.ngc"
    file.write_text(SOUND, encoding="ascii")
    done = planewright("prove", demo_path("cornice-round"), "--program", file)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "groove, out of 600 × 400 × 12 mm on the router: proved" in done.stdout
    assert "1.9 cm³ cut away, no rapids through wood" in done.stdout
    assert "a straight cutter of 6 mm (shop.router.cutter)" in done.stdout
    told = json.loads(planewright("prove", demo_path("cornice-round"), "--program", file, "--json").stdout)
    assert told["passes"] and told["parts"] == []
    assert told["programs"][0]["removed_cm3"] == pytest.approx((600 + 9 * 3.14159) * 3 / 1000, rel=0.01)


def test_a_wrong_program_is_told_line_by_line(tmp_path: Path) -> None:
    file = tmp_path / "wrong.ngc"
    file.write_text(SOUND.replace("G0 Z5\nM5", "G0 X50 Y60\nM5").replace(" F300", ""), encoding="ascii")
    done = planewright("prove", demo_path("cornice-round"), "--program", file)
    assert done.returncode == 1
    assert "wrong, out of 600 × 400 × 12 mm on the router: NOT PROVED" in done.stdout
    assert "wrong.ngc:7: G1 has no feed" in done.stdout
    assert "wrong.ngc:11: G0 goes 3.00 mm deep through wood" in done.stdout


def test_a_program_that_is_not_there_is_a_wrong_call(tmp_path: Path) -> None:
    done = planewright("prove", demo_path("cornice-round"), "--program", tmp_path / "none.ngc")
    assert done.returncode == 2 and "cannot be read" in done.stderr
