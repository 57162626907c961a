"""A family made as a user makes it: each plane in its folder, and one folder for what they have in common."""

from __future__ import annotations

import csv
import json
import re
import subprocess
import sys
from hashlib import sha256
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader

from cad.family import Family, family_of, read_family
from cad.geometry import derive
from cad.kernel.measure import extent
from cad.outputs.family import shared_fixtures, write_family
from cad.outputs.tasks import fixture_names
from cad.papers.family_sheet import Shared
from cad.pictures import row
from cad.spec import read_spec
from cad.spec.source import load_text
from tests.conftest import planewright
from tests.narrowed import narrowed
from tests.test_63_crew import ROOT, run_cli, tree

TEXT = 'name = "pair"\n[family]\nradii = [12]\n[shop.abrasive]\ngrits = ["P120"]\n'
NAMES = ("pair-01-round", "pair-01-hollow")


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("family") / "pair.toml"
    path.write_text(TEXT)
    return path


@pytest.fixture(scope="module")
def family(file: Path) -> Family:
    return read_family(file)


@pytest.fixture(scope="module")
def made_family(file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    to = tmp_path_factory.mktemp("made-family")
    formats = ("step", "stl", "build_sheet")
    done = narrowed("make", file, "--to", to, fixtures=fixture_names(), formats=formats)
    assert done.returncode == 0, done.stderr
    assert f"pair: 2 planes, the family's page in {to / 'pair'}" in done.stdout
    return to


def test_each_plane_has_its_folder_and_the_family_its_own(made_family: Path) -> None:
    assert {path.name for path in made_family.iterdir()} == {"pair", *NAMES}
    listed = {entry["path"] for entry in manifest(made_family / "pair")["files"]}
    assert listed == {
        *("planes.csv", "family.html", "family.pdf", "pictures/row.png"),
        *(f"specs/{name}.toml" for name in NAMES),
    }
    assert set(tree(made_family / "pair")) == {"manifest.json", *listed}
    for name in NAMES:
        assert {"plane.step", "papers/build_sheet.pdf", "fixtures/saw_guide.stl"} <= set(
            tree(made_family / name)
        )


def manifest(folder: Path) -> dict[str, list[dict[str, str]]]:
    found: dict[str, list[dict[str, str]]] = json.loads((folder / "manifest.json").read_bytes())
    return found


def test_the_table_the_specs_and_the_planes_agree(made_family: Path) -> None:
    with (made_family / "pair" / "planes.csv").open(newline="") as stream:
        rows = {row["name"]: row for row in csv.DictReader(stream)}
    assert set(rows) == set(NAMES)
    for name in NAMES:
        spec = read_spec(made_family / "pair" / "specs" / f"{name}.toml")
        assert manifest(made_family / name)["spec_sha256"] == spec.digest
        assert float(rows[name]["radius_mm"]) == spec.sole.radius == 12
        assert float(rows[name]["height_mm"]) == spec.body.height and rows[name]["fails"] == ""


def test_the_page_lists_a_shared_fixture_once(made_family: Path) -> None:
    text = (made_family / "pair" / "family.html").read_text()
    likeness = [
        {e["fixture"]: e["likeness"] for e in manifest(made_family / name)["files"] if "likeness" in e}
        for name in NAMES
    ]
    shared = {name for name in likeness[0] if likeness[1].get(name) == likeness[0][name]}
    assert {"saw_guide", "trim_guide"} <= shared and "sole_gauge" not in shared
    for name in likeness[0]:
        assert text.count(f"<td>{name.replace('_', ' ').capitalize()}</td>") == (name in shared)
    pages = PdfReader(made_family / "pair" / "family.pdf").pages
    words = " ".join(page.extract_text() for page in pages)
    assert "Fixtures to make once" in words and "Saw guide" in words and "01-hollow" in words


def test_the_picture_shows_the_row(made_family: Path) -> None:
    image = Image.open(BytesIO((made_family / "pair" / "pictures" / "row.png").read_bytes())).convert("L")
    assert 0.05 < (np.asarray(image) < 240).mean() < 0.8


def test_planes_of_a_row_stand_clear_of_each_other_from_the_smallest_on() -> None:
    text = 'name = "three"\n[family]\nradii = [8, 12, 30]\n[plane.02]\nbody.hand = "left"\n'
    found = family_of(load_text(text, "three.toml", sha256(text.encode())))
    shown = row.picture("three", [derive(member.spec) for member in found.members]).shown
    parts = len(shown) // 6
    assert parts == 4, "body, plate, wedge and iron of each"
    boxes = []
    for at in range(0, len(shown), parts):
        ends = [extent(one.solid) for one in shown[at : at + parts]]
        shift = shown[at].shift
        low = [min(a[k] for a, _ in ends) + shift[k] for k in range(3)]
        boxes.append((low, [max(b[k] for _, b in ends) + shift[k] for k in range(3)]))
    for rounds, hollows in zip(boxes[::2], boxes[1::2], strict=True):
        assert rounds[1][0] < hollows[0][0], "the hollows stand behind"
        assert rounds[0][1] == pytest.approx(hollows[0][1]), "each behind its round"
    for one, two in zip(boxes[::2], boxes[2::2], strict=False):
        assert two[1][1] == pytest.approx(one[0][1] - row.BETWEEN_MM), "to the right of the smaller"


def test_the_folder_of_the_family_is_written_alike_again_and_without_the_kernel(
    made_family: Path, family: Family, file: Path
) -> None:
    before = tree(made_family / "pair")
    code = (
        f"import sys\nsys.path.insert(0, {ROOT!r})\nfrom pathlib import Path\n"
        "from cad.family import read_family\nfrom cad.geometry import derive\n"
        "from cad.outputs.family import write_family\n"
        f"family, to = read_family({str(file)!r}), Path({str(made_family)!r})\n"
        "plans = [derive(member.spec) for member in family.members]\n"
        "write_family(family, plans, to, (to / 'pair/pictures/row.png').read_bytes())\n"
        "assert not {'OCP', 'cadquery'} & set(sys.modules)\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
    assert tree(made_family / "pair") == before


def test_without_a_picture_the_page_is_whole_all_the_same(
    made_family: Path, family: Family, tmp_path: Path
) -> None:
    for name in NAMES:
        (tmp_path / name).mkdir()
        (tmp_path / name / "manifest.json").write_bytes((made_family / name / "manifest.json").read_bytes())
    target = write_family(family, [derive(member.spec) for member in family.members], tmp_path, None)
    text = (target / "family.html").read_text()
    assert "<img" not in text and "The planes" in text and not (target / "pictures").exists()


def test_shared_fixtures_are_grouped_by_what_is_alike() -> None:
    found = shared_fixtures(
        {"a": {"guide": "1", "block": "x"}, "b": {"guide": "2", "block": "y"}, "c": {"guide": "1"}}
    )
    assert found == [Shared("guide", ("a", "c"))]


def test_what_planes_go_without_is_listed_with_its_reason(
    made_family: Path, family: Family, tmp_path: Path
) -> None:
    """The page says what the manifests say: here a sled, declined for both, and caps, for one of them."""
    declined = {NAMES[0]: {"sled": "no slot", "end_templates": "too small"}, NAMES[1]: {"sled": "no slot"}}
    for name in NAMES:
        found = manifest(made_family / name)
        found["declined"] = [{"fixture": fixture, "reason": why} for fixture, why in declined[name].items()]
        (tmp_path / name).mkdir()
        (tmp_path / name / "manifest.json").write_text(json.dumps(found))
    target = write_family(family, [derive(member.spec) for member in family.members], tmp_path, None)
    text = (target / "family.html").read_text()
    rows = [re.findall("<td>(.*?)</td>", row) for row in text.split("<tr>")]
    assert ["Sled", "01-round, 01-hollow", "no slot"] in rows
    assert ["End templates", "01-round", "too small"] in rows
    assert "Fixtures left out" not in (made_family / "pair" / "family.html").read_text()


FAKE = """
from cad.cli import make
from cad.cli.plane import Made
make.row_job = lambda family, plans: make.Job("row", lambda tell: None)
def fake(plan, order, begin):
    if plan.sole.form == "hollow":
        os.abort()
    return Made((f"{plan.spec.name}: made", "more"), ())
make.make_plane = fake
"""


def test_a_plane_that_crashes_leaves_the_familys_page_as_it_was(file: Path, tmp_path: Path) -> None:
    done = run_cli(FAKE, "make", file, "--to", tmp_path / "out")
    assert done.returncode == 1
    assert "pair-01-hollow: the process that made it was ended by SIGABRT" in done.stderr
    assert "the family's page is left as it was: pair-01-hollow not made" in done.stderr
    assert done.stdout.splitlines() == ["pair-01-round: made"]
    assert not (tmp_path / "out" / "pair").exists()


def test_a_part_of_each_plane_makes_no_page(file: Path, tmp_path: Path) -> None:
    done = planewright("make", file, "--to", tmp_path, "--only", "iron", "--formats", "stl")
    assert done.returncode == 0, done.stderr
    assert {path.name for path in tmp_path.iterdir()} == set(NAMES)


def test_a_folder_that_is_not_ours_and_names_that_clash_are_refused(file: Path, tmp_path: Path) -> None:
    (tmp_path / "pair").mkdir()
    (tmp_path / "pair" / "mine.txt").write_text("mine")
    done = planewright("make", file, "--to", tmp_path)
    assert done.returncode == 2 and "not made by planewright" in done.stderr
    done = planewright("make", file, file, "--to", tmp_path / "o")
    assert done.returncode == 2 and "two specs are named pair, pair-01-hollow" in done.stderr


def test_prove_proves_every_plane_of_a_family(file: Path) -> None:
    done = planewright("prove", file, "--json")
    assert done.returncode == 0, done.stdout
    told = json.loads(done.stdout)
    assert [plane["name"] for plane in told["planes"]] == list(NAMES)
    for plane, mate in zip(told["planes"], reversed(NAMES), strict=True):
        assert all(fixture["passes"] for fixture in plane["fixtures"])
        assert plane["mate"]["name"] == mate and plane["mate"]["passes"]


@pytest.mark.parametrize("command", ["mate", "serve"])
def test_what_is_for_one_plane_refuses_a_family(file: Path, command: str) -> None:
    done = planewright(command, file)
    assert done.returncode == 2 and "is a family, and this is for one plane" in done.stderr
