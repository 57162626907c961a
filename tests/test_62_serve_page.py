"""The live page in a real browser, Debian's chromium, served in a process of its own.

Every request is watched: none may leave the machine, and the console must stay silent.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import signal
import subprocess
import sys
import time
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.client import HTTPConnection
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page, expect

from cad.spec import read_spec
from tests import browsing
from tests.browsing import PATIENCE_MS
from tests.serving import GOOD, PATIENCE_S

SETTLED = '#live[data-state="settled"]'
SOONEST_MS = (
    1500  # from change to picture: 0.3 s on a machine of its own; tests share theirs and its one GL core
)
MOST_CHANGES = 20  # of which one must be seen so soon: other work may hold up any one of them
expect.set_options(timeout=PATIENCE_MS)


@dataclass
class Running:
    """The command at work, and what it said."""

    process: subprocess.Popen[str]
    address: str
    file: Path
    to: Path
    heard: list[str] = field(default_factory=list)


@contextmanager
def running(folder: Path, text: str = GOOD) -> Iterator[Running]:
    file, to = folder / "spec.toml", folder / "out"
    file.write_text(text, encoding="utf-8")
    process = subprocess.Popen(
        [sys.executable, "-m", "cad", "serve", str(file), "--to", str(to)],
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    )
    try:
        assert process.stderr
        told = re.fullmatch(r"Open (http://127\.0\.0\.1:\d+/\?key=\S+)\n", process.stderr.readline())
        assert told
        yield Running(process, told[1], file, to)
    finally:
        process.kill()
        process.communicate()


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with browsing.browser() as started:
        yield started


@contextmanager
def opened(browser: Browser, served: Running, width: int = 1440, height: int = 900) -> Iterator[Page]:
    """Open the page; afterwards, hold that nothing left the machine and nothing was complained of."""
    context = browser.new_context(viewport={"width": width, "height": height}, accept_downloads=True)
    context.set_default_timeout(PATIENCE_MS)
    page = context.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda said: served.heard.append(f"{said.type}: {said.text}"))
    page.on("pageerror", lambda error: served.heard.append(str(error)))
    page.goto(served.address)
    yield page
    context.close()
    assert not served.heard
    ours = urlsplit(served.address).netloc
    outside = [
        url
        for url in asked
        if urlsplit(url).scheme in ("http", "https", "ws") and urlsplit(url).netloc != ours
    ]
    assert asked and not outside


def wait(page: Page) -> None:
    page.wait_for_selector(SETTLED)


def fill(page: Page, key: str, value: str) -> None:
    """Type a value into a field and wait until its text has been looked at."""
    page.fill(f'[name="{key}"]', value)
    page.wait_for_selector('#live[data-state="settled"], #live[data-state="faulty"]')


def test_from_a_changed_value_to_files_in_hand(browser: Browser, tmp_path: Path) -> None:
    with running(tmp_path) as served, opened(browser, served) as page:
        wait(page)
        page.evaluate("document.querySelectorAll('#live details').forEach((one) => { one.open = true; })")
        verdict = page.locator("#live-verdict")
        expect(verdict).to_contain_text("No check fails")

        # A mouth shorter than the iron needs: the check fails here, below and in the picture's own list.
        fill(page, "throat.mouth", "4")
        expect(verdict).to_contain_text("check")
        expect(verdict).to_have_class("verdict fail")
        expect(page.locator('[id="check-mouth.gap"]')).to_be_visible()
        assert (
            page.evaluate("planewright.state.model.checks.find((c) => c.id === 'mouth.gap').holds") is False
        )
        page.get_by_label("Have mouth worked out", exact=True).click()
        expect(verdict).to_contain_text("No check fails")

        # What cannot be read is told at its field, with its line, and the plane stays as it was.
        fill(page, "sole.radius", "wide")
        radius = page.locator('[name="sole.radius"]')
        expect(radius).to_have_attribute("aria-invalid", "true")
        expect(page.locator("#live-sole-radius-fault")).to_contain_text("not a length")
        expect(page.locator("#live-faults")).to_contain_text("Line 5, sole.radius")
        expect(page.locator("#live-save")).to_be_disabled()
        fill(page, "sole.radius", "14")
        wait(page)
        expect(page.locator("#live-faults")).to_be_hidden()
        expect(page.locator("#lede")).to_contain_text("14 mm")

        # As text: what the form did, and a slip that is no TOML.
        page.click("#live-as-text")
        text = page.locator("#live-text")
        assert text.input_value().startswith(GOOD.replace("radius = 12 ", "radius = 14 ").rstrip())
        text.fill(text.input_value() + "oops\n")
        expect(page.locator("#live-faults")).to_contain_text("not TOML")
        text.fill(text.input_value().replace("oops\n", ""))
        expect(page.locator("#live-faults")).to_be_hidden()
        assert served.file.read_text() == GOOD

        wait(page)
        page.click("#live-save")
        expect(page.locator("#live-saved")).to_have_text("Saved")
        assert read_spec(served.file).sole.radius == 14
        assert "# of the old one" in served.file.read_text()

        page.click("#live-make")
        page.wait_for_selector("#live-zip", timeout=5 * PATIENCE_MS)  # every file of a plane
        with page.expect_download() as coming:
            page.click("#live-zip")
        assert coming.value.suggested_filename == "hall-round.zip" and coming.value.failure() is None
        folder = served.to / "hall-round"
        manifest = json.loads((folder / "manifest.json").read_text())
        assert manifest["spec_sha256"] == hashlib.sha256(served.file.read_bytes()).hexdigest()
        with zipfile.ZipFile(coming.value.path()) as archive:
            for entry in manifest["files"]:
                data = archive.read(f"hall-round/{entry['path']}")
                assert hashlib.sha256(data).hexdigest() == entry["sha256"]
            assert len(archive.namelist()) == len(manifest["files"]) + 1


def test_a_change_is_seen_at_once(browser: Browser, tmp_path: Path) -> None:
    with running(tmp_path) as served, opened(browser, served) as page:
        wait(page)
        page.evaluate(
            """() => { const live = document.getElementById('live'); window.times = {};
            new MutationObserver(() => { times[live.dataset.state] = performance.now(); })
              .observe(live, { attributes: true }); }"""
        )
        page.evaluate("document.querySelectorAll('#live details').forEach((one) => { one.open = true; })")
        pictures: list[float] = []
        while not pictures or min(pictures) > SOONEST_MS:
            assert len(pictures) < MOST_CHANGES, pictures
            begun = page.evaluate("performance.now()")
            fill(page, "sole.radius", f"{13 + len(pictures) / 2:g}")
            wait(page)
            pictures.append(page.evaluate("times.settled") - begun)


def test_a_faulty_file_opens_as_a_form_and_becomes_a_plane(browser: Browser, tmp_path: Path) -> None:
    with running(tmp_path, GOOD.replace("12 ", '"wide" ')) as served, opened(browser, served) as page:
        expect(page.locator("#live-faults")).to_contain_text("Line 5, sole.radius")
        assert page.locator("#canvas").count() == 0
        page.fill('[name="sole.radius"]', "12")
        page.wait_for_selector("#canvas")
        wait(page)
        expect(page.locator("#live-saved")).to_have_text("Not saved")
        expect(page.locator('[name="sole.radius"]')).to_have_value("12")


def test_two_pages_on_one_file_do_not_write_over_each_other(browser: Browser, tmp_path: Path) -> None:
    with running(tmp_path) as served, opened(browser, served) as one:
        wait(one)
        served.file.write_text(GOOD.replace("hall", "well").replace("12 ", "18 "))
        fill(one, "sole.radius", "13")
        wait(one)
        with one.expect_console_message(lambda said: "409" in said.text):  # the browser notes the refusal
            one.click("#live-save")
        expect(one.locator("#live-told")).to_contain_text("changed elsewhere")
        assert "well" in served.file.read_text()
        assert len(served.heard) == 1
        served.heard.clear()
        before = one.evaluate("planewright.state.model.geometry")
        one.get_by_role("button", name="Read the file again").click()
        expect(one.locator("#name")).to_have_text("well-round")
        expect(one.locator("#live-saved")).to_have_text("Saved")
        wait(one)
        expect(one.locator("#lede")).to_contain_text("18 mm")
        assert one.evaluate("planewright.state.model.geometry") != before  # the picture is the file's, too


@pytest.mark.parametrize(("width", "height"), [(1440, 900), (390, 844)])
def test_nothing_is_wider_than_the_screen(browser: Browser, tmp_path: Path, width: int, height: int) -> None:
    with running(tmp_path) as served, opened(browser, served, width, height) as page:
        wait(page)
        page.evaluate("document.querySelectorAll('#live details').forEach((one) => { one.open = true; })")
        outside = page.evaluate(
            """() => [...document.querySelectorAll('#live *')].filter((one) => one.offsetParent
              && one.getBoundingClientRect().right > innerWidth + 1).map((one) => one.outerHTML)"""
        )
        assert not outside
        small = page.evaluate(
            """() => [...document.querySelectorAll('#live input[type=text], #live select, #live button')]
            .filter((one) => one.offsetParent && one.getBoundingClientRect().height < 36)
            .map((one) => one.outerHTML)"""
        )
        assert not small  # fit for a finger
        page.focus('[name="paper.size"]')
        page.select_option('[name="paper.size"]', "letter")
        wait(page)
        held = page.locator("#live-verdict").bounding_box()
        assert held and 0 < held["y"] < height  # in sight although the field is the last of all
        assert page.evaluate(
            """() => { const box = document.getElementById('live-verdict').getBoundingClientRect();
            return document.getElementById('live').contains(
              document.elementFromPoint(box.x + 20, box.y + box.height / 2)); }"""
        )  # and nothing lies over it


def at_once(served: Running) -> None:
    """Wait for nothing."""


def kernel_loads(served: Running) -> None:
    """Wait until the first of the kernel is in the process."""
    while "OCP" not in Path(f"/proc/{served.process.pid}/maps").read_text():
        time.sleep(0.01)


def kernel_sleeps(served: Running) -> None:
    """Wait until the kernel has made the page's model and has nothing more to do."""
    where = urlsplit(served.address)
    asking = HTTPConnection(where.netloc, timeout=PATIENCE_S)
    asking.request("GET", f"{where.path}?{where.query}")
    told = asking.getresponse()
    assert told.status == 200 and b"geometry" in told.read()
    asking.close()


@pytest.mark.parametrize("moment", [at_once, kernel_loads, kernel_sleeps], ids=lambda moment: moment.__name__)
def test_it_stops_from_the_keyboard(tmp_path: Path, moment: Callable[[Running], None]) -> None:
    with running(tmp_path) as served:
        moment(served)
        served.process.send_signal(signal.SIGINT)
        _, told = served.process.communicate(timeout=PATIENCE_S)
        assert served.process.returncode == 0 and told.endswith("Stopped.\n") and "Traceback" not in told


def test_calls_that_cannot_be_served_exit_2(tmp_path: Path) -> None:
    from tests.conftest import planewright

    gone = planewright("serve", tmp_path / "gone.toml")
    assert gone.returncode == 2 and "there is no such file" in gone.stderr
    with running(tmp_path) as served:
        port = str(urlsplit(served.address).port)
        taken = planewright("serve", served.file, "--port", port)
        assert taken.returncode == 2 and f"port {port} cannot be used" in taken.stderr
