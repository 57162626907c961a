"""The programs of the demo planes, run on paper against their solids: sound as written, caught when spoilt.

The words and the tolerance of arcs are those of RS274/NGC version 3 (NIST; from memory). That a coarse and a
fine simulation agree is the second opinion; the first two are shapely's in tests/test_49_simulate_wood.py.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache, partial
from pathlib import Path
from time import process_time

import pytest

from cad.cli.status import Status, report
from cad.errors import ProgramError
from cad.outputs import simulated
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.outputs.routed import Routed, Routing, routing
from cad.outputs.simulated import job_of, quick_cell_mm, sound_programs
from cad.outputs.write import write_product
from cad.simulate.job import Job
from cad.simulate.running import Simulated, simulate
from fixtures.bench.workshop import build_fixtures
from tests.conftest import DEMOS
from tests.planes import plan_of
from tests.routes import cut_product, routing_of

SHEET = "sheet_1"


@cache
def jobs(name: str) -> tuple[Job, ...]:
    """Return what is to be run for a demo plane."""
    meshes = Meshes()
    return tuple(job_of(one, meshes) for one in routing_of(name).routed)


def spoilt(job: Job, spoil: Callable[[str], str], number: int = -1) -> Simulated:
    """Run a job with one of its programs changed."""
    runs = list(job.runs)
    text = spoil(runs[number].text)
    assert text != runs[number].text
    runs[number] = replace(runs[number], text=text)
    return simulate(replace(job, runs=tuple(runs)), 0.8)


def sheet() -> Job:
    return next(job for job in jobs("cornice-round") if job.name == SHEET)


@pytest.mark.parametrize("name", DEMOS)
def test_every_program_of_the_demo_planes_is_sound(name: str) -> None:
    """Nothing gouged beyond 0.05 mm, nothing left beyond the scallop and the tabs, on two sizes of cells."""
    found = jobs(name)
    assert {"sheet_1", "cradle_toe", "sanding_block_P100"} <= {job.name for job in found}
    for job in found:
        quick, other = simulate(job, quick_cell_mm(job)), simulate(job, 0.47)
        for done in (quick, other):
            assert done.passes, [str(one) for one in done.findings]
            assert done.gouge_mm < 0.02 and done.left_mm < 0.02
            assert done.ridge_mm <= job.allowances.scallop_mm + 0.015
        assert quick.gouge_mm == pytest.approx(other.gouge_mm, abs=1e-3)
        assert quick.ridge_mm == pytest.approx(other.ridge_mm, abs=1e-3)
        for one, two in zip(quick.runs, other.runs, strict=True):
            # Of a few narrow holes coarse cells tell the volume to a quarter at best.
            assert one.removed_mm3 == pytest.approx(two.removed_mm3, rel=0.25)


@pytest.mark.parametrize(
    "text",
    [
        'form = "hollow"\nradius = 10\narc = 60\n[shop.router]\nscallop = 0.02\nball = 3\n',
        'form = "hollow"\nradius = 40\narc = 90\n[shop.router]\nunits = "in"\ncutter = 6.35\n',
    ],
    ids=["fine", "wide, in inches"],
)
def test_programs_of_planes_never_seen_are_sound(text: str) -> None:
    plan = plan_of(f'name = "unseen"\n[sole]\n{text}')
    fixtures, declined = build_fixtures(plan, lettered=False)
    product = Product(plan, (), tuple(fixtures), tuple(declined))
    done = sound_programs(product, Meshes()).simulated
    assert len(done) >= 6
    assert all(one.gouge_mm < 0.02 and one.left_mm < 0.05 for one in done)


def test_the_parts_are_where_the_programs_cut_them() -> None:
    """Parts lie within the stock, on the bed, apart from each other by the cutter at least."""
    for job in jobs("cornice-round"):
        length, width, thick = job.stock.length_mm, job.stock.width_mm, job.stock.thickness_mm
        for part in job.parts:
            low, high = part.points.min(axis=0), part.points.max(axis=0)
            assert low[0] > -1e-6 and low[1] > -1e-6 and high[0] < length + 1e-6 and high[1] < width + 1e-6
            assert low[2] == pytest.approx(-thick, abs=1e-6) and high[2] == pytest.approx(0, abs=1e-6)


def test_a_sheet_of_600_by_400_at_a_fifth_of_a_mm_takes_seconds() -> None:
    """6 million cells; seconds of the processor, which other work on the machine hardly lengthens."""
    told: list[float] = []
    before = process_time()
    done = simulate(sheet(), 0.2, told.append)
    assert process_time() - before < 20
    assert done.passes and done.wood.height.shape == (2000, 3000)
    assert told == sorted(told) and told[-1] == 1.0 and len(told) > 50


def _first_deep_arc(text: str) -> str:
    return next(line for line in text.splitlines() if line.startswith(("G2", "G3")) and "X" in line)


def _arc_apart(text: str) -> str:
    line = _first_deep_arc(text)
    moved = re.sub(r"I(-?[\d.]+)", lambda m: f"I{float(m[1]) + 0.02:.4f}", line)
    return text.replace(line, moved, 1)


def _never_lifted(text: str) -> str:
    """Leave away the first time that the cutter is lifted to its safe height between two cuts."""
    head, lift, *rest = re.split(r"(?m)^(G0 Z[\d.]+\n)", text)
    first = rest.index(lift)
    return "".join([head, lift, *rest[:first], *rest[first + 1 :]])


@pytest.mark.parametrize(
    ("kind", "spoil"),
    [
        ("gouge", lambda text: re.sub(r"X(\d+\.?\d*)", lambda m: f"X{float(m[1]) + 0.1:.4f}", text)),
        ("left", lambda text: re.sub(r"Y(\d+\.?\d*)", lambda m: f"Y{float(m[1]) - 0.1:.4f}", text)),
        ("rapid", _never_lifted),
        ("feed", lambda text: re.sub(r" F[\d.]+", "", text)),
        ("arc", _arc_apart),
        ("unit", lambda text: text.replace("G21", "G20")),
        ("spindle", lambda text: text.replace("M3", "M5")),
        ("end", lambda text: text.replace("M2\n", "")),
        ("word", lambda text: text.replace("G90", "G90 G43 H1")),
        ("bed", lambda text: re.sub(r"Z-12\.\d+", "Z-16", text)),
        (
            "unit",
            lambda text: re.sub(r"([XYZIJ])(-?[\d.]+)", lambda m: f"{m[1]}{float(m[2]) / 25.4:.5f}", text),
        ),
    ],
)
def test_a_spoilt_program_is_caught(kind: str, spoil: Callable[[str], str]) -> None:
    done = spoilt(sheet(), spoil)
    assert kind in {one.kind for one in done.findings}, [str(one) for one in done.findings]
    assert all(one.cure for one in done.findings)


def test_one_wrong_figure_among_a_thousand_is_found_on_its_line() -> None:
    """One run along y on the last pass of an outline is a tenth of a mm too near to the plate."""
    job = sheet()
    lines = job.runs[-1].text.splitlines()
    at = {"X": "", "Z": "0"}
    runs = []
    for number, line in enumerate(lines):
        at |= dict(re.findall(r"([XZ])(-?[\d.]+)", line))
        if re.fullmatch(r"G1 Y[\d.]+", line) and float(at["Z"]) < -12:
            runs.append((number, float(at["X"])))
    number, x = runs[0]
    gouges = []
    for off in (0.1, -0.1):
        text = "\n".join([*lines[:number], f"{lines[number]} X{x + off:.4f}", *lines[number + 1 :], ""])
        gouges += [one for one in spoilt(job, partial(_instead, text)).findings if one.kind == "gouge"]
    assert len(gouges) == 1  # on one side there is a plate, on the other waste
    assert gouges[0].amount_mm == pytest.approx(0.1, abs=0.02)
    back = next(i for i in range(number + 1, len(lines)) if "X" in lines[i])
    assert number + 1 <= gouges[0].line <= back + 1


def _instead(text: str, _: str) -> str:
    return text


@pytest.fixture
def spoilt_routing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Have the writer of programs leave the spindle still."""

    def still(product: Product, meshes: Meshes) -> Routing:
        found = routing(product, meshes)
        one = found.routed[0]
        programs = tuple(replace(p, text=p.text.replace("M3", "M5")) for p in one.holding.programs)
        return Routing((Routed(replace(one.holding, programs=programs), one.solids),), found.refused)

    monkeypatch.setattr(simulated, "routing", still)


@pytest.mark.usefixtures("spoilt_routing")
def test_a_program_that_fails_is_not_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(ProgramError, match="spindle still") as caught:
        write_product(cut_product("cornice-round"), tmp_path, {"router"})
    assert list(tmp_path.iterdir()) == []
    assert report(caught.value) is Status.FAILED
    told = capsys.readouterr().err
    assert "must not be run" in told and re.search(r"sheet_1_.*\.ngc:\d+: ", told)
