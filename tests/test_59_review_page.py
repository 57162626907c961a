"""The review page in a real browser, from a file, with no network: what is seen, and what can be done."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Literal

import numpy as np
import pytest
from numpy.typing import NDArray
from playwright.sync_api import Browser

from cad.outputs.formats import load_format
from cad.outputs.meshes import Meshes
from tests.browsing import DESKTOP, NO_GL, PHONE, Watched, audit, browser, launched, opened
from tests.products import product

LARGEST = 6_000_000  # bytes of one page with all fixtures


@pytest.fixture(scope="module")
def page_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    (file,) = load_format("review").files(product("cornice-round"), Meshes())
    assert file.path == "review.html"
    path = tmp_path_factory.mktemp("review") / file.path
    path.write_bytes(file.data)
    return path


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with browser() as started:
        yield started


@pytest.fixture
def review(chromium: Browser, page_file: Path) -> Iterator[Watched]:
    """Open the page at a desk; afterwards it must have asked for nothing else and complained of nothing."""
    with opened(chromium, page_file.as_uri()) as watched:
        yield watched.settled()
        assert watched.requests == [page_file.as_uri()]
        assert watched.complaints == []


def warm(image: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Return where wood is seen: far redder than blue, which neither paper, ink nor steel is."""
    found: NDArray[np.bool_] = image[:, :, 0] - image[:, :, 2] > 45
    return found


def reach(seen: NDArray[np.bool_]) -> tuple[int, int, float]:
    """Return width and height in pixels of what is seen, and what share of that box it fills."""
    rows, columns = np.nonzero(seen)
    box = seen[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1]
    return box.shape[1], box.shape[0], float(box.mean())


def choose(review: Watched, group: str, value: str) -> None:
    review.page.locator(f"#{group} label", has=review.page.locator(f"[value='{value}']")).click()


def slide(review: Watched, name: str, value: float) -> None:
    review.page.locator(f"#{name}").fill(str(value))


def show(review: Watched, view: str) -> None:
    review.page.locator("#views").select_option(view)


def test_the_page_is_small_enough(page_file: Path) -> None:
    assert page_file.stat().st_size < LARGEST


def test_the_plane_is_seen_and_a_part_can_be_put_away(review: Watched) -> None:
    before = warm(review.picture()).mean()
    assert before > 0.1
    for part in ("body", "cheek_plate", "wedge"):
        review.page.locator(f"[data-part={part}]").uncheck()
    assert warm(review.picture()).mean() < before / 20
    assert "Wedge hidden" in review.page.locator("#said").inner_text()
    assert review.page.locator("#canvas").get_attribute("aria-label") == "The finished plane: iron"
    review.page.locator("[data-part=body]").check()
    assert warm(review.picture()).mean() > before / 2


def test_a_cut_is_closed_and_moves(review: Watched) -> None:
    """The blank, 350 × 32 × 75 mm, cut level and seen from above, is a solid oblong of 350 by 32."""
    show(review, "stage-blank")
    choose(review, "cut", "z")
    review.page.locator("[data-turn=top]").click()
    wide, high, filled = reach(warm(review.picture()))
    assert wide / high == pytest.approx(350 / 32, rel=0.04)
    assert filled > 0.97
    choose(review, "cut", "x")
    shares = []
    for at in (250, 750):
        slide(review, "cut-at", at)
        shares.append(reach(warm(review.picture()))[0] / wide)
    assert sorted(shares) == pytest.approx([0.25, 0.75], abs=0.02)
    assert review.page.locator("#cut-said").inner_text() == "x = 212.5 mm"
    review.page.locator("#cut-turn").click()
    assert reach(warm(review.picture()))[0] / wide == pytest.approx(1 - shares[1], abs=0.02)


