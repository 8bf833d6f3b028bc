"""What the page's server gives: its files, the chart, and each new view."""

from __future__ import annotations

import json

import pytest
from held import Held, choosing, working
from sockets import connect, raw, soon

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
