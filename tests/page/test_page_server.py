"""The page's server for other devices, its limits and its ports, over real sockets of this machine."""

from __future__ import annotations

import socket
from contextlib import ExitStack
from urllib.parse import urlsplit

import pytest
from held import Held, fetch, free_port, working
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sockets import NEXT, connect, raw, soon

from coach.page import Page, PageError
from coach.page.limits import CONNECTIONS, REQUEST_BYTES, STREAMS

# ---- a secret for other devices


@pytest.fixture
def wide():
    with Held(working(), "0.0.0.0:0") as one:
        one.here = f"http://127.0.0.1:{one.port}{urlsplit(one.url).path}"
        yield one


def test_for_other_devices_everything_lies_under_a_secret(wide):
    secret = urlsplit(wide.url).path.strip("/")
    assert len(secret) == 16
    assert fetch(wide.here)[0] == 200
    assert fetch(wide.here, "page.js")[0] == 200
    for path in (
        "/",
        "/events",
        "/page.js",
        "/requests",
        "/chart/0",
        f"/{secret[:-1]}/",
        f"/{secret}x/events",
        "/" + secret.upper() + "/",
        "/é/",
    ):
        lines = f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{wide.port}\r\n\r\n".encode()
        assert raw(wide, lines).startswith(b"HTTP/1.1 404 "), path
    assert fetch(wide.here, "/requests", "POST", NEXT)[0] == 404
    assert fetch(wide.here, "requests", "POST", NEXT)[0] == 202
    assert soon(lambda: [save.heard for save in wide.kept] == ["next"])


def test_a_secret_without_its_slash_leads_to_the_page(wide):
    path = urlsplit(wide.url).path
    status, headers, _ = fetch(wide.here, path.rstrip("/"))
    assert (status, headers["Location"]) == (308, path)


def test_each_run_has_another_secret_and_this_machine_alone_needs_none(wide, held):
    assert urlsplit(held.url).path == "/"
    with Held(working(), "0.0.0.0:0") as again:
        assert urlsplit(again.url).path != urlsplit(wide.url).path


def test_the_address_that_is_told_is_the_one_that_answers(wide):
    if urlsplit(wide.url).hostname == "0.0.0.0":
        pytest.skip("this machine is in no network")
    assert wide.url in wide.page.told
    assert fetch(wide.url)[0] == 200


# ---- limits


def test_too_many_bytes_of_headers_are_refused(held):
    start = f"GET / HTTP/1.1\r\nHost: 127.0.0.1:{held.port}\r\nX-Long: ".encode()
    answer = raw(held, start + b"x" * (REQUEST_BYTES - len(start)))
    assert answer.startswith(b"HTTP/1.1 431 ")
    answer = raw(
        held,
        f"GET / HTTP/1.1\r\nHost: 127.0.0.1:{held.port}\r\n{'A: b' + chr(13) + chr(10)}".encode()
        + b"B: c\r\n" * 200
        + b"\r\n",
    )
    assert answer.startswith(b"HTTP/1.1 431 ")


def test_who_never_ends_a_request_is_dropped(held, monkeypatch):
    monkeypatch.setattr("coach.page.handler.REQUEST_SECONDS", 0.2)
    with connect(held) as one:
        one.sendall(b"GET / HT")
        assert one.recv(100) == b""
    with connect(held) as one:
        one.sendall(
            f"POST /requests HTTP/1.1\r\nHost: 127.0.0.1:{held.port}\r\nOrigin: http://127.0.0.1:{held.port}\r\n"
            "Content-Type: application/json\r\nContent-Length: 20\r\n\r\n{".encode()
        )
        assert one.recv(100) == b""
    assert held.kept == []


def test_more_connections_than_there_is_room_for_are_refused_and_room_comes_back(held):
    with ExitStack() as stack:
        for _ in range(CONNECTIONS):
            stack.enter_context(connect(held))
        assert soon(lambda: raw(held, b"").startswith(b"HTTP/1.1 503 "))
    assert soon(lambda: held.fetch()[0] == 200)


def test_those_who_look_on_leave_room_for_requests(held):
    watching = [held.watch() for _ in range(STREAMS)]
    assert {one.answer.status for one in watching} == {200}
    assert held.watch().answer.status == 503
    assert held.ask("next") == 202
    assert [one.until("Round 1.")["of"] for one in watching] == [6] * STREAMS


def test_a_second_request_on_the_same_connection_is_not_read(held):
    """So no body can be taken for the beginning of another request."""
    host = f"Host: 127.0.0.1:{held.port}\r\n"
    sneaked = (
        f"POST /requests HTTP/1.1\r\n{host}Origin: http://127.0.0.1:{held.port}\r\nContent-Type: application/json\r\n"
        f"Content-Length: {len(NEXT)}\r\n\r\n{NEXT}"
    )
    answer = raw(held, f"GET / HTTP/1.1\r\n{host}Connection: keep-alive\r\n\r\n{sneaked}".encode())
    assert answer.count(b"HTTP/1.1 ") <= 1
    assert held.ask("where am i") == 202
    assert soon(lambda: held.kept)
    assert [save.request.name for save in held.kept] == ["where"]


_LINE = st.text(st.characters(codec="latin-1", exclude_characters="\r\n"), max_size=40)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.one_of(
        st.binary(max_size=400),
        st.builds(
            lambda lines, body: "\r\n".join([*lines, "", body]).encode("latin-1"), st.lists(_LINE, max_size=6), _LINE
        ),
        st.builds(
            lambda name, value: (
                f"POST /requests HTTP/1.1\r\nContent-Type: application/json\r\nContent-Length: {len(NEXT)}\r\n"
                f"{name}: {value}\r\n\r\n{NEXT}".encode("latin-1")
            ),
            st.sampled_from(["Host", "Origin", "X"]),
            _LINE,
        ),
    )
)
def test_whatever_comes_in_the_page_stays_and_nothing_is_asked_for(held, data):
    with connect(held) as one:
        one.sendall(data)
        one.shutdown(socket.SHUT_WR)
        try:
            while one.recv(4096):
                pass
        except ConnectionError:
            pass
    assert held.fetch()[0] == 200
    assert held.kept == []


# ---- ports


def test_a_port_that_is_taken_is_told_where_it_was_asked_for(held):
    with pytest.raises(PageError) as error:
        Page(f"127.0.0.1:{held.port}")
    assert str(held.port) in error.value.message
    assert "--page-address" in error.value.hint


def test_where_none_was_asked_for_another_is_found(monkeypatch):
    port = free_port()
    monkeypatch.setattr("coach.page.address.PORT", port)
    first, second = Page(None), Page(None)
    try:
        assert urlsplit(first.url).port == port
        assert urlsplit(second.url).port != port
        assert fetch(second.url)[0] == 200
    finally:
        first.close()
        second.close()
    again = Page(f"127.0.0.1:{port}")  # given back at once
    again.close()
