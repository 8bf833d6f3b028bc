"""How much a connection may send, and how often it may ask."""

from __future__ import annotations

import io
import socket

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.page.limits import Bounded, Rate, TooLarge


@pytest.fixture
def pair():
    ours, theirs = socket.socketpair()
    with ours, theirs:
        yield ours, theirs


def test_what_is_sent_comes_whole_up_to_the_limit(pair):
    ours, theirs = pair
    theirs.sendall(b"x" * 100)
    theirs.close()
    assert io.BufferedReader(Bounded(ours, 101, 20)).read() == b"x" * 100


def test_one_byte_more_is_too_large_and_what_came_before_was_read(pair):
    ours, theirs = pair
    theirs.sendall(b"GET / HTTP/1.1\r\n" + b"x" * 100)
    reader = io.BufferedReader(Bounded(ours, 50, 20))
    assert reader.readline() == b"GET / HTTP/1.1\r\n"
    with pytest.raises(TooLarge):
        reader.read(100)


def test_time_is_counted_over_all_pieces(pair):
    ours, theirs = pair
    theirs.sendall(b"a")
    bounded = Bounded(ours, 100, 0.2)
    assert bounded.read(1) == b"a"
    with pytest.raises(TimeoutError):
        bounded.read(1)
    theirs.sendall(b"b")
    with pytest.raises(TimeoutError):
        bounded.read(1)


def test_so_many_in_a_second_and_then_again():
    rate = Rate(3)
    assert [rate.allows(now) for now in (0.0, 0.1, 0.2, 0.3, 0.9, 1.05, 1.06)] == [
        True,
        True,
        True,
        False,
        False,
        True,
        False,
    ]


@given(st.lists(st.integers(0, 80), max_size=200), st.integers(1, 5))
def test_no_second_has_more_than_its_share(eighths, most):
    rate = Rate(most)
    taken = [now for now in (n / 8 for n in sorted(eighths)) if rate.allows(now)]
    assert all(sum(start <= t < start + 1 for t in taken) <= most for start in taken)
