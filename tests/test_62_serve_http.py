"""The server of the live page, asked as the page does and as others might. Statuses are those of RFC 9110."""

from __future__ import annotations

import hashlib
import io
import json
import queue
import socket
import threading
import time
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cad.serve.desk import Outcome
from tests.serving import GOOD, PATIENCE_S, Served, serving

POSTS = ("/read", "/look", "/model", "/save", "/make", "/nowhere")


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with serving(tmp_path_factory.mktemp("served")) as running:
        yield running


def test_page_comes_with_its_model_and_may_run_only_its_own_scripts(served: Served) -> None:
    page = served.get("/")
    assert page.status == 200 and page.headers["content-type"].startswith("text/html")
    assert b'id="live"' in page.body and b"hall-round" in page.body
    policy = page.headers["content-security-policy"]
    assert "default-src 'none'" in policy and "script-src 'self' 'sha256-" in policy
    assert "unsafe-inline" not in policy.split("script-src")[1].split(";")[0]
    assert served.server.key.encode() not in page.body
    for reply in (page, served.get("/live.js", key=False), served.get("/nowhere")):
        assert reply.headers["cache-control"] == "no-store"
        assert reply.headers["x-content-type-options"] == "nosniff"
        assert "access-control-allow-origin" not in reply.headers


def test_change_of_a_value_changes_text_checks_and_faults(served: Served) -> None:
    read = served.post("/read", {}).json()
    assert read["text"] == GOOD and read["digest"] == hashlib.sha256(GOOD.encode()).hexdigest()
    changed = served.post("/look", {"text": GOOD, "set": {"throat.mouth": "4"}}).json()
    assert changed["text"].startswith(GOOD.rstrip()) and "mouth = 4" in changed["text"]
    assert {c["id"] for c in changed["report"]["checks"] if c["level"] == "fail"} >= {"mouth.gap"}
    faulty = served.post("/look", {"text": GOOD, "set": {"sole.radius": "wide"}}).json()
    assert [(f["key"], f["line"]) for f in faulty["faults"]] == [("sole.radius", 5)]
    assert faulty["report"] is None
    assert served.file.read_text() == GOOD  # to look is not to save


def test_every_key_of_the_spec_has_a_field_given_or_worked_out(served: Served) -> None:
    from cad.soles import forms
    from cad.spec import keys

    fields = {f["key"]: f for f in served.post("/read", {}).json()["fields"]}
    assert list(fields) == [key.dotted for key in keys("round")]
    assert fields["sole.radius"]["written"] == "12" and fields["sole.form"]["choices"] == list(forms())
    height = fields["body.height"]
    assert height["written"] == "" and height["worked"] == "75 mm" and "usual height" in height["reason"]
    for key, field in fields.items():
        # What is measured at the bench is never worked out.
        measured = key.startswith("measured.") and "worked" not in field
        assert measured or field["written"] or (field["worked"] and field["reason"]), field


def test_another_form_brings_its_own_fields(served: Served) -> None:
    told = served.post("/look", {"text": GOOD, "set": {"sole.form": "ogee"}}).json()
    fields = {field["key"]: field for field in told["fields"]}
    assert "sole.fillet" in fields and "sole.arc" not in fields and fields["sole.width"]["required"]
    faults = {fault["key"]: fault["problem"] for fault in told["faults"]}
    assert "for the form ogee" in faults["sole.radius"] and "missing" in faults["sole.width"]


def test_looking_follows_the_value(served: Served) -> None:
    for mouth in ("5.2", "6.4"):
        told = served.post("/look", {"text": GOOD, "set": {"throat.mouth": mouth}})
        assert told.status == 200
        assert f"mouth = {mouth}" in told.json()["text"]


def test_model_follows_the_text_and_brings_fixtures_on_demand(served: Served) -> None:
    bare = served.post("/model", {"text": GOOD, "page": "a"}).json()
    assert bare["name"] == "hall-round" and not bare["fixtures"] and bare["geometry"]
    assert {"body", "iron", "wedge"} <= {item["name"] for item in bare["views"][0]["items"]}
    whole = served.post("/model", {"text": GOOD, "page": "a", "fixtures": True}).json()
    assert len(whole["fixtures"]) > 3
    faulty = served.post("/model", {"text": "name = 3", "page": "a"})
    assert faulty.status == 422 and faulty.json()["faults"]


