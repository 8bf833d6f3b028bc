"""What the page's server answers, and to whom, over real sockets of this machine."""

from __future__ import annotations

import json
import socket
import time
from contextlib import ExitStack
from urllib.parse import urlsplit

import pytest
from held import PATIENCE, Held, choosing, fetch, free_port, working
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from coach.page import Page, PageError
from coach.page.limits import A_SECOND, BODY_BYTES, CONNECTIONS, REQUEST_BYTES, STREAMS

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


# ---- the page and its files


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("", "text/html"),
        ("page.css", "text/css"),
        ("page.js", "text/javascript"),
        ("chart.css", "text/css"),
        ("icon.svg", "image/svg+xml"),
        ("chart/0", "image/svg+xml"),
    ],
)
def test_each_file_comes_with_its_kind_and_every_safety_header(held, path, kind):
    assert held.watch().next()[0] == "state"
    status, headers, text = held.fetch(path)
    assert status == 200
    assert headers["Content-Type"] == f"{kind}; charset=utf-8"
    assert text
    policy = dict(part.strip().partition(" ")[::2] for part in headers["Content-Security-Policy"].split(";"))
    assert policy["default-src"] == policy["base-uri"] == policy["form-action"] == policy["frame-ancestors"] == "'none'"
    assert policy["script-src"] == policy["style-src"] == policy["connect-src"] == "'self'"
    assert policy["require-trusted-types-for"] == "'script'"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cache-Control"] == "no-store"
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "Set-Cookie" not in headers
    assert "Access-Control-Allow-Origin" not in headers
    assert "Python" not in headers["Server"]


def test_the_page_names_nothing_that_is_not_its_own_and_has_nothing_inline(held):
    _, _, page = held.fetch()
    assert "http" not in page
    assert "<style" not in page and "style=" not in page and "onclick" not in page
    assert page.count("<script") == page.count('<script src="page.js"') == 1
    assert "$" not in page
    for name in ("page.css", "page.js"):
        text = held.fetch(name)[2].replace("http://www.w3.org/2000/svg", "")
        assert "http:" not in text and "https:" not in text and "//cdn" not in text and "@import" not in text
    assert "innerHTML" not in held.fetch("page.js")[2]


@pytest.mark.parametrize(
    "path",
    [
        "page",
        "favicon.ico",
        "../pyproject.toml",
        "page.css/",
        "/etc/passwd",
        "//page.css",
        "chart/",
        "chart/1",
        "chart/-1",
        "chart/0/",
        "chart/٠",
        "chart/99999999",
        "chart/0x0",
        "%2e%2e/words.toml",
        "words.toml",
        "__init__.py",
    ],
)
def test_there_is_nothing_else(held, path):
    held.watch().next()
    line = path if path.startswith("/") else f"/{path}"
    answer = raw(held, f"GET {line} HTTP/1.1\r\nHost: 127.0.0.1:{held.port}\r\n\r\n".encode())
    if path == "//page.css":  # the same as /page.css
        assert answer.startswith(b"HTTP/1.1 200 ")
    else:
        assert answer.startswith(b"HTTP/1.1 404 ")
        assert b"Content-Security-Policy" in answer


def test_before_a_pattern_is_chosen_there_is_no_chart():
    with Held(choosing()) as held:
        assert held.watch().next()[1]["situation"] == "choosing"
        assert held.fetch("chart/0")[0] == 404


def test_a_chart_of_too_many_stitches_is_none():
    topic = working()
    from coach import fabric, notation

    topic.fabric = fabric.work(
        notation.read("Net\nRow 1: ch 6001, sc in 2nd ch from hook and in each ch across. (6000)\n")
    )
    with Held(topic) as held:
        assert held.watch().next()[1]["chart"] == 0
        assert held.fetch("chart/0")[0] == 404


def test_the_chart_has_no_style_of_its_own_which_the_policy_would_refuse(held):
    held.watch().next()
    status, _, svg = held.fetch("chart/0")
    assert status == 200
    assert "<style" not in svg and 'data-made="6"' in svg
    assert ".ahead .line" in held.fetch("chart.css")[2]


# ---- events


