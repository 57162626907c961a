"""The page as one file: markup, style, scripts, the 3D library and the model, with nothing to fetch."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from html import escape
from importlib.resources import files
from typing import Any

from cad.review.library import three_js

# In the order in which they build on each other.
SCRIPTS = (
    "decode",
    "shade",
    "orbit",
    "section",
    "bench",
    "pointer",
    "lists",
    "controls",
    "wood",
    "player",
    "start",
)

# What the page may do, told to the browser: nothing from outside. The live page talks to its own server.
ALONE = (
    "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; img-src data: blob:; "
    "base-uri 'none'; form-action 'none'"
)
LIVE = (
    "default-src 'none'; script-src 'self' 'unsafe-inline'; style-src 'self' 'unsafe-inline'; "
    "img-src 'self' data: blob:; connect-src 'self'; base-uri 'none'; form-action 'self'"
)
LIVE_HEAD = '<link rel="stylesheet" href="/live.css">\n<script src="/live.js" defer></script>'
LIVE_PLACE = '<section id="live" aria-label="Spec"></section>'


def review_html(model: Mapping[str, Any], live: bool = False) -> bytes:
    """Return the page that shows a model (see `cad.review.model`), as UTF-8; same model, same bytes.

    A `live` page has an empty section with the id "live" before the checks, loads /live.css and /live.js from
    the server that it came from and may talk to that server only. Its script shows another model, and keeps
    what the reader looks at, by `window.planewright.update(model)`, which returns a promise.

    Raises OutputError when the 3D library is not where it should be.
    """
    filled = {
        "POLICY": LIVE if live else ALONE,
        "TITLE": escape(f"{model['name']}: review"),
        "STYLE": _text("style.css"),
        "LIVE_HEAD": LIVE_HEAD if live else "",
        "LIVE_PLACE": LIVE_PLACE if live else "",
        "MODEL": _as_script(model),
        "THREE": three_js(),
        "SCRIPTS": "\n".join(_text(f"{name}.js") for name in SCRIPTS),
    }
    # One pass over the template, so that nothing put in is taken for a place to put things in.
    first, *rest = _text("page.html").split("{{")
    out = [first]
    for piece in rest:
        name, after = piece.split("}}", 1)
        out += [filled[name], after]
    return "".join(out).encode("utf-8")


def _as_script(model: Mapping[str, Any]) -> str:
    """Return the model as JSON that cannot end the element it stands in."""
    words = json.dumps(model, separators=(",", ":"), ensure_ascii=False, sort_keys=True)
    return words.replace("<", "\\u003c")


@cache
def _text(name: str) -> str:
    return (files("cad.review") / name).read_text(encoding="utf-8")
