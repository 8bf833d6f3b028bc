"""Bare connections to the page's server, and what is sent on them."""

from __future__ import annotations

import json
import socket
import time

from held import PATIENCE

NEXT = json.dumps({"typed": "next"})


def soon(what) -> bool:
    """Whether it becomes true while a patient person waits."""
    until = time.monotonic() + PATIENCE
    while not what():
        if time.monotonic() > until:
            return False
        time.sleep(0.01)
    return True


def connect(held, receive: int | None = None) -> socket.socket:
    one = socket.socket()
    if receive:
        one.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, receive)
    one.settimeout(PATIENCE)
    one.connect(("127.0.0.1", held.port))
    return one


def raw(held, data: bytes) -> bytes:
    """All that comes back for these bytes."""
    found = b""
    with connect(held) as one:
        try:
            one.sendall(data)
            while piece := one.recv(4096):
                found += piece
        except ConnectionError:  # closed with some of our bytes unread
            pass
    return found
