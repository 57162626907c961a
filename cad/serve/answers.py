"""An answer before it is sent, and the head that goes with every one."""

from __future__ import annotations

import json
import re
from base64 import b64encode
from collections.abc import Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any

# Nothing is kept, guessed, framed or sent on; what a page may do besides is said with the page itself.
ALWAYS = {
    "Cache-Control": "no-store",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
NOTHING = "default-src 'none'; frame-ancestors 'none'"
_SCRIPT = re.compile(rb"<script>(.*?)</script>", re.DOTALL)


@dataclass(frozen=True)
class Answer:
    """A status, a body and what kind it is."""

    status: int
    body: bytes
    kind: str
    headers: Mapping[str, str] = field(default_factory=dict)


def as_json(value: Mapping[str, Any], status: int = 200) -> Answer:
    """Return a value as an answer."""
    body = json.dumps(value, ensure_ascii=True, separators=(",", ":")).encode("ascii")
    return Answer(status, body, "application/json")


def error(status: int, words: str, **more: Any) -> Answer:
    """Return what went wrong, in words for the reader of the page."""
    return as_json({"error": words, **more}, status)


def as_page(body: bytes) -> Answer:
    """Return a page, allowed to run its own scripts as they are and to talk to this server alone."""
    hashes = [f"'sha256-{b64encode(sha256(script).digest()).decode()}'" for script in _SCRIPT.findall(body)]
    policy = (
        f"default-src 'none'; script-src 'self' {' '.join(hashes)}; style-src 'self' 'unsafe-inline'; "
        "img-src 'self' data: blob:; connect-src 'self'; base-uri 'none'; form-action 'none'; "
        "frame-ancestors 'none'"
    )
    return Answer(200, body, "text/html; charset=utf-8", {"Content-Security-Policy": policy})


def as_download(body: bytes, name: str) -> Answer:
    """Return a file to be saved, never shown, under a name of plain characters."""
    plain = re.sub(r"[^A-Za-z0-9._-]", "_", name)
    disposition = {"Content-Disposition": f'attachment; filename="{plain}"'}
    return Answer(200, body, "application/octet-stream", disposition)
