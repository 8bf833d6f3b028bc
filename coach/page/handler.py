"""What the page's server answers, and to whom: five kinds of answers, to nobody but the page itself.

    GET   (the page), page.css, page.js, chart.css, icon.svg
    GET   chart/N     the stitch chart of part N (from 0) as SVG; 404 where there is none
    GET   events      server-sent events: `state` with a view (see `view.py`), `beat` when nothing is new, `over` last
    POST  requests    {"typed": "next"}: 202, or why not: 400 no such line, 413 too long, 415 no JSON, 429 too many, 503
                      nobody takes it now

Everything lies under the secret path where there is one. 403: the request comes from elsewhere (`Host`, `Origin`); 404:
no such thing, or not the secret; 431: too many bytes; 503: too many connections.
"""

from __future__ import annotations

import io
import json
import select
import socket
import time
from collections.abc import Callable
from hmac import compare_digest
from http.server import BaseHTTPRequestHandler
from typing import TYPE_CHECKING

from coach.page.limits import (
    ANSWER_SECONDS,
    BODY_BYTES,
    BUFFER_BYTES,
    LINE_CHARACTERS,
    LOOK_SECONDS,
    REQUEST_BYTES,
    REQUEST_SECONDS,
    Bounded,
    TooLarge,
)

if TYPE_CHECKING:
    from coach.page.server import Server

HEADERS = {
    "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
    "connect-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'; "
    "require-trusted-types-for 'script'; trusted-types 'none'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
    "Cache-Control": "no-store",
    "Connection": "close",
}


class Refused(Exception):
    """A request that gets no more than a status and a sentence."""

    def __init__(self, status: int, why: str) -> None:
        super().__init__(why)
        self.status = status


