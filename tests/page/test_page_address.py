"""Addresses as a maker writes them, and which names are ours."""

from __future__ import annotations

import ipaddress
import socket

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.page.address import HOST, LETTERS, PORT, Address, PageError, address_of, host_and_port, new_secret


def test_where_nothing_is_asked_for_it_is_this_machine_alone_at_a_port_that_may_give_way():
    assert address_of(None) == Address(HOST, HOST, PORT, fixed=False)
    assert address_of(None).here_alone


@pytest.mark.parametrize(
    ("text", "host", "port"),
    [
        ("127.0.0.1:9000", "127.0.0.1", 9000),
        ("localhost:9000", "127.0.0.1", 9000),
        ("9000", "127.0.0.1", 9000),
        ("127.0.0.1", "127.0.0.1", PORT),
        ("0.0.0.0:9000", "0.0.0.0", 9000),
        ("0.0.0.0:0", "0.0.0.0", 0),
        ("[::1]:9000", "::1", 9000),
        ("::1", "::1", PORT),
        ("[::]:9000", "::", 9000),
    ],
)
def test_an_address_is_a_host_a_port_or_both(text, host, port):
    found = address_of(text)
    assert (found.host, found.port) == (host, port)
    assert found.here_alone == ipaddress.ip_address(host).is_loopback
    assert found.family == (socket.AF_INET6 if ":" in host else socket.AF_INET)


@pytest.mark.parametrize(
    "text",
    [
        "",
        ":",
        ":9000",
        "127.0.0.1:",
        "127.0.0.1:x",
        "127.0.0.1:99999",
        "99999",
        "127.0.0.1:-1",
        "http://127.0.0.1",
        "me@127.0.0.1:9000",
        "127.0.0.1:9000/x",
        "[::1",
        "lighthouse.invalid:9000",
        "a" * 300,
    ],
)
def test_what_is_none_is_told_with_what_one_looks_like(text):
    with pytest.raises(PageError) as error:
        address_of(text)
    assert error.value.message
    assert "127.0.0.1:8417" in error.value.hint


@pytest.mark.parametrize("header", ["127.0.0.1:9000", "localhost:9000", "LOCALHOST:9000"])
def test_this_machine_is_called_by_its_number_or_localhost(header):
    assert address_of("127.0.0.1:9000").names_us(header, 9000)


@pytest.mark.parametrize(
    "header",
    [
        None,
        "",
        "127.0.0.1",
        "127.0.0.1:9001",
        "localhost",
        "harbour.example:9000",
        "127.0.0.1.harbour.example:9000",
        "localhost.:9000",
        "127.0.0.2:9000",
        "[::1]:9000",
        "2130706433:9000",
        "192.168.1.5:9000",
        "user@127.0.0.1:9000",
        "127.0.0.1:9000/",
        "127.0.0.1:9000 ",
        "127.0.0.1:٩٠٠٠",
        "127.0.0.1:",
        "127.0.0.1:x",
    ],
)
def test_on_this_machine_alone_every_other_name_is_refused(header):
    assert not address_of("127.0.0.1:9000").names_us(header, 9000)


def test_for_other_devices_every_number_is_ours_and_no_name_but_this_machines_own():
    """A page of the web can give its name any number it likes (DNS rebinding), but a number no other meaning."""
    wide = address_of("0.0.0.0:9000")
    own = socket.gethostname().lower()
    assert wide.names_us("192.168.1.5:9000", 9000)
    assert wide.names_us(f"{own}:9000", 9000)
    assert wide.names_us(f"{own.partition('.')[0]}.local:9000", 9000)
    assert not wide.names_us("harbour.example:9000", 9000)
    assert not wide.names_us("localhost:9000", 9000)


def test_port_80_need_not_be_named():
    assert address_of("127.0.0.1:80").names_us("127.0.0.1", 80)
    assert not address_of("127.0.0.1:80").names_us("127.0.0.1", 8080)


def test_what_is_shown_is_what_a_browser_opens():
    assert address_of("9000").shown(9000, "") == "http://127.0.0.1:9000/"
    assert address_of("[::1]:9000").shown(9000, "") == "http://[::1]:9000/"
    assert address_of("9000").shown(9000, "abc") == "http://127.0.0.1:9000/abc/"


def test_for_every_address_of_this_machine_one_is_shown_that_leads_here():
    shown = address_of("0.0.0.0:9000").shown(9000, "abc")
    host, port = host_and_port(shown.removeprefix("http://").removesuffix("/abc/"))
    assert port == 9000
    assert ipaddress.ip_address(host).version == 4
    assert address_of("0.0.0.0:9000").names_us(f"{host}:{port}", 9000)


def test_a_secret_is_new_each_time_and_easy_to_copy_by_hand():
    found = {new_secret() for _ in range(500)}
    assert len(found) == 500
    assert set("".join(found)) == set(LETTERS)
    assert not set("01loi") & set(LETTERS)
    assert len(LETTERS) ** min(map(len, found)) > 2**75


@given(st.text())
def test_any_text_is_an_address_or_a_page_error(text):
    if any(c.isalpha() for c in text) and "localhost" not in text:
        return  # would be looked up in the network
    try:
        found = address_of(text)
    except PageError:
        return
    assert 0 <= found.port <= 65535
    assert ipaddress.ip_address(found.host)
