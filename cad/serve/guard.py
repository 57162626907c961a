"""What the server will answer at all. Pure decisions on a request's head, so that each can be tested alone.

A page of another site can make a browser send requests here; a name that it owns can be made to point to the
loopback address; another user of the machine can connect as well. Against these: the Host must be ours, an
Origin must be ours, and all but the style and script of the page want the key of this run, which only the
address printed on the terminal carries.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from email.message import Message
from hmac import compare_digest
from urllib.parse import parse_qsl, urlsplit

MOST_BYTES = 256 * 1024
MOST_FIELDS = 8  # of an address
KEY_HEADER = "X-Planewright-Key"


@dataclass(frozen=True)
class Refusal:
    """Why a request is not answered: status and words."""

    status: int
    words: str


def strangers(headers: Message, port: int) -> Refusal | None:
    """Refuse what was not sent by a page of ours, or not to us."""
    ours = [f"127.0.0.1:{port}", f"localhost:{port}"]
    if port == 80:
        ours += ["127.0.0.1", "localhost"]
    if _only(headers.get_all("Host")) not in ours:
        return Refusal(403, "this server answers to 127.0.0.1 and localhost alone")
    origins = headers.get_all("Origin")
    if origins is not None and _only(origins) not in [f"http://{name}" for name in ours]:
        return Refusal(403, "requests from other sites are refused")
    if headers.get("Sec-Fetch-Site", "none") not in ("none", "same-origin"):
        return Refusal(403, "requests from other sites are refused")
    return None


@dataclass(frozen=True)
class Target:
    """What a request asks for: the path of its address, and the fields behind the question mark."""

    path: str
    query: Mapping[str, str]


def target(address: str) -> Target | Refusal:
    """Return what an address asks for, or refuse one that nobody can read."""
    try:
        found = urlsplit(address)
        return Target(found.path, dict(parse_qsl(found.query, max_num_fields=MOST_FIELDS)))
    except ValueError:
        return Refusal(400, "this address cannot be read")


def without_key(given: str | None, key: str) -> Refusal | None:
    """Refuse whoever does not have the key of this run."""
    if given is not None and compare_digest(given.encode("utf-8", "replace"), key.encode()):
        return None
    return Refusal(403, "open the whole address that planewright printed: it carries the key of this run")


def body_length(headers: Message) -> int | Refusal:
    """Return how many bytes of JSON a request brings, or refuse it."""
    if headers.get("Transfer-Encoding") is not None:
        return Refusal(411, "send the length of the request")
    length = _only(headers.get_all("Content-Length"))
    if not (length.isascii() and length.isdigit() and len(length) < 12):
        return Refusal(411, "send the length of the request")
    if headers.get_content_type() != "application/json":
        return Refusal(415, "send application/json")
    if int(length) > MOST_BYTES:
        return Refusal(413, f"a request may hold {MOST_BYTES} bytes")
    return int(length)


def _only(values: Sequence[str] | None) -> str:
    """Return the value of a header that may be there once; two are as good as none."""
    return values[0].strip().lower() if values and len(values) == 1 else ""