def test_units_change_and_dimensions_are_read_from_the_document(review: Watched) -> None:
    """r = w = 16 mm, a segment of 60°: its height is 0.133975 r (Machinery's Handbook, 31st ed., segments
    of circles; computed), 2.14 mm, which is 5/64 in and 0.16 mm over."""
    sagitta = review.page.locator("[id='dimension-sole.sagitta']")
    assert sagitta.inner_text() == f"{16 * 0.133975:.2f} mm"
    choose(review, "units", "in")
    assert sagitta.inner_text() == "5/64 in + 0.16 mm"
    assert review.page.locator("[id='dimension-throat.bed']").inner_text() == "50°"
    choose(review, "cut", "y")
    assert re.fullmatch(r"y = \d+/\d+ in", review.page.locator("#cut-said").inner_text())
    choose(review, "units", "mm")
    assert sagitta.inner_text().endswith("mm")


def test_a_dimension_points_at_its_place(review: Watched) -> None:
    """The pointer stands where the mouth is: on the sole, a third of the way from the toe."""
    review.page.locator("[data-turn=side]").click()
    body = reach(warm(review.picture()))
    rows, columns = np.nonzero(warm(review.picture()))
    left = columns.min()
    button = review.page.locator("[data-key='throat.mouth']")
    button.click()
    assert button.get_attribute("aria-pressed") == "true"
    review.page.locator("[data-turn=side]").click()
    review.picture()
    pointer = review.page.locator("#pointer")
    assert pointer.inner_text() == "The mouth"
    window = review.page.locator(".window").bounding_box()
    place = pointer.bounding_box()
    assert window and place
    # The mouth's gap begins 82 mm from the toe, of 250.
    share = (place["x"] - window["x"] - left) / body[0]
    assert share == pytest.approx(83 / 250, abs=0.015)
    assert place["y"] - window["y"] == pytest.approx(rows.max(), abs=6)
    button.click()
    assert pointer.is_hidden() and button.get_attribute("aria-pressed") == "false"


def test_stages_are_stepped_through(review: Watched) -> None:
    title = review.page.locator("#view-title")
    show(review, "stage-blank")
    assert review.page.locator("#before").is_disabled()
    seen = [title.inner_text()]
    for _ in range(6):
        review.page.locator("#after").click()
        seen.append(title.inner_text())
    assert seen == [
        "Blank", "Rabbeted", "Sole shaped", "Throat sawn", "Plate glued", "Trimmed", "The finished plane",
    ]  # fmt: skip
    review.page.locator("#before").click()
    assert title.inner_text() == "Trimmed"
    stage = review.page.locator("[data-view=stage-throat-sawn]")
    stage.click()
    assert title.inner_text() == "Throat sawn" and stage.get_attribute("aria-pressed") == "true"


def test_a_fixture_is_shown_on_its_work_and_put_away(review: Watched) -> None:
    def blue() -> float:
        image = review.picture()
        return float((image[:, :, 2] - image[:, :, 0] > 25).mean())

    before = blue()
    button = review.page.locator("[data-view=fixture-saw_guide-1]")
    button.click()
    assert blue() > before + 0.02
    assert [box.inner_text() for box in review.page.locator("#parts label").all()] == ["Body", "Saw guide"]
    review.page.locator("[data-part=saw_guide]").uncheck()
    assert blue() == pytest.approx(before, abs=0.01)
    button.click()
    assert review.page.locator("#view-title").inner_text() == "The finished plane"


def test_it_comes_apart(review: Watched) -> None:
    def depth() -> int:
        review.page.locator("[data-turn=top]").click()
        wide, high, _ = reach(warm(review.picture()))
        return round(1000 * high / wide)

    together = depth()
    slide(review, "apart", 100)
    assert review.page.locator("#apart-said").inner_text() == "100 %"
    assert depth() > together + 100  # the plate stands 45 mm off


def test_mouse_wheel_and_keys_turn_move_and_zoom(review: Watched) -> None:
    view = review.page.locator("#view")
    box = view.bounding_box()
    assert box
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2

    def changed(act: Callable[[], object]) -> bool:
        before = review.picture()
        act()
        return review.comes_to(lambda now: (now != before).any())

    def drag(button: Literal["left", "right"] = "left") -> None:
        review.page.mouse.move(x, y)
        review.page.mouse.down(button=button)
        review.page.mouse.move(x + 60, y + 20)
        review.page.mouse.up(button=button)

    review.page.mouse.move(x, y)
    assert changed(drag)
    assert changed(lambda: drag("right"))
    assert changed(lambda: review.page.mouse.wheel(0, -300))
    view.focus()
    for key in ("ArrowLeft", "ArrowUp", "Shift+ArrowRight", "+", "-", "0"):
        assert changed(partial(review.page.keyboard.press, key)), key


