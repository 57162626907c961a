"""The server: the loopback address, one request a connection, every refusal and slip answered as JSON."""

from __future__ import annotations

import logging
import socket
import threading
import time
from dataclasses import replace
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from secrets import token_urlsafe
from typing import Any

from cad.errors import CallError
from cad.serve.answers import ALWAYS, NOTHING, Answer, error
from cad.serve.desk import Desk
from cad.serve.guard import KEY_HEADER, MOST_BYTES, Refusal, body_length, strangers, target, without_key
from cad.serve.routes import fetched, open_files, posted

LOOPBACK = "127.0.0.1"
READ_S = 30.0  # in which a request must have arrived, and a browser have taken each part of its answer
READ_OFF_S = 1.0
MOST_AT_ONCE = 64
MOST_TOO_MUCH = 4 * MOST_BYTES  # read and thrown away, so that the sender gets to read the refusal

_log = logging.getLogger("planewright.serve")


class PageServer(ThreadingHTTPServer):
    """Serves one desk. `key` is the secret of this run, `address` what to open."""

    daemon_threads = True

    def __init__(self, desk: Desk, port: int) -> None:
        self.desk, self.key = desk, token_urlsafe(24)
        self._room = threading.BoundedSemaphore(MOST_AT_ONCE)
        try:
            super().__init__((LOOPBACK, port), Handler)
        except (OSError, OverflowError) as wrong:
            why = getattr(wrong, "strerror", None) or str(wrong)
            raise CallError(
                f"port {port} cannot be used: {why}. Leave --port out to get a free one"
            ) from wrong

    @property
    def port(self) -> int:
        return int(self.server_address[1])

    @property
    def address(self) -> str:
        return f"http://{LOOPBACK}:{self.port}/?key={self.key}"

    def process_request(self, request: Any, client_address: Any) -> None:
        """Answer in a thread of its own, or hang up while too many are at work."""
        if not self._room.acquire(blocking=False):
            self.shutdown_request(request)
            return
        super().process_request(request, client_address)

    def process_request_thread(self, request: Any, client_address: Any) -> None:
        try:
            super().process_request_thread(request, client_address)
        finally:
            self._room.release()

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Say on the terminal what went wrong with a connection; its other end has gone or had its answer."""
        _log.debug("a connection broke off", exc_info=True)


class Handler(BaseHTTPRequestHandler):
    """One request."""

    server: PageServer
    server_version, sys_version = "planewright", ""
    timeout = READ_S

    def setup(self) -> None:
        super().setup()
        # The socket's own timeout begins anew with every byte: this one ends a request that drips.
        self._late = threading.Timer(READ_S, self._hang_up)
        self._late.daemon = True
        self._late.start()

    def finish(self) -> None:
        self._late.cancel()
        super().finish()

    def do_GET(self) -> None:
        self._late.cancel()
        self._answer(self._got)

    def do_POST(self) -> None:
        self._answer(self._posted)

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        """Answer what the library refuses by itself, methods that are not served among it, as JSON."""
        status = 405 if code == 501 else code
        words = {405: "only GET and POST are served", 408: "the request took too long"}
        refused = error(status, words.get(status, "this is no request that can be answered"))
        self._send(replace(refused, headers={"Allow": "GET, POST"}) if status == 405 else refused)

    def log_message(self, format: str, *args: Any) -> None:
        """Keep the terminal for what matters."""

    def version_string(self) -> str:
        return self.server_version

    def _answer(self, answer: Any) -> None:
        try:
            made: Answer = answer()
        except (ConnectionError, TimeoutError):
            return  # nobody is there to be answered
        except Exception:
            _log.exception("%r went wrong", self.requestline.partition("?")[0])  # behind it is the key
            made = error(500, "something went wrong here; the terminal says what")
        self._send(made)

    def _got(self) -> Answer:
        asked = strangers(self.headers, self.server.port) or target(self.path)
        if isinstance(asked, Refusal):
            return _refused(asked)
        if asked.path in open_files():
            return open_files()[asked.path]()
        refusal = without_key(asked.query.get("key"), self.server.key)
        return _refused(refusal) if refusal else fetched(self.server.desk, asked.path, asked.query)

    def _posted(self) -> Answer:
        asked = self._asked()
        if isinstance(asked, Refusal):
            self._read_off()
            return _refused(asked)
        path, length = asked
        content = self.rfile.read(length)
        self._late.cancel()
        if len(content) < length:
            return error(400, "the request broke off")
        return posted(self.server.desk, path, content)

    def _asked(self) -> Refusal | tuple[str, int]:
        """Return where a request with a body is for, and how long the body is; or why it is refused."""
        asked = (
            strangers(self.headers, self.server.port)
            or without_key(self.headers.get(KEY_HEADER), self.server.key)
            or target(self.path)
        )
        if isinstance(asked, Refusal):
            return asked
        length = body_length(self.headers)
        return length if isinstance(length, Refusal) else (asked.path, length)

    def _read_off(self) -> None:
        """Read what a refused request brings, within limits: to hang up at once would lose the refusal."""
        claimed = self.headers.get("Content-Length", "")
        left = min(int(claimed), MOST_TOO_MUCH) if claimed.isdigit() and len(claimed) < 12 else 0
        until = time.monotonic() + READ_OFF_S
        self.connection.settimeout(READ_OFF_S)
        try:
            while left > 0 and time.monotonic() < until and (got := self.rfile.read1(min(left, 65536))):
                left -= len(got)
        except TimeoutError:
            left = 0  # it claimed more than it sends
        self.connection.settimeout(self.timeout)

    def _send(self, made: Answer) -> None:
        self._late.cancel()
        try:
            self.send_response(made.status)
            headers = {"Content-Security-Policy": NOTHING, **ALWAYS, **made.headers}
            for name, value in headers.items():
                self.send_header(name, value)
            self.send_header("Content-Type", made.kind)
            self.send_header("Content-Length", str(len(made.body)))
            self.end_headers()
            if self.command != "HEAD":
                self.wfile.write(made.body)
        except (ConnectionError, TimeoutError):
            self.close_connection = True  # the browser has turned to something newer

    def _hang_up(self) -> None:
        try:
            self.connection.shutdown(socket.SHUT_RDWR)
        except OSError:
            self.close_connection = True  # it was closed already


def _refused(refusal: Refusal) -> Answer:
    return error(refusal.status, refusal.words)
