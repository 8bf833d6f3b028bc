"""Who may ask through the page's server, and what is no request."""

from __future__ import annotations

import json

import pytest
from held import fetch
from sockets import NEXT, raw, soon

from coach.page import Page
from coach.page.limits import A_SECOND, BODY_BYTES

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
