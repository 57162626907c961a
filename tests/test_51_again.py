"""Made again: byte for byte what a fresh run gives, and only what depends on the change is made."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Hashable
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

import pytest
from hypothesis import HealthCheck, assume, given, settings

from cad.errors import OutputError, SpecError
from cad.outputs import again, making, standing
from cad.outputs.again import Wish
from cad.outputs.making import make
from cad.outputs.meshes import Meshes
from tests.changes import Values, changed, demo_values, plan_of, remade, tree
from tests.conftest import DEMOS, demo_path, planewright
from tests.narrowed import narrow

ROOT = Path(__file__).resolve().parents[1]
NIGHTLY = os.environ.get("PLANEWRIGHT_PLANES")
FORMATS = (
    frozenset({"step", "dxf", "review", "router", "templates"}),
    frozenset({"stl", "notes", "prints", "build_sheet", "pictures"}),
    frozenset({"3mf", "svg", "glb", "iron_sheet", "drawings"}),
)
FIXTURES = (
    ("cradle", "saw_guide", "sanding_blocks", "iron_card"),
    ("sled", "depth_stop", "sole_gauge", "trim_guide"),
    ("end_templates", "throat_template", "glue_caul", "wedge_guide"),
)


@pytest.fixture
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the program have two fixtures and four formats."""
    narrow(monkeypatch.setattr)


@cache
def base(demo: str, fixtures: tuple[str, ...], formats: frozenset[str]) -> Path:
    """Return a folder with what a demo spec gives, made once."""
    to = Path(mkdtemp(prefix="planewright-base-"))
    remade(plan_of(demo_values(demo)), to)
    return to


@pytest.fixture(scope="module")
def kept() -> dict[Hashable, object]:
    return {}


@pytest.fixture
def hasty(monkeypatch: pytest.MonkeyPatch, kept: dict[Hashable, object]) -> None:
    """Let pictures be small, and let no text be run on paper that was run on the same solids before."""

    def once(meshes: Meshes, key: Hashable, make: Callable[[], object]) -> object:
        if key not in kept:
            kept[key] = make()
        return kept[key]

    monkeypatch.setattr("cad.pictures.camera.SIZE", (176, 132))
    monkeypatch.setattr(Meshes, "kept", once)


