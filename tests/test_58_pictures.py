"""Pictures: rendered with no display, of the right thing, the same every time. Read by Pillow."""

from __future__ import annotations

from io import BytesIO

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.kernel.mesh import tessellate
from cad.kernel.shapes import box
from cad.parts import build_parts
from cad.pictures import jigs, plane, stages
from cad.pictures.camera import SIZE, Camera
from cad.pictures.scene import SIDE, WOOD, Picture, Shown
from fixtures.bench.model import Fixture
from fixtures.bench.workshop import build_fixture


def pixels(png: bytes) -> NDArray[np.uint8]:
    return np.asarray(Image.open(BytesIO(png)).convert("RGB"))


def seen_box(image: NDArray[np.uint8]) -> tuple[float, float]:
    """Return width and height in pixels of what is not paper."""
    rows, columns = np.nonzero((image < 250).any(axis=2))
    return columns.max() - columns.min() + 1, rows.max() - rows.min() + 1


def test_proportions_are_true_and_the_frame_is_filled() -> None:
    """A block of 120 × 40 seen square on is three times as wide as high, by its pixels."""
    block = Picture("block", (Shown(box((0, 0, 0), (120, 20, 40)), WOOD),), SIDE)
    image = pixels(Camera(tessellate).take(block))
    assert image.shape == (SIZE[1], SIZE[0], 3)
    wide, high = seen_box(image)
    assert wide / high == pytest.approx(3, rel=0.02)
    assert wide > 0.85 * SIZE[0]


def test_the_same_picture_has_the_same_bytes(demo: Plan) -> None:
    shown = next(iter(stages.pictures(demo)))
    assert Camera(tessellate).take(shown) == Camera(tessellate).take(shown)


def test_pictures_of_the_plane_show_every_part(demo: Plan) -> None:
    parts = [part for part in build_parts(demo) if part.name != "throat"]
    found = {picture.name: picture for picture in plane.pictures(demo, parts)}
    assert set(found) >= {"plane", "plane_blind_side", "plane_sole", "plane_apart", "plane_opened"}
    assert {f"part_{part.name}" for part in parts} <= set(found)
    camera = Camera(tessellate)
    for name in ("plane", "plane_apart", "plane_opened"):
        image = pixels(camera.take(found[name]))
        inked = float((image < 250).any(axis=2).mean())
        assert 0.05 < inked < 0.9, name
    # Wood is warm and the iron is not: both are to be seen.
    image = pixels(camera.take(found["plane_apart"])).astype(int)
    warm = (image[:, :, 0] - image[:, :, 2] > 25).sum()
    cool = ((image[:, :, 2] - image[:, :, 0] > 4) & (image[:, :, 2] < 200)).sum()
    assert warm > 5000 and cool > 300


def test_opened_shows_the_depth_of_the_throat(demo: Plan) -> None:
    """Cut through the middle of the throat: each half ends in that plane."""
    parts = [part for part in build_parts(demo) if part.name in ("body", "wedge", "iron")]
    (opened,) = (p for p in plane.pictures(demo, parts) if p.name == "plane_opened")
    side = -1 if demo.is_left else 1
    for shown in opened.shown:
        bounds = shown.solid.BoundingBox()
        near = bounds.ymin if side > 0 else -bounds.ymax
        assert near == pytest.approx(demo.throat.depth / 2, abs=1e-5)


def test_stages_come_in_order(demo: Plan) -> None:
    names = [picture.name for picture in stages.pictures(demo)]
    assert len(names) == len(Stage) and names == sorted(names)
    assert names[0].endswith("blank") and names[-1].endswith("trimmed")


def test_a_fixture_is_shown_alone_and_at_work(demo: Plan) -> None:
    guide = build_fixture("saw_guide", demo, lettered=False)
    assert isinstance(guide, Fixture)
    alone, at_work = jigs.pictures(demo, [guide])
    assert (alone.name, at_work.name) == ("fixture_saw_guide", "use_saw_guide")
    assert len(at_work.shown) == len(alone.shown) + 1
    camera = Camera(tessellate)
    assert seen_box(pixels(camera.take(alone)))[1] > 0.8 * SIZE[1]
    assert camera.take(alone) != camera.take(at_work)
