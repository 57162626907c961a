"""Debian's Chromium, headless and cut off from every network, as the tests of the pages drive it."""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import Browser, BrowserType, Page, sync_playwright

CHROMIUM = Path("/usr/bin/chromium")
# WebGL drawn by the processor: no graphics card, no screen. The watchdog would take a busy machine for a card
# that hangs, and the picture away.
SOFTWARE_GL = (
    *("--no-sandbox", "--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"),
    "--disable-gpu-watchdog",
)
NO_GL = ("--no-sandbox", "--disable-gpu", "--disable-3d-apis")
DESKTOP, PHONE = (1400, 900), (390, 844)
PATIENCE_MS = 120_000  # for what takes a moment when nothing else is going on


@dataclass
class Watched:
    """A page with all that it complained of and all that it asked for."""

    page: Page
    complaints: list[str] = field(default_factory=list)
    requests: list[str] = field(default_factory=list)

    def settled(self) -> Watched:
        self.page.wait_for_selector("html[data-ready=yes]", state="attached")
        return self

    def picture(self) -> NDArray[np.int64]:
        """Return the window with the model as it is seen, rows of red, green and blue, 0 to 255."""
        self.page.evaluate("() => new Promise((done) => requestAnimationFrame(() => setTimeout(done)))")
        shot = self.page.locator(".window").screenshot()
        return np.asarray(Image.open(BytesIO(shot)).convert("RGB")).astype(np.int64)

    def comes_to(self, wanted: Callable[[NDArray[np.int64]], bool | np.bool_]) -> bool:
        """Return whether a picture is as wanted before patience ends: the browser does not say when it has
        dealt with a turn of the wheel or the touch of a finger."""
        until = time.monotonic() + PATIENCE_MS / 1000
        while not wanted(self.picture()):
            if time.monotonic() > until:
                return False
        return True


@contextmanager
def browser() -> Iterator[Browser]:
    """Start the browser; without it the tests of the pages fail."""
    with sync_playwright() as driver, launched(driver.chromium, SOFTWARE_GL) as started:
        yield started


@contextmanager
def launched(kind: BrowserType, arguments: tuple[str, ...]) -> Iterator[Browser]:
    """Start a browser with arguments; a second one of a process is started by the first one's own type."""
    assert CHROMIUM.exists(), f"{CHROMIUM} is missing; on Debian: apt-get install chromium"
    started = kind.launch(executable_path=str(CHROMIUM), args=list(arguments), timeout=PATIENCE_MS)
    try:
        yield started
    finally:
        started.close()


@contextmanager
def opened(chromium: Browser, url: str, size: tuple[int, int] = DESKTOP, **more: Any) -> Iterator[Watched]:
    """Open a page in a context of its own with no network, and watch it."""
    width, height = size
    context = chromium.new_context(viewport={"width": width, "height": height}, offline=True, **more)
    context.set_default_timeout(PATIENCE_MS)
    watched = Watched(context.new_page())
    watched.page.on(
        "console",
        lambda said: watched.complaints.append(said.text) if said.type in ("error", "warning") else None,
    )
    watched.page.on("pageerror", lambda error: watched.complaints.append(str(error)))
    watched.page.on("request", lambda request: watched.requests.append(request.url))
    try:
        watched.page.goto(url)
        yield watched
    finally:
        context.close()


def audit(page: Page) -> list[str]:
    """Return what axe-core finds wrong that is serious or worse, each with the element it is found on.

    axe-core is the audit of the WCAG's success criteria by Deque Systems; its wheel ships it as one script.
    """
    found = find_spec("axe_playwright_python")
    assert found is not None and found.submodule_search_locations
    script = Path(found.submodule_search_locations[0]) / "axe.min.js"
    page.evaluate(script.read_text(encoding="utf-8"))
    report = page.evaluate("async () => axe.run(document, {resultTypes: ['violations']})")
    assert report["passes"], "the audit looked at nothing"
    return [
        f"{one['id']}: {json.dumps(node['target'])}: {node['failureSummary']}"
        for one in report["violations"]
        if one["impact"] in ("serious", "critical")
        for node in one["nodes"]
    ]