def test_save_keeps_comments_and_refuses_what_is_stale_or_faulty(tmp_path: Path) -> None:
    with serving(tmp_path, GOOD.replace("\n", "\r\n")) as served:
        read = served.post("/read", {}).json()
        text = served.post("/look", {"text": read["text"], "set": {"sole.radius": "3/8 in"}}).json()["text"]
        saved = served.post("/save", {"text": text, "base": read["digest"]})
        assert saved.status == 200
        wanted = GOOD.replace("12           #", '"3/8 in"           #').replace("\n", "\r\n").encode()
        assert served.file.read_bytes() == wanted
        assert saved.json()["digest"] == hashlib.sha256(wanted).hexdigest()
        stale = served.post("/save", {"text": text.replace("hall", "well"), "base": read["digest"]})
        assert stale.status == 409 and stale.json()["changed"]
        faulty = served.post("/save", {"text": "name = 3", "base": saved.json()["digest"]})
        assert faulty.status == 422 and len(faulty.json()["faults"]) > 1
        assert served.file.read_bytes() == wanted
    assert [path.name for path in tmp_path.iterdir()] == ["spec.toml"]  # nothing else was written


def test_save_says_what_the_disk_refuses_and_leaves_the_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    with serving(tmp_path) as served:
        base = served.post("/read", {}).json()["digest"]
        monkeypatch.setattr("os.fsync", full)
        refused = served.post("/save", {"text": GOOD + "[wedge]\ntip_height = 20\n", "base": base})
        assert refused.status == 422 and "No space left" in refused.json()["error"]
    assert served.file.read_text() == GOOD and [path.name for path in tmp_path.iterdir()] == ["spec.toml"]


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1", "127.0.0.1:1", "localhost.evil.example:80", ""]
)
def test_another_host_is_refused(served: Served, host: str) -> None:
    for method, path in (("GET", f"/?key={served.server.key}"), ("GET", "/live.js"), ("POST", "/read")):
        headers = {**served.own, "Host": host, "Content-Type": "application/json"}
        assert served.ask(method, path, b"{}" if method == "POST" else None, headers).status == 403


def test_two_hosts_are_refused(served: Served) -> None:
    port = served.server.port
    told = served.raw(f"GET /live.js HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nHost: evil\r\n\r\n".encode())
    assert told.startswith(b"HTTP/1.0 403")


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "https://127.0.0.1:{port}", "http://127.0.0.1:1"]
)
def test_another_origin_is_refused(served: Served, origin: str) -> None:
    origin = origin.format(port=served.server.port)
    assert served.post("/read", {}, Origin=origin).status == 403
    assert served.post("/read", {}, **{"Sec-Fetch-Site": "cross-site"}).status == 403
    for name in ("127.0.0.1", "localhost"):
        assert served.post("/read", {}, Origin=f"http://{name}:{served.server.port}").status == 200


def test_without_the_key_nothing_of_the_makers_is_told_or_changed(served: Served) -> None:
    for key in ("", "x", served.server.key[:-1], "é"):
        header = {"X-Planewright-Key": key.encode().decode("latin-1")}
        for path in POSTS:
            assert served.post(path, {"text": "", "base": ""}, **header).status == 403
    for path in ("/", "/files", "/file?path=plane.step", "/zip", "/?key=", "/?key=x", "/nowhere"):
        assert served.get(path, key=False).status == 403
    assert served.file.read_text() == GOOD


def test_an_address_that_cannot_be_read_is_refused(served: Served, caplog: pytest.LogCaptureFixture) -> None:
    for address in ("http://[", "http://[::1/look", f"/?{'&'.join(['a=b'] * 9)}", f"/live.css?{'x=1&' * 40}"):
        for method, body in (("GET", None), ("POST", b"{}")):
            headers = {**served.own, "Content-Type": "application/json"}
            refused = served.ask(method, address, body, headers)
            assert refused.status == 400 and "address" in refused.json()["error"], address
    assert not caplog.text


def test_other_methods_kinds_and_sizes_are_refused(served: Served) -> None:
    for method in ("PUT", "DELETE", "OPTIONS", "TRACE", "CONNECT", "PATCH", "HEAD", "MAKE"):
        refused = served.ask(method, "/", headers=served.own)
        assert refused.status == 405 and refused.headers["allow"] == "GET, POST"
    assert served.post("/read", {}, **{"Content-Type": "text/plain"}).status == 415
    assert served.post("/read", {}, **{"Transfer-Encoding": "chunked"}).status == 411
    for length in ("-1", "x", "9" * 30, "1e3", ""):
        assert served.post("/read", {}, **{"Content-Length": length}).status == 411
    large = served.post("/look", {"text": "#" * (256 * 1024)})
    assert large.status == 413 and "262144" in large.json()["error"]
    claimed = served.post("/look", {}, **{"Content-Length": "99999999999"})
    assert claimed.status == 413


