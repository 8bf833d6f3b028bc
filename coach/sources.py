"""Where requests come from in a live session: lines, keys and the microphone, each in a thread of its own.

A source posts events into the inbox, and None once when nothing more will come from it.
"""

from __future__ import annotations

import os
import queue
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Protocol, TextIO

from coach.events import Event, Forget, Learn, Notice, Pressed, Typed
from coach.guide.model import Message
from coach.language.model import Grammar
from coach.language.phrasebook import Phrasebook
from coach.language.speak import sentence
from coach.language.understand import for_key

if TYPE_CHECKING:
    from coach.sound.model import Ear

Post = Callable[[Event | None], None]
KEY_SECONDS = 0.2  # between two looks whether the session is over
CHUNK = 4096  # bytes read from standard input at once


class Source(Protocol):
    """One way for requests to come in."""

    running: bool

    def start(self, post: Post) -> None:
        """Begin; events go to `post`, from any thread."""

    def listen_for(self, grammar: Grammar) -> None:
        """What can be said now."""

    def look(self) -> None:
        """Notice what changed by itself; called a few times a second."""

    def close(self) -> None:
        """End, and give back what is held."""


def input_lines(descriptor: int = 0) -> Iterator[str]:
    """The lines of standard input, as they come. Reads the descriptor itself: a thread that waits in `sys.stdin` would
    hold a lock that the interpreter needs to end."""
    rest = b""
    while data := _read(descriptor):
        *lines, rest = (rest + data).split(b"\n")
        for line in lines:
            yield line.decode("utf-8", "replace").removesuffix("\r")
    if rest:
        yield rest.decode("utf-8", "replace")


def _read(descriptor: int) -> bytes:
    try:
        return os.read(descriptor, CHUNK)
    except OSError:  # standard input is closed, or the terminal is gone
        return b""


class Lines:
    """Typed lines."""

    def __init__(self, lines: Iterator[str]) -> None:
        self.running = True
        self._lines = lines

    def start(self, post: Post) -> None:
        def read() -> None:
            for line in self._lines:
                post(Typed(line))
            self.running = False
            post(None)

        threading.Thread(target=read, name="lines", daemon=True).start()

    def listen_for(self, grammar: Grammar) -> None: ...

    def look(self) -> None: ...

    def close(self) -> None: ...


class KeyLine:
    """Keys one by one: each stands for a request, until a typed line is begun: by enter, or by a letter of Hangul and
    other scripts, which is no key. Gives events and what to echo."""

    def __init__(self, phrasebook: Phrasebook) -> None:
        self._phrasebook = phrasebook
        self._line: str | None = None  # what has been typed of a line

    def press(self, key: str) -> tuple[Event | None, str]:
        """What a key leads to, and the text to echo."""
        if self._line is None:
            if key == "enter":
                self._line = ""
                return None, ": "
            request = for_key(self._phrasebook, key)
            if request is None and len(key) == 1 and key.isalpha() and not key.isascii():
                self._line = key
                return None, f": {key}"
            return (Pressed(request, key) if request else Typed(key)), ""
        match key:
            case "enter":
                line, self._line = self._line, None
                return (Typed(line) if line.strip() else None), "\n"
            case "escape":
                self._line = None
                return None, "\n"
            case "backspace":
                gone = self._line[-1:]
                self._line = self._line[:-1]
                return None, "\b \b" if gone else ""
            case "space":
                key = " "
        if len(key) > 1:  # an arrow key and the like
            return None, ""
        self._line += key
        return None, key


