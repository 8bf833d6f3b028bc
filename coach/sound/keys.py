"""Single keys of a terminal, by name: "n", "?", "space", "enter", "left", "escape". A foot pedal is a keyboard too.

    with terminal_keys() as keys:            # the terminal is put back as it was at the end, also after an error
        name = keys.read(timeout=0.1)        # None: no key yet; EOFError: the terminal is gone

One small interface, one class for each family of operating systems. Ctrl-C keeps its meaning.
"""

from __future__ import annotations

import os
import sys
import time
from typing import Protocol, Self

ESCAPE_SECONDS = 0.05  # a lone escape is told from the start of an arrow key by what follows within this time
POLL_SECONDS = 0.02  # how often Windows is asked; it has no waiting for a console with a time limit
HIGHEST_SEQUENCE = 16  # bytes; what is longer is no key

PLAIN = {
    " ": "space",
    "\r": "enter",
    "\n": "enter",
    "\t": "tab",
    "\x7f": "backspace",
    "\x08": "backspace",
    "\x1b": "escape",
}
# What terminals send after escape: ECMA-48 cursor keys, and the numbered and function keys of DEC's VT220 and xterm.
SEQUENCES = {
    "[A": "up",
    "[B": "down",
    "[C": "right",
    "[D": "left",
    "[H": "home",
    "[F": "end",
    "OA": "up",
    "OB": "down",
    "OC": "right",
    "OD": "left",
    "OH": "home",
    "OF": "end",
    "OM": "enter",
    "[1~": "home",
    "[7~": "home",
    "[4~": "end",
    "[8~": "end",
    "[2~": "insert",
    "[3~": "delete",
    "[5~": "page up",
    "[6~": "page down",
    "OP": "f1",
    "OQ": "f2",
    "OR": "f3",
    "OS": "f4",
    "[11~": "f1",
    "[12~": "f2",
    "[13~": "f3",
    "[14~": "f4",
}
# The second code of a special key in Microsoft's console functions (`_getwch`).
WINDOWS = {
    "H": "up",
    "P": "down",
    "M": "right",
    "K": "left",
    "G": "home",
    "O": "end",
    "R": "insert",
    "S": "delete",
    "I": "page up",
    "Q": "page down",
    ";": "f1",
    "<": "f2",
    "=": "f3",
    ">": "f4",
}


class Keys(Protocol):
    """Keys as they are pressed, until closed. To be used by one thread."""

    def read(self, timeout: float) -> str | None:
        """The next key's name, or None when there was none for `timeout` seconds. Raises EOFError at the end."""

    def close(self) -> None:
        """Put the terminal back as it was."""

    def __enter__(self) -> Self: ...

    def __exit__(self, *fault: object) -> None: ...


class NoTerminal(Exception):
    """Keys can't be read one by one here; the text is a sentence for the maker."""


def terminal_keys() -> Keys:
    """Keys of standard input. Raises NoTerminal where it is a file or a pipe: read lines there."""
    try:
        descriptor = sys.stdin.fileno()
    except (AttributeError, OSError, ValueError):
        descriptor = -1
    if descriptor < 0 or not os.isatty(descriptor):
        raise NoTerminal("Single keys need a terminal. Type a request and press enter.")
    return WindowsKeys() if os.name == "nt" else PosixKeys(descriptor)


def key_name(character: str) -> str | None:
    """The name of a key that gives one character: itself in lower case, or its name; None for other control codes."""
    if character in PLAIN:
        return PLAIN[character]
    return character.lower() if character.isprintable() else None


def split_keys(data: bytes, more: bool) -> tuple[list[str], bytes]:
    """The names of the keys in what a terminal sent, and the bytes that may be the beginning of one.

    more: further bytes may still follow; without them a lone escape is the escape key.
    """
    names: list[str] = []
    while data:
        name, length = _first_key(data, more)
        if not length:
            break
        if name:
            names.append(name)
        data = data[length:]
    return names, data


