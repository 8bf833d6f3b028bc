"""The page's small web server: connections within limits, each answered in a thread of its own (`handler.py`)."""

from __future__ import annotations

import os
import socket
import socketserver
import threading
from collections.abc import Callable
from dataclasses import dataclass
from http.server import ThreadingHTTPServer

from coach.page.address import Address, PageError
from coach.page.board import Board
from coach.page.handler import Handler
from coach.page.limits import A_SECOND, CONNECTIONS, LAST_SECONDS, STREAMS, Rate


@dataclass(frozen=True, slots=True)
class Sheet:
    """A file of the page."""

    data: bytes
    kind: str


@dataclass(frozen=True, slots=True)
class Answerer:
    """What the server gives out. sheets: by name, the page itself is ""; chart: of a part, None where there is none;
    ask: takes a typed line, False where nobody does."""

    sheets: dict[str, Sheet]
    board: Board
    chart: Callable[[int], str | None]
    ask: Callable[[str], bool]


class Server(ThreadingHTTPServer):
    """Answers in threads of its own, one a connection."""

    daemon_threads = True
    block_on_close = False
    allow_reuse_address = os.name == "posix"  # elsewhere it would let another program listen at the same port

    def __init__(self, address: Address, secret: str, answerer: Answerer) -> None:
        """secret: the first part of every path, "" for none. Raises PageError."""
        self.address = address
        self.secret = secret
        self.answerer = answerer
        self.rate = Rate(A_SECOND)
        self.streams = threading.BoundedSemaphore(STREAMS)
        self._room = threading.BoundedSemaphore(CONNECTIONS)
        self._open_streams = 0
        self._stream_ended = threading.Condition()
        self.address_family = address.family
        try:
            super().__init__((address.host, address.port), Handler)
        except OSError as error:
            if address.fixed:
                raise PageError(
                    f"The page can't be at {address.name}:{address.port}: {error.strerror or error}.",
                    "Choose another port, or 0 for any that is free: --page-address 127.0.0.1:0",
                ) from None
            super().__init__((address.host, 0), Handler)
        self.port = int(self.server_address[1])

    def server_bind(self) -> None:
        socketserver.TCPServer.server_bind(self)  # without asking the network for our name

    def serve(self) -> None:
        threading.Thread(target=self.serve_forever, args=(0.1,), name="page", daemon=True).start()

    def close(self) -> None:
        """Tell the browsers, and end."""
        self.answerer.board.close()
        with self._stream_ended:
            self._stream_ended.wait_for(lambda: not self._open_streams, LAST_SECONDS)
        self.shutdown()
        self.server_close()

    # ---- connections

    def process_request(self, request, client_address) -> None:
        if not self._room.acquire(blocking=False):
            self._refuse(request)
            return
        try:
            super().process_request(request, client_address)
        except BaseException:
            self._room.release()
            raise

    def process_request_thread(self, request, client_address) -> None:
        try:
            super().process_request_thread(request, client_address)
        finally:
            self._room.release()

    def _refuse(self, request: socket.socket) -> None:
        request.setblocking(False)
        try:
            request.send(b"HTTP/1.1 503 Service Unavailable\r\nConnection: close\r\nContent-Length: 0\r\n\r\n")
        except OSError:
            pass
        self.shutdown_request(request)

    def handle_error(self, request, client_address) -> None:
        """A browser went away, or was dropped. Nothing of it concerns the maker."""

    def stream_began(self) -> None:
        with self._stream_ended:
            self._open_streams += 1

    def stream_ended(self) -> None:
        with self._stream_ended:
            self._open_streams -= 1
            self._stream_ended.notify_all()
