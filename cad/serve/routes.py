"""What each address of the server does. There are no others, and none is ever taken for a path."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from cad.errors import KernelError, PlanewrightError, SpecError
from cad.serve.answers import Answer, as_download, as_json, as_page, error
from cad.serve.bench import BusyError, SupersededError
from cad.serve.desk import Desk
from cad.serve.form import fault_rows
from cad.serve.specfile import ChangedError

LONGEST_ID = 40
MOST_VALUES = 200
SCRIPTS = ("tools.js", "form.js", "live.js")  # in the order in which they build on each other

Query = Mapping[str, str]
Body = Mapping[str, Any]


class WrongBodyError(Exception):
    """A request whose JSON is not what its address wants; the words say what is."""


def open_files() -> Mapping[str, Callable[[], Answer]]:
    """Return what is served without the key of this run: nothing of the maker's."""
    return {
        "/live.css": lambda: Answer(200, _asset("live.css"), "text/css; charset=utf-8"),
        "/live.js": lambda: Answer(200, _script(), "text/javascript; charset=utf-8"),
        "/favicon.ico": lambda: Answer(204, b"", "image/x-icon"),
    }


def fetched(desk: Desk, path: str, query: Query) -> Answer:
    """Answer a GET that has the key."""
    name = desk.name() if path in ("/file", "/zip") else None
    if path == "/":
        return _page(desk)
    if path == "/files":
        return as_json(desk.files())
    if path == "/file" and name:
        wanted = query.get("path", "")
        data = desk.made.file(name, wanted)
        if data is not None:
            return as_download(data, f"{name}-{wanted.rpartition('/')[2]}")
    if path == "/zip" and name:
        data = desk.made.zipped(name)
        if data is not None:
            return as_download(data, f"{name}.zip")
    return error(404, "there is nothing at this address")


def posted(desk: Desk, path: str, content: bytes) -> Answer:
    """Answer a POST that has the key."""
    todo = _POSTS.get(path)
    if todo is None:
        return error(404, "there is nothing at this address")
    try:
        return as_json(todo(desk, _body(content)))
    except WrongBodyError as wrong:
        return error(400, str(wrong))
    except SupersededError:
        return error(409, "a newer change has taken its place", superseded=True)
    except ChangedError as changed:
        return error(409, str(changed), changed=True)
    except BusyError:
        return error(503, "the workshop is busy with an earlier request: try again in a moment")
    except SpecError as faulty:
        return error(422, "the spec has faults", faults=fault_rows(faulty.faults))
    except KernelError as failed:
        return error(422, f"the solids cannot be built: {failed}")
    except PlanewrightError as failed:
        return error(422, str(failed))


def _page(desk: Desk) -> Answer:
    try:
        model = desk.first_model("page")
    except (KernelError, SupersededError, BusyError):
        model = None
    if model is None:
        return as_page(_asset("bare.html"))
    from cad.review.page import review_html

    return as_page(review_html(model, live=True))


def _look(desk: Desk, body: Body) -> Mapping[str, Any]:
    return desk.look(_text(body, "text"), _written(body.get("set", {})))


def _model(desk: Desk, body: Body) -> Mapping[str, Any]:
    page = _text(body, "page")
    if not 0 < len(page) <= LONGEST_ID:
        raise WrongBodyError(f"'page' must be a text of 1 to {LONGEST_ID} characters")
    return desk.model(_text(body, "text"), f"page {page}", _flag(body, "fixtures"))


_POSTS: Mapping[str, Callable[[Desk, Body], Mapping[str, Any]]] = {
    "/read": lambda desk, body: desk.read(),
    "/look": _look,
    "/model": _model,
    "/save": lambda desk, body: desk.save(_text(body, "text"), _text(body, "base")),
    "/make": lambda desk, body: desk.make(_text(body, "base"), _flag(body, "anyway")),
}


def _body(content: bytes) -> Body:
    try:
        found = json.loads(content)
    except (ValueError, RecursionError) as wrong:
        raise WrongBodyError("the request is not JSON") from wrong
    if not isinstance(found, dict):
        raise WrongBodyError("the request is not a JSON object")
    return found


def _text(body: Body, name: str) -> str:
    value = body.get(name)
    if not isinstance(value, str):
        raise WrongBodyError(f"{name!r} must be a text")
    if any(0xD800 <= ord(letter) <= 0xDFFF for letter in value):
        raise WrongBodyError(f"{name!r} holds half a character")
    return value.replace("\r\n", "\n")


def _flag(body: Body, name: str) -> bool:
    value = body.get(name, False)
    if not isinstance(value, bool):
        raise WrongBodyError(f"{name!r} must be true or false")
    return value


def _written(values: Any) -> Mapping[str, str]:
    if not isinstance(values, dict) or len(values) > MOST_VALUES:
        raise WrongBodyError("'set' must be an object of keys and what is written in their fields")
    return {_text({"key": key}, "key"): _text(values, key) for key in values}


def _script() -> bytes:
    return b"\n".join(_asset(name) for name in SCRIPTS)


@cache
def _asset(name: str) -> bytes:
    return (files("cad.serve") / "page" / name).read_bytes()
