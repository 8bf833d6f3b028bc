"""Keys pressed in a real terminal (a pseudo-terminal pair), and the bytes that terminals send."""

from __future__ import annotations

import os
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.language.phrasebook import load
from coach.sound.keys import SEQUENCES, NoTerminal, PosixKeys, WindowsKeys, key_name, split_keys, terminal_keys

posix = pytest.mark.skipif(os.name != "posix", reason="no pseudo-terminals on this system")


@pytest.fixture
def terminal():
    """The two ends of a terminal: where keys are pressed, and where they are read."""
    pressed, read = os.openpty()
    yield pressed, read
    for descriptor in (pressed, read):
        try:
            os.close(descriptor)
        except OSError:
            pass


@posix
@pytest.mark.parametrize(("pressed", "names"), [
    (b" ", ["space"]),
    (b"n", ["n"]),
    (b"N", ["n"]),  # caps lock changes nothing
    (b"?+-<>", ["?", "+", "-", "<", ">"]),
    (b"\x7f", ["backspace"]),
    (b"\n", ["enter"]),
    (b"\x1b", ["escape"]),
    (b"\x1b[C", ["right"]),
    (b"\x1bOC", ["right"]),  # the same key in application mode
    (b"\x1b[H\x1b[1~", ["home", "home"]),
    (b"\x1bOQ\x1b[13~", ["f2", "f3"]),
    (b"\x1b[5~\x1b[6~", ["page up", "page down"]),
    (b"r\x1b[Dr", ["r", "left", "r"]),
    ("é".encode(), ["é"]),
    (b"\x1b\x1b[D", ["escape", "left"]),
])
def test_pressed_keys_have_names(terminal, pressed, names):
    with PosixKeys(terminal[1]) as keys:
        os.write(terminal[0], pressed)
        assert [keys.read(2) for _ in names] == names
        assert keys.read(0) is None


@posix
def test_no_enter_and_no_echo_are_needed(terminal):
    with PosixKeys(terminal[1]) as keys:
        os.write(terminal[0], b"r")
        assert keys.read(2) == "r"
        os.set_blocking(terminal[0], False)
        with pytest.raises(BlockingIOError):
            os.read(terminal[0], 10)  # nothing came back


@posix
@pytest.mark.parametrize("fault", [None, KeyboardInterrupt])
def test_the_terminal_is_put_back(terminal, fault):
    import termios

    before = termios.tcgetattr(terminal[1])
    try:
        with PosixKeys(terminal[1]):
            assert termios.tcgetattr(terminal[1]) != before
            if fault:
                raise fault
    except KeyboardInterrupt:
        pass
    assert termios.tcgetattr(terminal[1]) == before


@posix
def test_a_key_that_does_nothing_is_passed_over(terminal):
    with PosixKeys(terminal[1]) as keys:
        os.write(terminal[0], b"\x1b[15~\x01n")  # F5, Ctrl-A, n
        assert keys.read(2) == "n"


@posix
@pytest.mark.parametrize("end", ["hang up", "ctrl-d", "closed"])
def test_the_end_is_told(terminal, end):
    keys = PosixKeys(terminal[1])
    if end == "hang up":
        os.close(terminal[0])
    elif end == "ctrl-d":
        os.write(terminal[0], b"\x04")
    else:
        keys.close()
    with pytest.raises(EOFError):
        keys.read(2)
    keys.close()
    keys.close()


@posix
def test_a_pipe_is_no_terminal():
    read, write = os.pipe()
    with pytest.raises(NoTerminal, match="Type a request"):
        PosixKeys(read)
    os.close(read), os.close(write)


def test_no_terminal_behind_standard_input(monkeypatch, tmp_path):
    with open(tmp_path / "requests.txt", "w+") as lines:
        monkeypatch.setattr(sys, "stdin", lines)
        with pytest.raises(NoTerminal):
            terminal_keys()
    monkeypatch.setattr(sys, "stdin", None)
    with pytest.raises(NoTerminal):
        terminal_keys()


def test_every_key_of_the_phrasebook_can_be_pressed():
    can_be = {key_name(chr(code)) for code in range(128)} | set(SEQUENCES.values())
    assert set(load().keys) <= can_be


PIECES = st.lists(st.sampled_from([b"n", b" ", "ß".encode(), b"\x1b[C", b"\x1b[1;5C", b"\x1bOH", b"\x1b[3~", b"\x7f"]))


@given(PIECES, st.data())
def test_bytes_may_come_in_any_pieces(pieces, data):
    sent = b"".join(pieces)
    cuts = sorted(data.draw(st.lists(st.integers(0, len(sent)), max_size=5)))
    names, rest = [], b""
    for start, end in zip([0, *cuts], [*cuts, len(sent)]):
        found, rest = split_keys(rest + sent[start:end], more=True)
        names += found
    whole, left = split_keys(sent, more=False)
    assert (names, rest) == (whole, left) and left == b""


@given(st.binary(max_size=40))
def test_no_bytes_are_too_strange(sent):
    names, rest = split_keys(sent, more=False)
    assert rest == b"" and all(names)


class Console:
    """What Microsoft's console functions give for keys that were pressed."""

    def __init__(self, codes: str) -> None:
        self.codes = list(codes)

    def kbhit(self) -> bool:
        return bool(self.codes)

    def getwch(self) -> str:
        return self.codes.pop(0)


def test_a_windows_console():
    keys = WindowsKeys(Console("n \r\xe0M\x00K\x1b\x01?"))
    assert [keys.read(0) for _ in range(8)] == ["n", "space", "enter", "right", "left", "escape", "?", None]
    with pytest.raises(KeyboardInterrupt):
        WindowsKeys(Console("\x03")).read(0)
    with pytest.raises(EOFError):
        WindowsKeys(Console("\x1a")).read(0)