def test_what_is_no_call_is_refused_in_words(served: Served) -> None:
    wrong: list[Any] = [
        [], 3, "x", {}, {"text": 3}, {"text": "\ud800"}, {"text": "", "set": []},
        {"text": "", "set": {"a": 1}},
        {"text": "", "page": ""}, {"text": "", "page": "x" * 99}, {"base": "", "anyway": 1},
    ]  # fmt: skip
    for value in wrong:
        for path in ("/look", "/model", "/save", "/make"):
            reply = served.post(path, value)
            assert reply.status in (200, 400, 409, 422) and isinstance(reply.json(), dict)
    for content in (b"", b"{", b"\xff\xfe", b"[" * 100_000, b'{"text": 1' + b"0" * 9000 + b"}"):
        reply = served.ask("POST", "/look", content, {**served.own, "Content-Type": "application/json"})
        assert reply.status == 400 and "error" in reply.json()
    unknown = served.post("/look", {"text": GOOD, "set": {"sole.wobble": "3"}}).json()
    assert "sole.wobble" in unknown["refused"]


TRAVERSALS = [
    "/../spec.toml", "/file?path=../spec.toml", "/file?path=../../spec.toml", "/file?path=/etc/passwd",
    "/file?path=..%2F..%2Fspec.toml", "/file?path=%2e%2e/%2e%2e/spec.toml", "/file?path=parts", "/file?path=",
    "/file?path=.", "/file?path=plane.step%00", "/file", "/page/live.js", "/live.js/..",
    "/%2e%2e/%2e%2e/etc/passwd", "/live.js%00", "/routes.py",
]  # fmt: skip


def made_by_hand(to: Path) -> Path:
    """Fill out/hall-round as make would, with a manifest that also lists files that are not its own."""
    from cad.outputs.manifest import encoded

    folder = to / "hall-round"
    (folder / "parts").mkdir(parents=True)
    (folder / "plane.step").write_bytes(b"a plane")
    (folder / "parts" / "body.stl").write_bytes(b"a body")
    (folder / "secret").symlink_to(to.parent / "spec.toml")
    listed = ["plane.step", "parts/body.stl", "secret", "../../spec.toml", "/etc/passwd"]
    entries = [{"path": p, "part": "", "format": "", "size": 7, "sha256": "0" * 64} for p in listed]
    manifest = {
        "made_by": "planewright", "name": "hall-round", "spec_sha256": "", "versions": {}, "chord_mm": 0.01,
        "declined": [], "off_sheet": [], "files": entries,
    }  # fmt: skip
    (folder / "manifest.json").write_bytes(encoded(manifest))
    return folder


def test_only_files_of_this_plane_can_be_fetched(tmp_path: Path) -> None:
    with serving(tmp_path) as served:
        assert served.get("/files").json() == {"name": "hall-round", "files": []}
        assert served.get("/zip").status == 404
        made_by_hand(served.to)
        listed = [row["path"] for row in served.get("/files").json()["files"]]
        assert listed == ["plane.step", "parts/body.stl", "manifest.json"]
        body = served.get("/file?path=parts/body.stl")
        assert (
            body.body == b"a body" and 'filename="hall-round-body.stl"' in body.headers["content-disposition"]
        )
        with zipfile.ZipFile(io.BytesIO(served.get("/zip").body)) as archive:
            assert archive.testzip() is None
            assert sorted(archive.namelist()) == [
                "hall-round/manifest.json", "hall-round/parts/body.stl", "hall-round/plane.step",
            ]  # fmt: skip
        for path in [*TRAVERSALS, "/file?path=secret"]:
            reply = served.get(path)
            assert reply.status == 404, path
            assert b"for the hall" not in reply.body and b"root:" not in reply.body


