"""The tolerance study against closed forms, linear propagation and sampling by a library."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from itertools import product
from math import cos, hypot, radians, sin, sqrt
from pathlib import Path

import numpy as np
import pytest

from cad.geometry import Plan
from cad.geometry.study import Outcome, sizes_of, sources, study
from cad.report.study import study_json, study_text
from tests.conftest import demo_path, planewright
from tests.sample_planes import plan_of


def of_limits(half_width: float) -> float:
    """Return the standard uncertainty of what lies anywhere within limits: a / √3 (JCGM 100:2008, 4.3.7)."""
    return half_width / sqrt(3)


ACCURACY = {"shop.accuracy.angle": 0.25, "shop.accuracy.length": 0.2, "shop.accuracy.iron": 0.05}


def outcome(plan: Plan, name: str) -> Outcome:
    return next(one for one in study(plan).outcomes if one.id == name)


def test_mouth_gap_by_the_law_of_propagation() -> None:
    """JCGM 100:2008, eq. 10: u² is the sum of (slope · u)², u = a/√3 for limits ± a (4.3.7).

    Of g = m − t / sin β the slopes are 1 by m, −1/sin β by t and t cos β / sin² β by β.
    """
    beta, thick = radians(50), 3.2
    parts = {
        "throat.mouth": of_limits(0.2),
        "iron.thickness": of_limits(0.05) / sin(beta),
        "throat.bed": radians(of_limits(0.25)) * thick * cos(beta) / sin(beta) ** 2,
    }
    combined = sqrt(sum(part**2 for part in parts.values()))
    found = outcome(plan_of(ACCURACY), "mouth.gap")
    assert found.spread == pytest.approx(combined, rel=0.03)
    assert found.mean == pytest.approx(found.planned, abs=3 * combined / sqrt(3000))
    for of, part in parts.items():
        # Even steps over a range fall short of its variance by 1/n², a thousandth.
        assert found.shares[of] == pytest.approx(part**2 / combined**2, abs=2e-3)
    assert found.shares["throat.front"] == found.shares["throat.depth"] == 0
    assert sum(found.shares.values()) == pytest.approx(1)


def test_slopes_of_every_smooth_outcome_by_linear_propagation() -> None:
    """With a small error nothing bends: sampling must agree with central differences of the closed forms."""
    plan = plan_of({"shop.accuracy.angle": 0.002, "shop.accuracy.length": 0, "shop.accuracy.iron": 0})
    sizes, found = sizes_of(plan), sources(plan)
    planned = [one.planned for one in found]
    for place, name in ((0, "mouth.gap"), (1, "wedge.stand_off")):
        slopes = []
        for i, one in enumerate(found):
            up, down = ([*planned[:i], planned[i] + s * 1e-4, *planned[i + 1 :]] for s in (1, -1))
            slopes.append((sizes(up)[place] - sizes(down)[place]) / 2e-4 * of_limits(one.within))
        assert outcome(plan, name).spread == pytest.approx(hypot(*slopes), rel=0.05)


def test_gap_against_sampling_by_numpy() -> None:
    lot = np.random.default_rng(5)
    n = 200_000
    bed, mouth, iron = (
        planned + within * lot.uniform(-1, 1, n) for planned, within in ((50, 0.25), (6, 0.2), (3.2, 0.05))
    )
    gap = mouth - iron / np.sin(np.radians(bed))
    found = outcome(plan_of(ACCURACY), "mouth.gap")
    assert (found.low, found.high) == pytest.approx(tuple(np.quantile(gap, [0.05, 0.95])), abs=0.012)
    corners = [
        6 + a - (3.2 + b) / sin(radians(50 + c))
        for a in (-0.2, 0.2)
        for b in (-0.05, 0.05)
        for c in (-0.25, 0.25)
    ]
    assert (found.least, found.most) == pytest.approx((min(corners), max(corners)))


def test_light_at_the_wedge_by_its_closed_form() -> None:
    """Two faces at an angle ε that touch at one end stand L sin ε apart at the other.

    L is the flank of the wedge from the slope of its tip to where the throat's front face ends, longer by as
    much as the wedge sinks.
    """
    plan = plan_of(ACCURACY)
    wedge, sizes = plan.wedge, sizes_of(plan)
    tip_u, tip_n = wedge.tip_shoulder
    length = hypot(wedge.front_exit_u - tip_u, wedge.thickness(wedge.front_exit_u) - tip_n)
    corners = []
    for bed, front, mouth in product((-0.25, 0.25), (-0.25, 0.25), (-0.2, 0.2)):
        _, light, sink, _ = sizes([50 + bed, 60 + front, 6 + mouth, 16, 3.2])
        assert light == pytest.approx((length + sink) * sin(radians(front - bed)), rel=1e-2, abs=1e-9)
        corners.append(light)
    found = outcome(plan, "wedge.stand_off")
    assert (found.least, found.most) == pytest.approx((min(corners), max(corners)), rel=1e-2)
    assert found.shares["throat.bed"] == pytest.approx(0.5, abs=0.01)
    assert found.shares["throat.front"] == pytest.approx(0.5, abs=0.01)
    assert abs(found.mean) < 0.02


def test_sink_with_nothing_but_a_mouth_that_is_off() -> None:
    """With the angles true the wedge sinks δ sin φ / sin(φ − β) for δ at the mouth, either way alike."""
    plan = plan_of({"shop.accuracy.angle": 0, "shop.accuracy.length": 0.1, "shop.accuracy.iron": 0})
    found = outcome(plan, "wedge.sink")
    most = 0.1 * sin(radians(60)) / sin(radians(10))
    assert (found.least, found.most) == pytest.approx((-most, most))
    assert found.spread == pytest.approx(of_limits(most), rel=0.03)
    assert found.shares["throat.mouth"] == pytest.approx(1)
    assert found.high == pytest.approx(0.9 * most, rel=0.03)  # of an even spread


@pytest.mark.parametrize("form", ["round", "hollow"])
def test_edge_over_the_sole_at_its_worst(form: str) -> None:
    """The end of a 60° arc: (sin β′ / sin β − 1) s cos 30° for the bed, 0.2 sin 30° for the depth."""
    plan = plan_of({**ACCURACY, "sole.form": form})
    found = outcome(plan, "edge.off_sole")
    worst = [
        plan.sole.highest * abs(sin(radians(50 + way)) / sin(radians(50)) - 1) * cos(radians(30)) + 0.1
        for way in (-0.25, 0.25)
    ]
    assert found.most == pytest.approx(max(worst))
    assert found.planned == 0 and found.least >= 0
    assert max(found.shares, key=lambda of: found.shares[of]) == "throat.depth"


@pytest.mark.parametrize(
    ("form", "radius", "arc", "bed", "wedge"),
    list(product(["round", "hollow"], [3, 40], [45, 180], [45, 60], [8])),
)
def test_over_the_whole_range(form: str, radius: int, arc: int, bed: int, wedge: int) -> None:
    plan = plan_of(
        {
            **ACCURACY,
            "sole.form": form,
            "sole.radius": radius,
            "sole.arc": arc,
            "throat.bed": bed,
            "throat.front": bed + wedge,
        }
    )
    for one in study(plan).outcomes:
        assert one.least <= one.low <= one.high <= one.most
        assert one.least <= one.planned <= one.most
        assert sum(one.shares.values()) == pytest.approx(1)


def test_what_was_measured_varies_no_more() -> None:
    plan = plan_of({**ACCURACY, "measured.bed": 50.3, "measured.front": 59.9, "measured.mouth": 6.1})
    found = {one.of: one for one in study(plan).sources}
    assert found["throat.bed"].within == found["throat.front"].within == found["throat.mouth"].within == 0
    assert found["throat.bed"].planned == 50.3
    assert found["iron.thickness"].within == 0.05
    gap = outcome(plan, "mouth.gap")
    assert gap.shares["iron.thickness"] == pytest.approx(1)
    stand_off = outcome(plan, "wedge.stand_off")
    assert stand_off.least == pytest.approx(0, abs=1e-9) and stand_off.most == pytest.approx(0, abs=1e-9)
    text = study_text(plan)
    assert "throat.bed      50.3°, known" in text and "nothing makes it vary" in text


def test_a_faultless_shop() -> None:
    plan = plan_of(dict.fromkeys(ACCURACY, 0))
    for one in study(plan).outcomes:
        assert one.low == one.high == pytest.approx(one.planned, abs=1e-9)
        assert set(one.shares.values()) == {0}


def test_text_and_json_say_the_same() -> None:
    plan = plan_of({"shop.accuracy.angle": 0.25, "unit": "in", "sole.radius": 0.625})
    document = study_json(plan)
    assert [one["id"] for one in document["outcomes"]] == [
        "mouth.gap",
        "wedge.stand_off",
        "wedge.sink",
        "edge.off_sole",
    ]
    text = study_text(plan)
    for one in document["outcomes"]:
        assert one["what"] in text and f"{one['p5'] / 25.4:.4f} in" in text
    assert "JCGM 100:2008" in text and "± 0.25°" in text


def test_the_command_is_the_same_in_every_process_and_loads_no_kernel() -> None:
    path = demo_path("cornice-round")
    code = (
        "import sys; from cad.cli.app import app\n"
        f"try: app(['look', {str(path)!r}, '--study', '--json'])\n"
        "except SystemExit as end: assert not end.code\n"
        "print(sorted(sys.modules.keys() & {'cadquery', 'OCP', 'numpy', 'trimesh'}), file=sys.stderr)"
    )
    runs = [
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(Path.cwd())},
            capture_output=True,
            text=True,
            check=True,
        )
        for seed in ("1", "2")
    ]
    assert runs[0].stdout == runs[1].stdout and runs[0].stderr.strip() == "[]"
    document = json.loads(runs[0].stdout)
    assert {"dimensions", "checks", "study"} <= document.keys()
    assert document["study"]["samples"] == 3000


def test_the_text_follows_the_report() -> None:
    done = planewright("look", demo_path("cornice-round"), "--study")
    assert done.returncode == 0
    report, study_lines = done.stdout.split("Tolerance study: which errors matter")
    assert "Checks that hold" in report and "9 of 10 from" in study_lines
    assert "Tolerance study" not in planewright("look", demo_path("cornice-round")).stdout