class Keys:
    """Single keys of the terminal, and typed lines among them."""

    def __init__(self, phrasebook: Phrasebook, echo: TextIO) -> None:
        """Raises NoTerminal."""
        from coach.sound.keys import terminal_keys

        self.running = True
        self._line = KeyLine(phrasebook)
        self._echo = echo
        self._keys = terminal_keys()
        self._thread: threading.Thread | None = None

    def start(self, post: Post) -> None:
        def read() -> None:
            try:
                while self.running:
                    if (key := self._keys.read(KEY_SECONDS)) is not None:
                        event, echoed = self._line.press(key)
                        print(echoed, end="", file=self._echo, flush=True)
                        if event is not None:
                            post(event)
            except EOFError:
                self.running = False
                post(None)

        self._thread = threading.Thread(target=read, name="keys", daemon=True)
        self._thread.start()

    def listen_for(self, grammar: Grammar) -> None: ...

    def look(self) -> None: ...

    def close(self) -> None:
        self.running = False
        if self._thread is not None:
            self._thread.join(timeout=1)
        self._keys.close()


class Listening:
    """The microphone with an ear behind it."""

    def __init__(
        self,
        open_ear: Callable[[], Ear],
        phrasebook: Phrasebook,
        device: str | None = None,
        clock: Callable[[], float] = time.monotonic,
        cleaned: Callable[[Any], Any] = lambda samples: samples,
    ) -> None:
        """device: part of the microphone's name; cleaned: what the ear gets of the microphone's samples, in PortAudio's
        thread. Raises what opening a microphone or an ear raises."""
        from coach.ears import Ears
        from coach.sound.microphone import Microphone

        self.running = True
        self._phrasebook = phrasebook
        self._clock = clock
        self._heard: queue.SimpleQueue[Any] = (
            queue.SimpleQueue()
        )  # (when, samples), a grammar, a word to learn ..., None at the end
        self._told: queue.SimpleQueue[Any] = queue.SimpleQueue()

        def give(samples: Any) -> None:
            self._heard.put((clock(), cleaned(samples)))

        self._microphone = Microphone(give, self._told.put, device, clock)
        try:
            self._ears = Ears(open_ear())  # after the microphone: without one no model has to be loaded
        except BaseException:
            self._microphone.close()
            raise
        self._missing: set[str] = set()  # words that can't be heard
        self.ear = self._ears.ear.name
        self.fault = self._ears.ear.fault
        self._thread: threading.Thread | None = None
        self._post: Post = lambda event: None

    @property
    def device(self) -> str:
        """The microphone's name."""
        return self._microphone.device.name

    def start(self, post: Post) -> None:
        self._post = post
        self._thread = threading.Thread(target=self._listen, name="ear", daemon=True)
        self._thread.start()

    def listen_for(self, grammar: Grammar) -> None:
        self._heard.put(grammar)  # the ear is used by its own thread alone

    def perform(self, action: Learn | Forget) -> None:
        """What the ear shall learn or forget; comes back as an event."""
        self._heard.put(action)

    def look(self) -> None:
        from coach.sound.stream import DeviceLost

        self._microphone.look()
        while not self._told.empty():
            lost = isinstance(self._told.get(), DeviceLost)
            text = sentence(self._phrasebook, [Message("microphone_lost" if lost else "microphone_back")])
            self._post(Notice(text, "microphone lost" if lost else None))

    def _listen(self) -> None:
        from coach.sound.errors import SoundError

        try:
            while (item := self._heard.get()) is not None:
                match item:
                    case Grammar():
                        self._listen_for(item)
                    case Learn() | Forget():
                        self._post(self._ears.perform(item))
                    case (came, samples):
                        for heard in self._ears.feed(samples):
                            self._post(replace(heard, began=heard.began + self._clock() - came))
        except SoundError as fault:
            self.running = False
            self._post(Notice(str(fault)))

    def _listen_for(self, grammar: Grammar) -> None:
        """Words that the recogniser has no sound for are told once."""
        self._ears.listen_for(grammar)
        missing = [word for word in self._ears.ear.missing_words(grammar) if word not in self._missing]
        self._missing.update(missing)
        if missing:
            self._post(Notice(sentence(self._phrasebook, [Message("cant_hear", {"words": ", ".join(missing)})])))

    def close(self) -> None:
        self._microphone.close()
        self._heard.put(None)
        if self._thread is not None:
            self._thread.join(timeout=2)
        self._ears.ear.close()
