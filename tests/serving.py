"""A page server in this process, and requests to it as a browser would or would not send them."""

from __future__ import annotations

import http.client
import json
import socket
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cad.serve.desk import Desk, Maker, Outcome
from cad.serve.server import PageServer

PATIENCE_S = 120.0  # for what takes a moment when nothing else is going on

GOOD = """\
# for the hall
name = "hall-round"   # its name
[sole]
form   = "round"      # convex
radius = 12           # of the old one
"""


@dataclass(frozen=True)
class Reply:
    status: int
    headers: Mapping[str, str]
    body: bytes

    def json(self) -> Any:
        return json.loads(self.body)


@dataclass(frozen=True)
class Served:
    """A running server with its file and folder."""

    server: PageServer
    file: Path
    to: Path

    @property
    def own(self) -> dict[str, str]:
        return {"Host": f"127.0.0.1:{self.server.port}", "X-Planewright-Key": self.server.key}

    def ask(
        self, method: str, path: str, body: bytes | None = None, headers: Mapping[str, str] | None = None
    ) -> Reply:
        """Send just these headers, with a Host of ours where none is given."""
        connection = http.client.HTTPConnection("127.0.0.1", self.server.port, timeout=PATIENCE_S)
        try:
            given = {"Host": f"127.0.0.1:{self.server.port}", **(headers or {})}
            connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
            for name, value in given.items():
                connection.putheader(name, value)
            if body is not None and "Content-Length" not in given:
                connection.putheader("Content-Length", str(len(body)))
            connection.endheaders(body)
            got = connection.getresponse()
            return Reply(got.status, {k.lower(): v for k, v in got.getheaders()}, got.read())
        finally:
            connection.close()

    def get(self, path: str, key: bool = True) -> Reply:
        joint = "&" if "?" in path else "?"
        return self.ask("GET", f"{path}{joint}key={self.server.key}" if key else path)

    def post(self, path: str, value: Any, **headers: str) -> Reply:
        """Send JSON as the page does, but for the headers given here."""
        sent = {**self.own, "Content-Type": "application/json", **headers}
        return self.ask("POST", path, json.dumps(value).encode(), sent)

    def raw(self, content: bytes) -> bytes:
        """Send bytes as they are and return all that comes back."""
        with socket.create_connection(("127.0.0.1", self.server.port), timeout=PATIENCE_S) as plug:
            plug.sendall(content)
            plug.shutdown(socket.SHUT_WR)
            got = b""
            while more := plug.recv(65536):
                got += more
        return got


def no_maker(file: Path, to: Path, anyway: bool) -> Outcome:
    raise AssertionError("nobody asked for files to be made")


@contextmanager
def serving(folder: Path, text: str = GOOD, maker: Maker = no_maker) -> Iterator[Served]:
    """Run a server on a spec with this text, its kernel in a thread of its own."""
    file, to = folder / "spec.toml", folder / "out"
    file.write_text(text, encoding="utf-8")
    desk = Desk(file, to, maker)
    with PageServer(desk, 0) as server:
        threads = [
            threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05}),
            threading.Thread(target=desk.bench.work),
        ]
        for thread in threads:
            thread.start()
        try:
            yield Served(server, file, to)
        finally:
            desk.bench.close()
            server.shutdown()
            for thread in threads:
                thread.join(PATIENCE_S)
