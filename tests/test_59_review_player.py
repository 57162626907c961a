"""Programs played back on the review page, in a real browser: the wood, the cutter, the words, the keys."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import Browser

from cad.outputs.formats.review import review_model
from cad.review.page import review_html
from cad.review.playing import played
from cad.simulate.running import simulate
from tests.browsing import NO_GL, PHONE, Watched, audit, browser, launched, opened
from tests.plates import job, program
from tests.products import bare_product

DARK = 60  # brightness under which the wood is cut through


@pytest.fixture(scope="module")
def page_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    twice = [simulate(replace(job(program()), name=name), 1.0) for name in ("sheet_1", "sheet_2")]
    model = review_model(bare_product("cornice-round"))
    path = tmp_path_factory.mktemp("player") / "review.html"
    path.write_bytes(review_html({**model, "programs": played(twice)}))
    bare = path.with_name("bare.html")
    bare.write_bytes(review_html(model))
    assert path.stat().st_size - bare.stat().st_size < 20_000
    return path


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with browser() as started:
        yield started


@pytest.fixture
def router(chromium: Browser, page_file: Path) -> Iterator[Watched]:
    with opened(chromium, page_file.as_uri()) as watched:
        watched.page.wait_for_selector("#router[data-ready=yes]")
        watched.page.locator("#router").scroll_into_view_if_needed()
        yield watched
        assert watched.requests == [page_file.as_uri()]
        assert watched.complaints == []


def wood(watched: Watched) -> NDArray[np.int64]:
    shot = watched.page.locator("#wood").screenshot()
    return np.asarray(Image.open(BytesIO(shot)).convert("RGB")).astype(np.int64)


def through(image: NDArray[np.int64]) -> float:
    """Return what share of the board is seen to be cut through."""
    return float((image.max(axis=2) < DARK).mean())


def at(watched: Watched, share: float) -> NDArray[np.int64]:
    watched.page.locator("#play-at").fill(str(round(1000 * share)))
    return wood(watched)


def test_the_whole_board_is_cut_at_the_end_and_whole_at_the_start(router: Watched) -> None:
    """The kerf, less its tabs, and the bore go through: 1951 - 39 + 79 mm² of 140 × 90."""
    assert through(at(router, 0)) == 0
    assert through(at(router, 1)) == pytest.approx((1951 - 39 + 79) / (140 * 90), rel=0.1)
    # And back: nothing that is cut later is seen.
    assert through(at(router, 0.5)) < 0.03
    assert through(at(router, 0)) == 0


def test_what_is_said_follows_the_time(router: Watched) -> None:
    page = router.page
    at(router, 0)
    assert re.fullmatch(r"0:00 of 2:30\. plate\.ngc, line 6: rapid, .*", page.locator("#played").inner_text())
    at(router, 1)
    said = page.locator("#played").inner_text()
    assert said.startswith("2:30 of 2:30. plate.ngc, line ") and said.endswith("z 5.0 mm")
    assert page.locator("#play-at").get_attribute("aria-valuetext") == said
    assert said in (page.locator("#wood").get_attribute("aria-label") or "")
    page.locator("#units label", has=page.locator("[value=in]")).click()
    assert page.locator("#played").inner_text().endswith(" in")
    page.locator("#units label", has=page.locator("[value=mm]")).click()


def test_it_plays_stops_and_starts_again(router: Watched) -> None:
    """The whole show takes 40 s, told by a clock that the test turns: the machine's own may stand still."""
    play, slider, clock = router.page.locator("#play"), router.page.locator("#play-at"), router.page.clock
    clock.install(time=0)
    clock.pause_at(1000)

    def share(after_ms: int) -> float:
        """Let a frame be drawn, and after that time another; return how much of the show is over."""
        clock.run_for(20)
        clock.fast_forward(after_ms)
        clock.run_for(20)
        return float(slider.input_value()) / 1000

    assert play.inner_text() == "Play" and share(0) == 1
    play.click()
    assert play.inner_text() == "Stop" and play.get_attribute("aria-pressed") == "true"
    assert share(10_000) == pytest.approx(1 / 4, abs=0.002)
    assert "0:37 of 2:30" in router.page.locator("#played").inner_text()
    play.click()
    assert play.inner_text() == "Play" and play.get_attribute("aria-pressed") == "false"
    assert share(1000) == share(1000) == pytest.approx(1 / 4, abs=0.002)
    play.click()
    assert share(20_000) == pytest.approx(3 / 4, abs=0.004)
    share(11_000)
    assert play.inner_text() == "Play" and share(1000) == 1, "at the end it stops"


def test_it_is_worked_from_the_keyboard(router: Watched) -> None:
    slider = router.page.locator("#play-at")
    slider.focus()
    slider.press("Home")
    assert slider.input_value() == "0"
    slider.press("ArrowRight")
    assert slider.input_value() == "1"
    router.page.locator("#stocks").select_option(label="sheet 2")
    assert slider.input_value() == "1000"
    label = router.page.locator("#wood").get_attribute("aria-label")
    assert label and label.startswith("sheet 2 from above")


def test_programs_and_figures_stand_in_words(router: Watched) -> None:
    rows = router.page.locator("#programs tr").all_inner_texts()
    assert [re.split(r"\s*\t\s*|\n", row) for row in rows] == [["plate.ngc", "6 mm straight", "2:30"]]
    assert "0.005 mm cut into a part" in router.page.locator("#simulated").inner_text()


@pytest.mark.parametrize("light", ["bright", "dark"])
def test_nothing_stands_in_a_readers_way(router: Watched, light: str) -> None:
    if router.page.evaluate("document.documentElement.dataset.light") != light:
        router.page.locator("#light").click()
    assert audit(router.page) == []


def test_on_a_phone_and_without_graphics(page_file: Path, chromium: Browser) -> None:
    with launched(chromium.browser_type, NO_GL) as plain, opened(plain, page_file.as_uri(), PHONE) as watched:
        watched.page.wait_for_selector("#router[data-ready=yes]")
        watched.page.locator("#router").scroll_into_view_if_needed()
        box = watched.page.locator("#wood").bounding_box()
        assert (
            box
            and box["width"] < PHONE[0]
            and box["width"] / box["height"] == pytest.approx(140 / 90, rel=0.02)
        )
        assert through(wood(watched)) > 0.1


def test_without_programs_there_is_no_router(page_file: Path, chromium: Browser) -> None:
    with opened(chromium, page_file.with_name("bare.html").as_uri()) as watched:
        watched.settled()
        assert watched.page.locator("#router").is_hidden() and watched.page.locator("#to-router").is_hidden()


def test_same_programs_same_bytes() -> None:
    assert played([simulate(job(program()), 1.0)]) == played([simulate(job(program()), 1.0)])
    assert played([]) == ""
