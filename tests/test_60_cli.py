"""The command line as a user runs it: words, files, exit statuses."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import DEMOS, demo_path, planewright

GOOD = 'name = "small"\n[sole]\nform = "round"\nradius = 10\n'


def spec(tmp_path: Path, text: str, name: str = "small.toml") -> Path:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("command", [[], ["new"], ["look"], ["make"], ["prove"], ["serve"]])
def test_every_command_has_help(command: list[str]) -> None:
    done = planewright(*command, "--help")
    assert done.returncode == 0
    assert "Usage" in done.stdout


def test_look_and_help_load_no_kernel(tmp_path: Path) -> None:
    script = (
        "import sys\nfrom cad.cli.app import app\n"
        "try:\n    app(sys.argv[1:])\nexcept SystemExit as end:\n    assert not end.code, end.code\n"
        "heavy = {'OCP', 'cadquery', 'numpy', 'trimesh', 'vtk'} & set(sys.modules)\nassert not heavy, heavy\n"
    )
    for arguments in (
        ["look", str(demo_path("cornice-round"))],
        ["--help"],
        ["new", str(tmp_path / "x.toml")],
    ):
        done = subprocess.run(
            [sys.executable, "-c", script, *arguments], capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("name", DEMOS)
def test_look_json_keeps_its_contract(name: str) -> None:
    done = planewright("look", demo_path(name), "--json")
    assert done.returncode == 0 and not done.stderr
    told = json.loads(done.stdout)
    assert told["name"] == name and told["unit"] in ("mm", "in")
    radius = told["dimensions"]["sole.radius"]
    assert radius["given"] is True and set(radius) >= {"mm", "given", "reason"}
    assert all(
        set(check) >= {"id", "level", "value", "limit", "source", "why", "cure"} for check in told["checks"]
    )
    assert {check["level"] for check in told["checks"]} <= {"note", "warn", "fail"}


def test_make_writes_what_the_table_says(made: Path) -> None:
    for name in DEMOS:
        folder = made / name
        wanted = [
            "plane.step",
            "plane.glb",
            "manifest.json",
            "fixtures/saw_guide.step",
            "fixtures/saw_guide.stl",
        ]
        for part in ("body", "cheek_plate", "wedge", "iron", "throat"):
            wanted += [f"parts/{part}.step", f"parts/{part}.stl"]
        for grit in ("P100", "P120", "P220"):
            wanted += [f"fixtures/sanding_block_{grit}.{kind}" for kind in ("step", "stl", "dxf", "svg")]
        missing = [path for path in wanted if not (folder / path).is_file()]
        assert not missing
        assert list((folder / "fixtures").glob("sled*.step")) and (folder / "fixtures" / "sled.txt").is_file()
        listed = {entry["path"] for entry in json.loads((folder / "manifest.json").read_text())["files"]}
        there = {str(p.relative_to(folder)) for p in folder.rglob("*") if p.is_file()} - {"manifest.json"}
        assert listed == there


def test_bad_spec_exits_2_with_every_fault_and_writes_nothing(tmp_path: Path) -> None:
    bad = spec(tmp_path, 'name = "x"\n[sole]\nform = "rond"\nradius = -3\nwobble = 1\n')
    for command in (["look", bad], ["make", bad, "--to", tmp_path / "out"], ["prove", bad]):
        done = planewright(*command)
        assert done.returncode == 2
        assert (
            "small.toml:3" in done.stderr and "small.toml:4" in done.stderr and "small.toml:5" in done.stderr
        )
        assert "Traceback" not in done.stderr and not done.stdout
    assert not (tmp_path / "out").exists()


def test_one_bad_spec_among_good_ones_writes_nothing(tmp_path: Path) -> None:
    good, bad = spec(tmp_path, GOOD), spec(tmp_path, GOOD.replace("10", "true"), "bad.toml")
    done = planewright("make", good, bad, "--to", tmp_path / "out")
    assert done.returncode == 2 and not (tmp_path / "out").exists()


def test_failing_check_exits_1_and_writes_nothing_unless_anyway(tmp_path: Path) -> None:
    tight = spec(tmp_path, GOOD + "[throat]\nmouth = 4\n[iron]\nthickness = 3.2\n")
    looked = planewright("look", tight)
    assert looked.returncode == 1 and "mouth.gap" in looked.stdout
    done = planewright("make", tight, "--to", tmp_path / "out")
    assert done.returncode == 1 and "mouth.gap" in done.stderr and not (tmp_path / "out").exists()
    done = planewright("make", tight, "--to", tmp_path / "out", "--anyway", "--only", "body")
    assert done.returncode == 1 and (tmp_path / "out" / "small" / "parts" / "body.step").is_file()


def test_wrong_calls_exit_2(tmp_path: Path) -> None:
    good = spec(tmp_path, GOOD)
    assert planewright("make", good, "--only", "bdoy", "--to", tmp_path / "o").returncode == 2
    told = planewright("make", good, "--formats", "stpe", "--to", tmp_path / "o")
    assert told.returncode == 2 and "did you mean step" in told.stderr
    assert planewright("look", tmp_path / "nowhere.toml").returncode == 2
    assert planewright("make", good, good, "--to", tmp_path / "o").returncode == 2
    assert planewright("lok", good).returncode == 2
    assert not (tmp_path / "o").exists()


def test_only_and_formats_choose(tmp_path: Path) -> None:
    good = spec(tmp_path, GOOD)
    done = planewright(
        "make", good, "--to", tmp_path, "--only", "wedge,sanding_block_P120", "--formats", "stl,dxf"
    )
    assert done.returncode == 0, done.stderr
    files = {str(p.relative_to(tmp_path / "small")) for p in (tmp_path / "small").rglob("*") if p.is_file()}
    assert files == {
        "manifest.json",
        "parts/wedge.stl",
        "fixtures/sanding_block_P120.stl",
        "fixtures/sanding_block_P120.dxf",
    }


@pytest.mark.parametrize("name", DEMOS)
def test_prove_json_keeps_its_contract(name: str, proved: Callable[[str], Any]) -> None:
    told = proved(name)
    assert told["name"] == name
    for fixture in told["fixtures"]:
        assert fixture["passes"] and fixture["shared_mm3"] < 1e-3 and fixture["tool_hits_mm3"] < 1e-3
        assert set(fixture) >= {"fixture", "stage", "contacts", "clearance_mm", "cuts"}
    cuts = {f["fixture"]: {c["face"]: c for c in f["cuts"]} for f in told["fixtures"]}
    for fixture in ("saw_guide", "sled"):
        for face in ("bed", "front"):
            cut = cuts[fixture][face]
            assert cut["offset_mm"] < 0.02 and cut["angle_error_deg"] < 0.01
    assert cuts["sanding_blocks"]["sole"]["offset_mm"] < 0.02


def test_new_never_writes_over_without_force(tmp_path: Path) -> None:
    file = tmp_path / "bead.toml"
    assert planewright("new", file, "--radius", "3/8 in", "--unit", "in", "--form", "hollow").returncode == 0
    text = file.read_text()
    assert planewright("look", file).returncode == 0
    refused = planewright("new", file)
    assert refused.returncode == 2 and "--force" in refused.stderr and file.read_text() == text
    assert planewright("new", file, "--force").returncode == 0 and file.read_text() != text
    assert planewright("new", tmp_path / "y.toml", "--radius", "wide").returncode == 2
    assert not (tmp_path / "y.toml").exists()


def test_interrupt_exits_130_and_leaves_what_was_there(tmp_path: Path) -> None:
    good = spec(tmp_path, GOOD)
    assert planewright("make", good, "--to", tmp_path / "out", "--only", "iron").returncode == 0
    before = {p: p.read_bytes() for p in (tmp_path / "out" / "small").rglob("*") if p.is_file()}
    # It stops as it begins to load the kernel, so that the interrupt comes then, however slow the machine.
    stopping = (
        "import os, signal\nfrom cad.kernel import loading\nfrom cad.cli.entry import entry\n"
        "whole = loading.load_cadquery\n"
        "def stopped():\n    os.kill(os.getpid(), signal.SIGSTOP)\n    whole()\n"
        "loading.load_cadquery = stopped\nentry()"
    )
    process = subprocess.Popen(
        [sys.executable, "-c", stopping, "make", good, "--to", tmp_path / "out"],
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    )
    _, how = os.waitpid(process.pid, os.WUNTRACED)
    assert os.WIFSTOPPED(how)
    process.send_signal(signal.SIGINT)
    process.send_signal(signal.SIGCONT)
    _, told = process.communicate(timeout=300)
    assert process.returncode == 130, told
    assert "Traceback" not in told
    assert {p: p.read_bytes() for p in (tmp_path / "out" / "small").rglob("*") if p.is_file()} == before


def test_progress_names_each_step_on_a_terminal_and_is_quiet_elsewhere() -> None:
    from io import StringIO

    from cad.cli.progress import Progress

    class Terminal(StringIO):
        def isatty(self) -> bool:
            return True

    seen, unseen = Terminal(), StringIO()
    for stream in (seen, unseen):
        progress = Progress(2, stream)
        for step in ("body", "writing step"):
            progress.begin(step)
        progress.within("and a half", 0.5)
        progress.end()
    assert "body" in seen.getvalue() and "writing step" in seen.getvalue()
    assert seen.getvalue().endswith("\r\x1b[K"), "the line is cleared at the end"
    assert unseen.getvalue() == ""


def test_each_format_is_told_as_its_turn_comes() -> None:
    from cad.outputs.product import Product
    from cad.outputs.write import product_files
    from cad.parts import build_parts
    from tests.planes import plan_of

    plan = plan_of(GOOD)
    told: list[str] = []
    product_files(Product(plan, tuple(build_parts(plan)), ()), {"stl", "glb"}, begin=told.append)
    assert told == ["glb", "stl"]