def test_one_run_of_make_at_a_time(tmp_path: Path) -> None:
    entered, leave = threading.Event(), threading.Event()

    def slow(file: Path, to: Path, anyway: bool) -> Outcome:
        entered.set()
        assert leave.wait(PATIENCE_S)
        return Outcome(1, "a check fails")

    with serving(tmp_path, maker=slow) as served:
        base = served.post("/read", {}).json()["digest"]
        replies: list[Any] = []
        first = threading.Thread(target=lambda: replies.append(served.post("/make", {"base": base}).json()))
        first.start()
        assert entered.wait(PATIENCE_S)
        assert served.post("/make", {"base": base}).status == 503
        leave.set()
        first.join(PATIENCE_S)
        assert replies[0]["status"] == 1 and replies[0]["words"] == "a check fails"


def test_two_pages_at_once_each_get_their_newest(served: Served) -> None:
    """While the kernel has other work, each page asks three times: all but its last asking is told so."""
    outcomes: dict[str, queue.Queue[Any]] = {page: queue.Queue() for page in ("left", "right")}
    threads, free = [], threading.Event()

    def ask(page: str, radius: int) -> None:
        text = GOOD.replace("radius = 12 ", f"radius = {radius} ")
        reply = served.post("/model", {"text": text, "page": page, "fixtures": True})
        outcomes[page].put((reply.status, reply.json()))

    def begin(page: str, radius: int) -> None:
        threads.append(threading.Thread(target=ask, args=(page, radius)))
        threads[-1].start()

    served.server.desk.bench.ask("other", lambda step: free.wait(PATIENCE_S))
    try:
        for radius in (10, 11):
            for page in outcomes:
                begin(page, radius)
        # Whichever of its first two came first, a page's other one takes its place, and the third that one's.
        for last in (None, 13):
            for page, told in outcomes.items():
                if last:
                    begin(page, last)
                status, reply = told.get(timeout=PATIENCE_S)
                assert status == 409 and reply["superseded"]
    finally:
        free.set()
    for told in outcomes.values():
        status, reply = told.get(timeout=PATIENCE_S)
        assert status == 200 and "13 mm" in reply["lede"]["mm"]
    for thread in threads:
        thread.join(PATIENCE_S)


def test_a_slip_of_ours_is_told_without_its_traceback(
    served: Served, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def slip(*anything: object) -> None:
        raise RuntimeError("at /home/somebody")

    monkeypatch.setattr("cad.serve.desk.looked_at", slip)
    told = served.post("/look", {"text": GOOD})
    assert told.status == 500 and b"somebody" not in told.body and b"Traceback" not in told.body
    assert "at /home/somebody" in caplog.text  # the terminal says it


def test_a_request_that_drips_is_hung_up_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each byte comes long before the socket's own limit, and begins that anew."""
    with serving(tmp_path) as served:
        monkeypatch.setattr("cad.serve.server.READ_S", 0.3)
        with socket.create_connection(("127.0.0.1", served.server.port)) as plug, pytest.raises(OSError):
            until = time.monotonic() + PATIENCE_S
            while time.monotonic() < until:
                plug.sendall(b"G")
                time.sleep(0.1)
        monkeypatch.undo()
        assert served.post("/read", {}).status == 200


QUIET = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@QUIET
@given(path=st.sampled_from(POSTS), content=st.binary(max_size=300))
def test_any_body_is_answered_in_json(served: Served, path: str, content: bytes) -> None:
    reply = served.ask("POST", path, content, {**served.own, "Content-Type": "application/json"})
    assert reply.status in (200, 400, 404, 409, 422) and isinstance(reply.json(), dict)


@QUIET
@given(
    text=st.text(max_size=120),
    key=st.sampled_from(["sole.radius", "shop.abrasive.grits", "name"]),
    value=st.text(max_size=40),
)
def test_any_text_and_value_are_looked_at(served: Served, text: str, key: str, value: str) -> None:
    for whole in (text, GOOD + text):
        reply = served.ask(
            "POST", "/look", json.dumps({"text": whole, "set": {key: value}}).encode(),
            {**served.own, "Content-Type": "application/json"},
        )  # fmt: skip
        assert reply.status in (200, 400) and b"Traceback" not in reply.body


@QUIET
@given(content=st.binary(max_size=200))
def test_any_bytes_on_the_line_leave_the_server_up(served: Served, content: bytes) -> None:
    for sent in (
        content,
        b"GET " + content + b"\r\n\r\n",
        b"POST /look HTTP/1.1\r\n" + content + b"\r\n\r\n",
    ):
        told = served.raw(sent)
        assert not told or told.startswith((b"HTTP/1.0 4", b'{"error"')), told[:80]
    assert served.get("/live.css", key=False).status == 200
