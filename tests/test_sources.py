"""Where requests come from: lines of a pipe, single keys of a terminal."""

from __future__ import annotations

import os
import queue

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.events import Pressed, Typed
from coach.guide.model import Request
from coach.language.phrasebook import load
from coach.sources import KeyLine, Lines, input_lines

ENGLISH = load("en")


def through_a_pipe(*pieces: bytes) -> list[str]:
    """The lines that come out when these pieces go in one after another."""
    read, write = os.pipe()
    lines = input_lines(read)
    for piece in pieces:
        os.write(write, piece)
    os.close(write)
    found = list(lines)
    os.close(read)
    return found


# ---- lines

@pytest.mark.parametrize("pieces, lines", [
    ([b"next\ncount\n"], ["next", "count"]),
    ([b"ne", b"xt\nco", b"unt"], ["next", "count"]),
    ([b"next\r\ncount\r\n"], ["next", "count"]),
    ([b"\n\nnext"], ["", "", "next"]),
    ([], []),
    (["möwe\n".encode()[:2], "möwe\n".encode()[2:]], ["möwe"]),
    ([b"\xff\n"], ["\ufffd"]),
])
def test_lines_come_out_whole_whatever_the_pieces(pieces, lines):
    assert through_a_pipe(*pieces) == lines


@given(st.binary(max_size=60), st.integers(0, 60))
def test_where_the_bytes_are_cut_changes_nothing(data, at):
    assert through_a_pipe(data[:at], data[at:]) == through_a_pipe(data)


def test_a_closed_standard_input_has_no_lines():
    read, write = os.pipe()
    os.close(write)
    os.close(read)
    assert list(input_lines(read)) == []


def test_lines_are_posted_and_their_end_is_told():
    inbox: queue.Queue = queue.Queue()
    source = Lines(iter(["next", "count"]))
    assert source.running
    source.start(inbox.put)
    assert [inbox.get(timeout=5) for _ in range(3)] == [Typed("next"), Typed("count"), None]
    assert not source.running


# ---- keys

def pressed(*keys: str):
    """Events and echo of these keys."""
    line, events, echo = KeyLine(ENGLISH), [], ""
    for key in keys:
        event, echoed = line.press(key)
        echo += echoed
        if event is not None:
            events.append(event)
    return events, echo


@pytest.mark.parametrize("key, request_", [
    ("space", Request("next")), ("n", Request("next")), ("right", Request("next")), ("left", Request("back")),
    ("?", Request("help")), ("escape", Request("stop")), ("3", Request("by", "round")), ("q", Request("finish")),
])
def test_a_key_is_a_request(key, request_):
    assert pressed(key) == ([Pressed(request_, key)], "")


def test_every_key_of_the_phrasebook_is_a_request_and_enter_is_none_of_them():
    for key in ENGLISH.keys:
        (event,), _ = pressed(key)
        assert isinstance(event, Pressed)
    assert "enter" not in ENGLISH.keys


def test_enter_begins_a_typed_line_and_sends_it():
    events, echo = pressed("enter", *"go to", "space", *"round", "space", "5", "enter", "space")
    assert events == [Typed("go to round 5"), Pressed(Request("next"), "space")]
    assert echo == ": go to round 5\n"


def test_a_typed_line_can_be_corrected_and_given_up():
    assert pressed("enter", *"nexx", "backspace", "t", "enter")[0] == [Typed("next")]
    assert pressed("enter", "backspace", "enter") == ([], ": \n")
    assert pressed("enter", *"undo", "escape", "b")[0] == [Pressed(Request("back"), "b")]


def test_a_letter_that_is_no_key_begins_a_typed_line():
    """Who types Korean without enter first is not told twice that a syllable is no request."""
    events, echo = pressed(*"다음", "enter", "n")
    assert events == [Typed("다음"), Pressed(Request("next"), "n")]
    assert echo == ": 다음\n"
    assert pressed("ö", "escape", "b") == ([Pressed(Request("back"), "b")], ": ö\n")


def test_arrows_are_no_letters_of_a_typed_line():
    assert pressed("enter", "n", "left", "home", "enter")[0] == [Typed("n")]


def test_a_key_that_means_nothing_is_answered_like_a_line_that_means_nothing():
    assert "§" not in ENGLISH.keys
    assert pressed("§")[0] == [Typed("§")]


@given(st.lists(st.sampled_from([*ENGLISH.keys, "enter", "$", "up", "ö"])))
def test_whatever_is_pressed_two_keys_further_the_maker_is_back_at_single_keys(keys):
    """Promise 5: nobody is trapped in a typed line."""
    line = KeyLine(ENGLISH)
    for key in keys:
        line.press(key)
    line.press("escape")
    assert line.press("n")[0] == Pressed(Request("next"), "n")