def test_another_model_is_shown_and_the_view_kept(review: Watched) -> None:
    choose(review, "cut", "y")
    review.page.locator("[data-part=iron]").uncheck()
    review.page.evaluate(
        """async () => {
          const model = structuredClone(planewright.state.model);
          model.name = "another";
          model.checks[0].holds = false; model.checks[0].level = "fail";
          await planewright.update(model);
        }"""
    )
    assert review.page.locator("h1").inner_text() == "another"
    assert review.page.locator("#trouble li").first.locator(".level").inner_text() == "Fails"
    assert not review.page.locator("[data-part=iron]").is_checked()
    assert review.page.locator("#cut [value=y]").is_checked()


def test_print_shows_picture_and_tables(review: Watched) -> None:
    review.page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    review.page.emulate_media(media="print")
    assert review.page.locator("#printed").is_visible() and review.page.locator("#tools").is_hidden()
    width = "async (image) => { await image.decode(); return image.naturalWidth; }"
    assert review.page.locator("#printed").evaluate(width) > 300
    assert all(box.is_visible() for box in review.page.locator("#groups table").all())
    review.page.evaluate("window.dispatchEvent(new Event('afterprint'))")
    assert review.page.locator("#printed").is_hidden()


@pytest.mark.parametrize("size", [DESKTOP, PHONE], ids=["desk", "phone"])
@pytest.mark.parametrize("light", ["light", "dark"])
def test_an_audit_of_accessibility_finds_nothing_serious(
    chromium: Browser, page_file: Path, size: tuple[int, int], light: str
) -> None:
    with opened(chromium, page_file.as_uri(), size, color_scheme=light) as watched:
        page = watched.settled().page
        assert page.locator("html").get_attribute("data-light") == ("dark" if light == "dark" else "bright")
        page.evaluate("document.querySelectorAll('details').forEach(box => box.open = true)")
        page.locator("[data-key='throat.mouth']").click()
        assert audit(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
        assert watched.complaints == []


def test_a_finger_turns_it_and_two_come_nearer(chromium: Browser, page_file: Path) -> None:
    with opened(chromium, page_file.as_uri(), PHONE, has_touch=True) as watched:
        watched.settled()
        box = watched.page.locator("#view").bounding_box()
        assert box
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        driver = watched.page.context.new_cdp_session(watched.page)

        def touch(kind: str, *at: tuple[float, float]) -> None:
            points = [{"x": px, "y": py, "id": i} for i, (px, py) in enumerate(at)]
            driver.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

        first = watched.picture()
        touch("touchStart", (x, y))
        touch("touchMove", (x + 50, y + 10))
        touch("touchEnd")
        assert watched.comes_to(lambda now: (now != first).any())
        wide = reach(warm(watched.picture()))[0]
        touch("touchStart", (x - 60, y), (x + 60, y))
        touch("touchMove", (x - 40, y), (x + 40, y))
        touch("touchEnd")
        assert watched.comes_to(lambda now: reach(warm(now))[0] < 0.8 * wide)


def test_without_webgl_the_page_says_so_and_reads_as_text(chromium: Browser, page_file: Path) -> None:
    with launched(chromium.browser_type, NO_GL) as bare, opened(bare, page_file.as_uri()) as watched:
        page = watched.settled().page
        assert "no WebGL" in page.locator("#no-picture").inner_text()
        assert page.locator("[id='dimension-sole.radius']").inner_text() == "16 mm"
        choose(watched, "units", "in")
        assert page.locator("[id='dimension-sole.radius']").inner_text().endswith("mm")
        page.locator("[data-key='throat.mouth']").click()
        assert "the mouth" in page.locator("#said").inner_text()
        assert audit(page) == []