@pytest.mark.usefixtures("hasty")
@pytest.mark.parametrize("formats", FORMATS, ids=lambda found: min(found))
@pytest.mark.parametrize("fixtures", FIXTURES, ids=lambda found: found[0])
def test_a_changed_spec_gives_what_a_fresh_run_gives(
    fixtures: tuple[str, ...], formats: frozenset[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In every file, the manifest and what it remembers included, whatever was kept and whatever made."""
    narrow(monkeypatch.setattr, fixtures, formats)
    demo = DEMOS[(FIXTURES.index(fixtures) + FORMATS.index(formats)) % len(DEMOS)]
    kept = []

    @settings(
        max_examples=int(NIGHTLY or 2),
        derandomize=NIGHTLY is None,
        deadline=None,
        print_blob=True,
        suppress_health_check=list(HealthCheck),
    )
    @given(changed(demo_values(demo)))
    def check(values: Values) -> None:
        try:
            plan = plan_of(values)
        except SpecError:
            assume(False)
        earlier, fresh = tmp_path / "again", tmp_path / "fresh"
        for folder in (earlier, fresh):
            shutil.rmtree(folder, ignore_errors=True)
        shutil.copytree(base(demo, fixtures, formats), earlier)
        kept.append(remade(plan, earlier).kept)
        remade(plan, fresh)
        there, wanted = tree(earlier), tree(fresh)
        assert [path for path in sorted(there | wanted) if there.get(path) != wanted.get(path)] == []

    check()
    assert any(kept), "nothing was kept in any example: then this tests nothing"


def test_only_what_depends_on_a_change_is_built_and_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    narrow(monkeypatch.setattr, formats={"step", "stl", "3mf"})
    values = demo_values(DEMOS[0])
    remade(plan_of(values), tmp_path)
    steps: list[str] = []
    outcome = make(Wish(plan_of({**values, "shop.hand_saw.kerf": "0.8 mm"}), tmp_path), steps.append)
    # A wider kerf moves the saw guide's faces; neither the plane nor the sanding blocks know of it.
    assert [step for step in steps if not step.startswith("writing")] == ["saw_guide"]
    assert (outcome.made, outcome.kept) == (3, len(tree(tmp_path)) - 1 - 3)
    steps.clear()
    outcome = make(Wish(plan_of({**values, "shop.hand_saw.kerf": "0.8 mm"}), tmp_path), steps.append)
    assert steps == [] and outcome.made == 0 and not outcome.written


@pytest.mark.usefixtures("few")
@pytest.mark.parametrize("harm", ["edited", "longer", "shorter", "deleted", "link", "folder", "manifest"])
def test_a_damaged_file_is_made_anew(harm: str, tmp_path: Path) -> None:
    plan = plan_of(demo_values(DEMOS[0]))
    folder = remade(plan, tmp_path / "out").folder
    whole = tree(folder)
    hurt(folder, harm)
    assert tree(folder) != whole or harm == "link"
    again_made = remade(plan, tmp_path / "out")
    assert tree(folder) == whole and not any(path.is_symlink() for path in folder.rglob("*"))
    assert again_made.made


def hurt(folder: Path, harm: str) -> None:
    victim, manifest = folder / "fixtures" / "saw_guide.stl", folder / "manifest.json"
    data = victim.read_bytes()
    if harm == "edited":
        victim.write_bytes(data[:-3] + bytes([data[-3] ^ 1]) + data[-2:])
    elif harm == "longer":
        victim.write_bytes(data + b" ")
    elif harm == "shorter":
        victim.write_bytes(data[:1000])
    elif harm == "deleted":
        victim.unlink()
    elif harm == "link":
        other = folder.parent / "elsewhere.stl"
        other.write_bytes(data)
        victim.unlink()
        victim.symlink_to(other)
    elif harm == "folder":
        shutil.rmtree(folder / "parts")
    else:
        manifest.write_text(manifest.read_text().replace('"volume_mm3": ', '"volume_mm3": 1'))


@pytest.mark.usefixtures("few")
def test_the_makers_own_files_stay(tmp_path: Path) -> None:
    values = demo_values(DEMOS[0])
    folder = remade(plan_of(values), tmp_path).folder
    (folder / "notes.md").write_text("tight at the toe")
    (folder / "fixtures" / "mine.stl").write_bytes(b"mine")
    remade(plan_of({**values, "shop.hand_saw.kerf": "0.8 mm"}), tmp_path)
    assert (folder / "notes.md").read_text() == "tight at the toe"
    assert (folder / "fixtures" / "mine.stl").read_bytes() == b"mine"


@pytest.mark.usefixtures("few")
def test_what_was_asked_for_by_name_is_never_taken_for_the_whole(tmp_path: Path) -> None:
    """Runs with --only and --formats between whole runs, of pieces and of fixtures, spoil nothing."""
    plan = plan_of(demo_values(DEMOS[0]))
    fresh = tree(remade(plan, tmp_path / "fresh").folder)
    to = tmp_path / "out"
    first = remade(plan, to, only=frozenset({"sanding_block_P120", "wedge"}), formats=frozenset({"stl"}))
    assert {"fixtures/sanding_block_P120.stl", "parts/wedge.stl", "manifest.json"} == set(tree(first.folder))
    assert remade(plan, to, formats=frozenset({"notes", "step"})).made
    assert tree(remade(plan, to).folder) == fresh
    for some in ("sanding_block_P120", "saw_guide", "plane"):
        remade(plan, to, only=frozenset({some}))
        assert set(tree(to / plan.spec.name)) == set(fresh)
        assert tree(remade(plan, to).folder) == fresh
    assert again.unchanged(Wish(plan, to, formats=frozenset({"step"}))) is not None
    remade(plan, to, only=frozenset({"saw_guide"}))
    assert again.unchanged(Wish(plan, to, only=frozenset({"saw_guide"}))) is not None
    assert again.unchanged(Wish(plan, to, only=frozenset({"saw_giude"}))) is None


@pytest.mark.usefixtures("few")
def test_some_of_another_spec_is_still_refused(tmp_path: Path) -> None:
    values = demo_values(DEMOS[0])
    folder = remade(plan_of(values), tmp_path).folder
    before = tree(folder)
    other = plan_of({**values, "shop.hand_saw.kerf": "0.8 mm"})
    with pytest.raises(OutputError, match="comes from another spec"):
        remade(other, tmp_path, formats=frozenset({"stl"}))
    with pytest.raises(OutputError, match="comes from another spec"):
        remade(other, tmp_path, only=frozenset({"sanding_blocks"}))
    assert tree(folder) == before


@pytest.mark.usefixtures("few")
@pytest.mark.parametrize("what", ["cadquery", "planewright", "source", "reportlab"])
def test_other_versions_make_everything_anew(
    what: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan = plan_of(demo_values(DEMOS[0]))
    folder = remade(plan, tmp_path).folder
    others = {**again.versions(), what: "0"}
    for module in (again, standing):
        monkeypatch.setattr(module, "versions", lambda: others)
    assert again.unchanged(Wish(plan, tmp_path)) is None
    outcome = remade(plan, tmp_path)
    assert outcome.kept == 0 and outcome.made == len(tree(folder)) - 1


@pytest.mark.usefixtures("few")
def test_a_folder_changed_while_it_is_made_is_made_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Between the look at what stands and the writing, another run or the maker may change the folder."""
    values = demo_values(DEMOS[0])
    folder = remade(plan_of(values), tmp_path).folder
    other = plan_of({**values, "shop.hand_saw.kerf": "0.8 mm"})
    looked = making.standing

    def look_and_lose(*arguments: object) -> object:
        found = looked(*arguments)
        (folder / "parts" / "body.step").write_bytes(b"lost")
        return found

    monkeypatch.setattr(making, "standing", look_and_lose)
    remade(other, tmp_path)
    assert tree(folder) == tree(remade(other, tmp_path / "fresh").folder)


def test_a_change_of_the_programs_own_source_is_noticed(tmp_path: Path) -> None:
    """By a process that runs from a copy of the tree: a comment more, and nothing old is kept."""
    for package in ("cad", "fixtures"):
        shutil.copytree(ROOT / package, tmp_path / package, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    spec = tmp_path / "cad" / "demos" / f"{DEMOS[0]}.toml"
    command = [sys.executable, "-m", "cad", "make", str(spec), "--to", "out", "--only", "wedge"]

    def run() -> str:
        done = subprocess.run(
            [*command, "--formats", "stl"],
            cwd=tmp_path,
            env=os.environ | {"PYTHONPATH": str(tmp_path)},
            capture_output=True,
            text=True,
            check=False,
        )
        return done.stdout + done.stderr

    assert "2 files in" in run()
    assert "nothing changed" in run()
    with (tmp_path / "cad" / "demos" / f"{DEMOS[1]}.toml").open("a") as other:
        other.write("# a demo spec is no part of the program\n")
    assert "nothing changed" in run()
    with (tmp_path / "cad" / "parts" / "wedge.py").open("a") as source:
        source.write("# changed\n")
    assert "another version" in run().replace("other versions", "another version")


WITHOUT_KERNEL = """
import sys
from cad.cli.app import app
try:
    app(sys.argv[1:])
except SystemExit as end:
    assert not end.code, end.code
heavy = {"OCP", "cadquery", "numpy", "trimesh", "vtkmodules", "ezdxf", "reportlab"} & set(sys.modules)
assert not heavy, heavy
"""


@pytest.fixture
def spec_and_out(made: Path, tmp_path: Path) -> tuple[Path, Path]:
    """A plane with every fixture in every format, made by the command line."""
    spec = tmp_path / "plane.toml"
    shutil.copy(demo_path(DEMOS[0]), spec)
    shutil.copytree(made / DEMOS[0], tmp_path / "out" / DEMOS[0])
    return spec, tmp_path / "out"


def test_nothing_changed_leaves_the_folder_and_the_kernel_alone(spec_and_out: tuple[Path, Path]) -> None:
    spec, to = spec_and_out
    before = states(to)
    for some in (
        [],
        ["--formats", "step,stl"],
        ["--only", "plane,saw_guide"],
        ["--only", "sanding_block_P120"],
    ):
        if some[:1] == ["--only"]:  # files of an assembly of less are other files: they are made once
            assert planewright("make", spec, "--to", to, *some).returncode == 0
            before = states(to)
        done = subprocess.run(
            [sys.executable, "-c", WITHOUT_KERNEL, "make", str(spec), "--to", str(to), *some],
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        assert f"{DEMOS[0]}: nothing changed" in done.stderr and not done.stdout
        assert states(to) == before


def states(to: Path) -> dict[Path, tuple[int, ...]]:
    """Return inode, size and time of the last change of everything under a folder, and of itself."""
    found = {path: path.lstat() for path in (to, *to.rglob("*"))}
    return {path: (one.st_ino, one.st_size, one.st_mtime_ns, one.st_mode) for path, one in found.items()}


def test_a_comment_in_the_spec_changes_its_hash_alone(spec_and_out: tuple[Path, Path]) -> None:
    spec, to = spec_and_out
    before = tree(to)
    spec.write_text("# for the window seat\n" + spec.read_text(), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-c", WITHOUT_KERNEL, "make", str(spec), "--to", str(to)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0 and "nothing changed but the text of the spec" in done.stderr, done.stderr
    after = tree(to)
    assert [path for path in before if before[path] != after[path]] == [f"{DEMOS[0]}/manifest.json"]