def test_the_latest_view_comes_at_once_and_each_new_one_as_it_is_said(held):
    events = held.watch()
    assert events.answer.headers["Content-Type"] == "text/event-stream; charset=utf-8"
    assert events.until("Mooring buoy.")["stitch"] == 0
    assert held.ask("next") == 202
    assert events.until("Round 1.")["of"] == 6
    late = held.watch()
    assert late.next()[1]["said"].startswith("Round 1.")


def test_when_the_coach_ends_every_page_is_told():
    with Held(working()) as held:
        events = held.watch()
        events.next()
    assert events.next()[0] == "over"
    with pytest.raises(ConnectionError):
        events.next()


def test_a_stream_with_nothing_new_beats_so_that_a_lost_one_is_noticed(held, monkeypatch):
    monkeypatch.setattr("coach.page.handler.LOOK_SECONDS", 0.05)
    events = held.watch()
    events.next()
    assert [events.answer.readline() for _ in range(3)] == [b"event: beat\n", b"data: {}\n", b"\n"]


def test_a_page_that_was_closed_gives_its_room_back(held, monkeypatch):
    monkeypatch.setattr("coach.page.handler.LOOK_SECONDS", 0.05)
    events = held.watch()
    events.next()
    assert held.page._server._open_streams == 1
    events.close()
    assert soon(lambda: held.page._server._open_streams == 0)


def test_a_page_that_takes_nothing_is_dropped_and_nobody_waits_for_it(held, monkeypatch):
    monkeypatch.setattr("coach.page.handler.ANSWER_SECONDS", 0.3)
    held.watch().next()
    slow = connect(held, receive=4096)
    slow.sendall(f"GET /events HTTP/1.1\r\nHost: 127.0.0.1:{held.port}\r\n\r\n".encode())
    server = held.page._server
    assert soon(lambda: server._open_streams == 2)
    large = json.dumps({"said": "x" * 2_000_000})
    held.page._board.lay(large)
    assert soon(lambda: server._open_streams == 1)  # the slow one; the other is only behind
    held.ask("next")
    quick = held.watch()
    assert quick.until("Round 1.")
    slow.close()


# ---- requests


def test_a_request_is_a_typed_line_of_the_conversation(held):
    events = held.watch()
    events.next()
    assert held.ask("Go to round 5") == 202
    assert events.until("Round 5.")["round"] == 5
    assert [(save.heard, save.request.name, save.request.value) for save in held.kept] == [
        ("Go to round 5", "go_round", 5)
    ]


def test_what_is_no_request_changes_nothing_and_says_so(held):
    events = held.watch()
    before = events.next()[1]
    assert held.ask("flurb") == 202
    after = events.next()[1]
    assert after["note"] == "I don't know that. Say help."
    assert after["place"] == before["place"]
    assert held.kept == []


@pytest.mark.parametrize(
    ("body", "status"),
    [
        ("", 400),
        ("{", 400),
        ("[]", 400),
        ("{}", 400),
        ('"next"', 400),
        ('{"typed": 5}', 400),
        ('{"typed": null}', 400),
        ('{"typed": ["next"]}', 400),
        ('{"typed": ""}', 400),
        ('{"typed": "  "}', 400),
        (r'{"typed": "next\nnext"}', 400),
        (r'{"typed": "\u001b[2J"}', 400),
        (r'{"typed": "\ud800"}', 400),
        (json.dumps({"typed": "n" * 201}), 400),
        ("[" * 1000, 400),
        (json.dumps({"typed": "n" * BODY_BYTES}), 413),
        (b"\xff\xfe\xff", 400),
    ],
)
def test_what_is_no_line_is_refused(held, body, status):
    held.watch().next()
    assert held.fetch("requests", "POST", body)[0] == status
    assert held.kept == []


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"Content_Type": "text/plain"}, 415),
        ({"Content_Type": "application/x-www-form-urlencoded"}, 415),
        ({"Content_Type": None}, 415),
        ({"Content_Length": "abc"}, 411),
        ({"Content_Length": "-5"}, 411),
        ({"Content_Length": "٥"}, 411),
        ({"Content_Length": "9" * 30}, 413),
        ({"Transfer_Encoding": "chunked"}, 411),
        ({"Origin": None}, 403),
        ({"Origin": "null"}, 403),
        ({"Origin": "http://harbour.example"}, 403),
        ({"Origin": "https://127.0.0.1"}, 403),
        ({"Host": "harbour.example"}, 403),
        ({"Host": None}, 403),
        ({"Sec_Fetch_Site": "cross-site"}, 403),
        ({"Sec_Fetch_Site": "same-site"}, 403),
    ],
)
def test_only_the_page_itself_may_ask(held, headers, status):
    held.watch().next()
    headers = {k: v.encode() if v and not v.isascii() else v for k, v in headers.items()}
    assert held.fetch("requests", "POST", NEXT, **headers)[0] == status
    assert held.kept == []


