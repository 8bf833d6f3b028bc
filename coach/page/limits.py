"""How much of everything the page's server lets anybody have."""

from __future__ import annotations

import io
import socket
import threading
import time
from collections import deque
from dataclasses import dataclass, field

CONNECTIONS = 24  # at once; what is more is refused
STREAMS = 12  # of these, browsers that look on: there is always room for requests
REQUEST_BYTES = 16_384  # line, headers and body of a request
REQUEST_SECONDS = 5.0  # for all of it to come
ANSWER_SECONDS = 10.0  # in which a browser must take what it is sent, or is dropped
BODY_BYTES = 1_024
LINE_CHARACTERS = 200  # of a typed request
A_SECOND = 20  # requests that are taken
LOOK_SECONDS = 2.0  # between two looks at a stream's browser when nothing is new
BUFFER_BYTES = 65_536  # that wait in the system for a browser that looks on
LAST_SECONDS = 1.0  # to tell the browsers that it is over


class TooLarge(Exception):
    """A request of too many bytes."""


class Bounded(io.RawIOBase):
    """What a connection sends, up to so many bytes and seconds. Raises TooLarge, TimeoutError."""

    def __init__(self, connection: socket.socket, most: int, seconds: float) -> None:
        self._connection = connection
        self._left = most
        self._until = time.monotonic() + seconds

    def readable(self) -> bool:
        return True

    def readinto(self, buffer) -> int:
        if not self._left:
            raise TooLarge
        seconds = self._until - time.monotonic()
        if seconds <= 0:
            raise TimeoutError
        self._connection.settimeout(seconds)
        count = self._connection.recv_into(memoryview(buffer)[: self._left])
        self._left -= count
        return count


@dataclass(slots=True)
class Rate:
    """Not more than so many in a second."""

    most: int
    _times: deque[float] = field(default_factory=deque)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def allows(self, now: float) -> bool:
        with self._lock:
            while self._times and self._times[0] <= now - 1:
                self._times.popleft()
            if len(self._times) >= self.most:
                return False
            self._times.append(now)
            return True