def _first_key(data: bytes, more: bool) -> tuple[str | None, int]:
    """The first key's name (None: no key) and its length in bytes (0: not all of it is there)."""
    if data[:1] == b"\x1b":
        return _escape_key(data, more)
    for length in range(1, min(4, len(data)) + 1):  # UTF-8 has at most four bytes
        try:
            return key_name(data[:length].decode()), length
        except UnicodeDecodeError:
            continue
    return (None, 0) if more and len(data) < 4 else (None, 1)


def _escape_key(data: bytes, more: bool) -> tuple[str | None, int]:
    if len(data) == 1:
        return (None, 0) if more else ("escape", 1)
    if data[1:2] not in (b"[", b"O"):
        return "escape", 1
    for at in range(2, min(len(data), HIGHEST_SEQUENCE)):
        if 0x40 <= data[at] <= 0x7E:  # the final byte of a sequence (ECMA-48, 5.4)
            return SEQUENCES.get(data[1 : at + 1].decode("latin-1")), at + 1
    if more and len(data) < HIGHEST_SEQUENCE:
        return None, 0
    return "escape", 1


class PosixKeys:
    """Keys of a POSIX terminal: no waiting for enter, no echo."""

    def __init__(self, descriptor: int) -> None:
        """descriptor: of a terminal. Raises NoTerminal."""
        import termios
        import tty

        self._descriptor = descriptor
        try:
            self._before = termios.tcgetattr(descriptor)
            tty.setcbreak(descriptor, termios.TCSANOW)
        except termios.error:
            raise NoTerminal("Single keys need a terminal. Type a request and press enter.") from None
        self._open = True
        self._names: list[str] = []
        self._rest = b""

    def read(self, timeout: float) -> str | None:
        until = time.monotonic() + timeout
        while not self._names:
            wait = ESCAPE_SECONDS if self._rest else max(0.0, until - time.monotonic())
            if data := self._more(wait):
                self._names, self._rest = split_keys(self._rest + data, more=True)
            elif self._rest:
                self._names, self._rest = split_keys(self._rest, more=False)
            else:
                return None
        return self._names.pop(0)

    def _more(self, wait: float) -> bytes:
        """What came within `wait` seconds. Raises EOFError."""
        import select

        if not self._open:
            raise EOFError
        try:
            ready, _, _ = select.select([self._descriptor], [], [], wait)
            data = os.read(self._descriptor, 256) if ready else None
        except OSError:
            raise EOFError from None
        if data in (b"", b"\x04"):  # hung up, or Ctrl-D
            raise EOFError
        return data or b""

    def close(self) -> None:
        import termios

        if self._open:
            self._open = False
            try:
                termios.tcsetattr(self._descriptor, termios.TCSADRAIN, self._before)
            except (termios.error, OSError):
                pass  # the terminal is gone, and nothing is left to put back

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *fault: object) -> None:
        self.close()


class WindowsKeys:
    """Keys of a Windows console. (Not tried on Windows; its logic is tested with a console made of Python.)"""

    def __init__(self, console: object | None = None) -> None:
        """console: an object with `kbhit` and `getwch`; the system's own by default."""
        if console is None:
            import msvcrt as console
        self._console = console
        self._open = True

    def read(self, timeout: float) -> str | None:
        until = time.monotonic() + timeout
        while True:
            if not self._open:
                raise EOFError
            if self._console.kbhit():
                if name := self._name():
                    return name
            elif time.monotonic() >= until:
                return None
            else:
                time.sleep(min(POLL_SECONDS, max(0.0, until - time.monotonic())))

    def _name(self) -> str | None:
        character = self._console.getwch()
        if character in ("\x00", "\xe0") and self._console.kbhit():  # alone, 0xE0 is the letter à
            return WINDOWS.get(self._console.getwch())
        if character == "\x03":
            raise KeyboardInterrupt
        if character in ("\x04", "\x1a"):
            raise EOFError
        return key_name(character)

    def close(self) -> None:
        self._open = False

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *fault: object) -> None:
        self.close()