def test_a_page_of_another_port_of_this_machine_is_another(held):
    assert held.fetch("requests", "POST", NEXT, Origin=f"http://127.0.0.1:{held.port + 1}")[0] == 403
    assert held.fetch("requests", "POST", NEXT, Host="localhost:%d" % held.port)[0] == 403  # Host and Origin differ
    assert (
        held.fetch("requests", "POST", NEXT, Host="localhost:%d" % held.port, Origin="http://localhost:%d" % held.port)[
            0
        ]
        == 202
    )


@pytest.mark.parametrize(
    "host",
    ["harbour.example", "harbour.example:{port}", "127.0.0.1", "127.0.0.1:1", "", "127.0.0.1:{port}, harbour.example"],
)
@pytest.mark.parametrize("path", ["", "events", "chart/0", "page.js"])
def test_a_name_of_the_web_that_points_here_gets_nothing(held, host, path):
    """DNS rebinding: the browser would take our answers for those of the other page."""
    assert held.fetch(path, Host=host.format(port=held.port))[0] == 403


def test_two_hosts_are_none(held):
    lines = f"GET / HTTP/1.1\r\nHost: 127.0.0.1:{held.port}\r\nHost: 127.0.0.1:{held.port}\r\n\r\n"
    assert raw(held, lines.encode()).startswith(b"HTTP/1.1 403 ")


@pytest.mark.parametrize("path", ["events", "chart/0", "page.js"])
def test_another_page_can_neither_read_nor_embed(held, path):
    held.watch().next()
    assert held.fetch(path, Origin="http://harbour.example")[0] == 403
    assert held.fetch(path, Sec_Fetch_Site="cross-site", Sec_Fetch_Mode="no-cors")[0] == 403


def test_a_link_from_elsewhere_opens_the_page_and_nothing_else(held):
    link = {"Sec_Fetch_Site": "cross-site", "Sec_Fetch_Mode": "navigate"}
    assert held.fetch("", **link)[0] == 200
    assert held.fetch("events", **link)[0] == 403
    assert held.fetch("requests", "POST", NEXT, **link)[0] == 403


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "HEAD", "PATCH", "TRACE", "CONNECT", "next"])
def test_other_methods_are_unknown(held, method):
    status, headers, _ = held.fetch("requests", method, NEXT, Origin=f"http://127.0.0.1:{held.port}")
    assert status == 501
    assert "Access-Control-Allow-Origin" not in headers
    assert "Content-Security-Policy" in headers


def test_requests_are_posted_and_nothing_else_is(held):
    assert held.fetch("requests")[0] == 405
    assert held.fetch("events", "POST", NEXT)[0] == 404
    assert held.fetch("", "POST", NEXT)[0] == 404


def test_a_flood_of_requests_is_held_back(held):
    held.watch().next()
    got = [held.ask("count so far") for _ in range(3 * A_SECOND)]
    taken = got.count(202)
    assert set(got) <= {202, 429}
    assert taken >= A_SECOND
    assert soon(lambda: len(held.kept) == taken)


def test_while_no_conversation_is_held_a_request_is_not_taken():
    page = Page("127.0.0.1:0")
    try:
        assert fetch(page.url, "requests", "POST", NEXT)[0] == 503
        assert fetch(page.url)[0] == 200
    finally:
        page.close()


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
