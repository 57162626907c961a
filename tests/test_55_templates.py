"""Pages of templates: every profile on one, each fit to be read, and the same bytes every time."""

from __future__ import annotations

import subprocess
import sys
from functools import cache
from hashlib import sha256
from io import BytesIO
from itertools import pairwise

import pytest
from hypothesis import given, settings
from pypdf import PdfReader

from cad.geometry import Plan, derive
from cad.outputs.formats import load_format
from cad.outputs.meshes import Meshes
from cad.papers.fonts import CAPITAL
from cad.papers.templates import SIZES, frame_of, template_pages, templates_pdf
from cad.papers.templates.fonts import width_mm
from cad.papers.templates.page import PaperSize
from cad.papers.templates.tiling import OVERLAP_MM, windows
from cad.spec import read_spec
from tests.conftest import DEMOS, demo_path
from tests.layouts import faults
from tests.pdf_ink import read_pages
from tests.planes import plan_of, specs
from tests.products import product


@cache
def demo_plan(name: str) -> Plan:
    return derive(read_spec(demo_path(name)))


@pytest.mark.parametrize("name", DEMOS)
def test_every_profile_is_named_on_a_page(name: str) -> None:
    made = product(name)
    profiles = [profile for piece in made.pieces() for profile in piece.profiles]
    for file in load_format("templates").files(made, Meshes()):
        text = " ".join(" ".join(page.text for page in read_pages(file.data)).split())
        for profile in profiles:
            assert profile.name.replace("_", " ") in text, (file.path, profile.name)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.name)
@pytest.mark.parametrize("name", DEMOS)
def test_demo_pages_can_be_read(name: str, size: PaperSize) -> None:
    made = product(name)
    frame = frame_of(made.plan, size)
    for number, page in enumerate(template_pages(made.plan, made.fixtures, frame), start=1):
        assert faults(page, frame) == [], number


@settings(max_examples=12, deadline=None)
@given(specs())
def test_pages_of_any_plane_can_be_read(text: str) -> None:
    plan = plan_of(text)
    for size in SIZES:
        frame = frame_of(plan, size)
        pages = template_pages(plan, (), frame)
        assert [faults(page, frame) for page in pages] == [[] for _ in pages]
        said = [words.text for page in pages for words in page.words]
        assert sum("TOE" in text and text != "TOE" for text in said) >= 3, "toe's profile, layout and plate"
        assert sum(text.startswith(("front ", "bed ")) for text in said) >= 2


@pytest.mark.parametrize(
    "more",
    [
        "[body]\nlength = 1000\nspare = 300\n[paper]\nscale_x = 1.05\nscale_y = 1.05\n",
        '[body]\nspare = 0\nhand = "left"\n[throat]\nmouth_at = 10\n',
        "[body]\nspare = 3\n[cheek]\nthickness = 1\n",
        "[throat]\nbed = 75\nfront = 80\n",
        "[paper]\nscale_x = 0.95\nscale_y = 1.05\n",
    ],
)
@pytest.mark.parametrize(("radius", "arc"), [(1, 150), (16, 60), (150, 60), (60, 180)])
def test_pages_of_odd_planes_can_be_read(radius: float, arc: float, more: str) -> None:
    name = "Wide-Name_" * 6
    plan = plan_of(f'name = "{name}"\n[sole]\nform = "hollow"\nradius = {radius}\narc = {arc}\n{more}')
    for size in SIZES:
        frame = frame_of(plan, size)
        for page in template_pages(plan, (), frame):
            assert faults(page, frame) == []


def test_windows_overlap_cover_and_leave_words_whole() -> None:
    words = [(95.0, 125.0), (130.0, 150.0), (205.0, 230.0)]
    found = windows((0.0, 330.0), 130.0, words)
    assert found[0][0] == 0.0 and found[-1][1] == 330.0
    for (_, end), (start, _) in pairwise(found):
        assert end - start == pytest.approx(OVERLAP_MM) and OVERLAP_MM >= 10
    assert all(end - start <= 130.0 for start, end in found)
    assert all(any(low <= a and b <= high for low, high in found) for a, b in words)
    with pytest.raises(ValueError, match="no seams"):
        windows((0.0, 330.0), 130.0, [(10.0, 320.0)])


def test_font_is_embedded_and_measured() -> None:
    data = templates_pdf(demo_plan(DEMOS[0]), (), SIZES[0])
    for page in PdfReader(BytesIO(data)).pages:
        fonts = page["/Resources"]["/Font"]  # type: ignore[index]
        for font in fonts.values():
            assert "/FontFile2" in font.get_object()["/FontDescriptor"].get_object()
    from fontTools.ttLib import TTFont

    from cad.kernel.lettering import font_path

    font = TTFont(font_path().with_name("DejaVuSans.ttf"))
    assert font["glyf"]["H"].yMax / font["head"].unitsPerEm == pytest.approx(CAPITAL, abs=1e-6)
    advance = sum(font["hmtx"][font.getBestCmap()[ord(letter)]][0] for letter in "TOE END")
    assert width_mm("TOE END", 2.5) == pytest.approx(advance / 2048 * 2.5 / CAPITAL, rel=1e-3)


ALONE = """
import sys
from hashlib import sha256
from cad.geometry import derive
from cad.papers.templates import SIZES, templates_pdf
from cad.spec import read_spec
plan = derive(read_spec(sys.argv[1]))
for size in SIZES:
    print(sha256(templates_pdf(plan, (), size)).hexdigest())
print([name for name in ("cadquery", "OCP", "numpy", "matplotlib") if name in sys.modules])
"""


def test_same_bytes_in_another_process_and_no_kernel() -> None:
    path = demo_path(DEMOS[0])
    ours = [sha256(templates_pdf(demo_plan(DEMOS[0]), (), size)).hexdigest() for size in SIZES]
    done = subprocess.run(
        [sys.executable, "-c", ALONE, str(path)],
        capture_output=True,
        text=True,
        check=True,
        env={"PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo"},
    )
    assert done.stdout.split("\n")[:3] == [*ours, "[]"]


def test_nothing_is_written_when_only_some_was_built() -> None:
    from dataclasses import replace

    part = replace(product(DEMOS[0]), whole=False)
    assert list(load_format("templates").files(part, Meshes())) == []
    whole = [file.path for file in load_format("templates").files(product(DEMOS[0]), Meshes())]
    assert whole == ["papers/templates_a4.pdf", "papers/templates_letter.pdf"]