class Handler(BaseHTTPRequestHandler):
    """One request of one connection."""

    server: Server
    protocol_version = "HTTP/1.1"
    command, request_version, requestline = "", "HTTP/1.1", ""  # until they are known

    def setup(self) -> None:
        super().setup()
        self.rfile = io.BufferedReader(Bounded(self.connection, REQUEST_BYTES, REQUEST_SECONDS))

    def handle(self) -> None:
        try:
            self.handle_one_request()
        except TooLarge:
            self.send_error(431)

    def do_GET(self) -> None:
        self._do(self._get)

    def do_POST(self) -> None:
        self._do(self._post)

    def _do(self, answer: Callable[[str], None]) -> None:
        try:
            name = self._name()
            self.connection.settimeout(ANSWER_SECONDS)
            answer(name)
        except Refused as refused:
            self._plain(refused.status, str(refused))

    # ---- who asks, and for what

    def _name(self) -> str:
        """What is asked for, without the secret. Raises Refused."""
        host = self.headers.get_all("Host", [])
        if len(host) != 1 or not self.server.address.names_us(host[0], self.server.port):
            raise Refused(403, "This is not the address of the page.")
        path, _, _ = self.path.partition("?")
        self._from_the_page(host[0], visiting=path.endswith("/"))
        if not path.startswith("/"):
            raise Refused(404, "There is nothing here.")
        if not self.server.secret:
            return path[1:]
        secret, slash, name = path[1:].partition("/")
        if not compare_digest(secret.encode(), self.server.secret.encode()):
            raise Refused(404, "There is nothing here. The coach says which address the page has.")
        return name if slash else "/"

    def _from_the_page(self, host: str, visiting: bool) -> None:
        """Only the page itself asks; anybody may open the page. Raises Refused."""
        origin = self.headers.get("Origin")
        if origin is None and self.command == "POST" or origin not in (None, f"http://{host}"):
            raise Refused(403, "Only the page itself may ask.")
        opened = visiting and self.command == "GET" and self.headers.get("Sec-Fetch-Mode") == "navigate"
        if self.headers.get("Sec-Fetch-Site", "none") not in ("same-origin", "none") and not opened:
            raise Refused(403, "Only the page itself may ask.")

    # ---- answers

    def _get(self, name: str) -> None:
        answerer = self.server.answerer
        if name == "/":
            self._plain(308, "The page has a slash at its end.", Location=f"/{self.server.secret}/")
        elif name in answerer.sheets:
            self._answer(200, answerer.sheets[name].data, answerer.sheets[name].kind)
        elif name == "events":
            self._stream()
        elif name == "requests":
            raise Refused(405, "Requests are posted.")
        else:
            self._answer(200, self._chart(name).encode(), "image/svg+xml")

    def _chart(self, name: str) -> str:
        number = name.removeprefix("chart/")
        known = name.startswith("chart/") and number.isdecimal() and number.isascii() and len(number) < 6
        drawn = self.server.answerer.chart(int(number)) if known else None
        if drawn is None:
            raise Refused(404, "There is nothing here.")
        return drawn

    def _post(self, name: str) -> None:
        if name != "requests":
            raise Refused(404, "There is nothing here.")
        line = self._line()
        if not self.server.rate.allows(time.monotonic()):
            raise Refused(429, "Too many requests at once.")
        if not self.server.answerer.ask(line):
            raise Refused(503, "The coach takes no requests now.")
        self._answer(202, b"", "text/plain")

    def _line(self) -> str:
        """The typed line of a request. Raises Refused."""
        length = self.headers.get("Content-Length", "")
        if "Transfer-Encoding" in self.headers or not (length.isdecimal() and length.isascii()):
            raise Refused(411, "A request says how long it is.")
        if len(length) > 6 or int(length) > BODY_BYTES:
            raise Refused(413, "The request is too long.")
        if self.headers.get_content_type() != "application/json":
            raise Refused(415, "A request is JSON.")
        try:
            asked = json.loads(self._body(int(length)))
        except (ValueError, RecursionError):
            raise Refused(400, "The request can't be read.") from None
        line = asked.get("typed") if isinstance(asked, dict) else None
        if not isinstance(line, str) or not line.strip() or len(line) > LINE_CHARACTERS or not line.isprintable():
            raise Refused(400, "A request is one line of text.")
        return line

    def _body(self, length: int) -> bytes:
        body = self.rfile.read(length)
        self.connection.settimeout(ANSWER_SECONDS)
        return body

    def _stream(self) -> None:
        """Every view as it comes, until the browser or the coach has gone."""
        if not self.server.streams.acquire(blocking=False):
            raise Refused(503, "Too many look on.")
        self.server.stream_began()
        try:
            self.connection.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, BUFFER_BYTES)
            self._head(200, "text/event-stream")
            board, number = self.server.answerer.board, 0
            while True:
                if found := board.after(number, LOOK_SECONDS):
                    number = found[0]
                    self._event("state", found[1])
                elif board.closed:
                    self._event("over", "{}")
                    return
                elif self._gone():
                    return
                else:
                    self._event("beat", "{}")
        finally:
            self.server.stream_ended()
            self.server.streams.release()

    def _event(self, name: str, data: str) -> None:
        self.wfile.write(f"event: {name}\ndata: {data}\n\n".encode())

    def _gone(self) -> bool:
        """Whether the browser has closed the connection."""
        readable, _, _ = select.select([self.connection], [], [], 0)
        return bool(readable) and not self.connection.recv(1, socket.MSG_PEEK)

    # ---- writing

    def _answer(self, status: int, body: bytes, kind: str, **more: str) -> None:
        self._head(status, kind, **{"Content_Length": str(len(body))} | more)
        self.wfile.write(body)

    def _head(self, status: int, kind: str, **more: str) -> None:
        self.send_response(status)
        for name, value in HEADERS.items():
            self.send_header(name, value)
        self.send_header("Content-Type", f"{kind}; charset=utf-8")
        for name, value in more.items():
            self.send_header(name.replace("_", "-"), value)
        self.end_headers()

    def _plain(self, status: int, text: str, **more: str) -> None:
        self._answer(status, f"{text}\n".encode(), "text/plain", **more)

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        """What http.server itself refuses; its message would repeat what came in, and is left out."""
        self.close_connection = True
        self.connection.settimeout(ANSWER_SECONDS)
        self._plain(code, self.responses.get(code, ("Error",))[0])

    def version_string(self) -> str:
        return "coach"

    def log_message(self, format: str, *args: object) -> None:
        """Nothing is written down of who looked."""
