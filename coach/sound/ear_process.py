"""An ear in a process of its own. A recogniser computes for a tenth of a second without letting go of Python's lock;
in the coach's own process the loudspeaker would run dry meanwhile.

    feed(samples) ── bytes ──▶ child: the real ear ── utterances ──▶ feed's result

Whoever calls waits for the child, and lets other threads run. A child that died or hangs is replaced; what it was
hearing is lost. While it is busy a child gives a sign of life now and then, so a slow machine is not taken for a hung
ear.
"""

from __future__ import annotations

import multiprocessing
import signal
import threading
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from multiprocessing.connection import Connection
from typing import Any

import numpy as np

from coach.language.model import Grammar
from coach.sound.errors import EarError, SoundError
from coach.sound.model import HEARING_RATE, Ear, Utterance

START_SECONDS = 30.0  # for a child to load its model; a big one on a slow disk takes most of it
FEED_SECONDS = 10.0  # for the answer to one piece of sound; the recognisers need 0.3 at most
SILENT_SECONDS = 1.2  # without a sign of life from a busy child: it hangs
BEAT_SECONDS = 0.2  # between two signs of life
ANSWER, FAULT, BEAT = "answer", "fault", "beat"  # what a child sends
SECOND_TRY = 4.0  # times the patience with the child that takes its place


class EarProcess:
    """The ear that `open_ear` makes, in a child. To be used by one thread."""

    def __init__(self, open_ear: Callable[[], Ear]) -> None:
        """open_ear: must be picklable (a function of a module, a `functools.partial`). Raises EarError."""
        self._open_ear = open_ear
        self._grammar: Grammar | None = None
        self._fed = self._born = 0  # samples: in all, and before this child
        self._context = multiprocessing.get_context("spawn")  # the same on every system
        self._start()
        try:
            self.name = self._ask(("name",), START_SECONDS)
            self.fault = self._ask(("fault",), START_SECONDS)
        except (EOFError, OSError):
            self._kill()
            raise EarError("The speech recogniser does not start.", "Keys and typed requests work.") from None
        except EarError:
            self._kill()
            raise

    def listen_for(self, grammar: Grammar) -> None:
        """Replace what can be heard, from the next utterance on."""
        self._grammar = grammar
        self._try(("listen_for", grammar))

    def feed(self, samples: np.ndarray) -> list[Utterance]:
        """Take the next samples; give the utterances that ended in them. Raises EarError when no child stays alive."""
        found = self._since_the_first(self._try(("feed", samples)))
        self._fed += len(samples)
        return found

    def finish(self) -> list[Utterance]:
        """The recording is over: give what is left."""
        return self._since_the_first(self._try(("finish",)))

    def missing_words(self, grammar: Grammar) -> list[str]:
        """The words of a grammar that can't be heard."""
        return self._try(("missing_words", grammar))

    def learn(self, text: str, examples: Sequence[np.ndarray]) -> str:
        """Take a word of the maker's from its examples; gives why others are needed. Raises EarError."""
        return self._try(("learn", text, examples))

    def forget(self) -> str:
        """Forget the word that was learned last, and give its text."""
        return self._try(("forget",))

    def close(self) -> None:
        """End the child."""
        self._pipe.close()  # the child ends with it
        self._child.join(timeout=2)
        self._kill()

    def _since_the_first(self, utterances: list[Utterance]) -> list[Utterance]:
        """A child counts time from its own first sample."""
        before = self._born / HEARING_RATE
        return [replace(u, start=u.start + before, end=u.end + before) for u in utterances] if before else utterances

    def _start(self) -> None:
        self._born = self._fed
        self._pipe, theirs = self._context.Pipe()
        self._child = self._context.Process(target=_serve, args=(theirs, self._open_ear), name="ear", daemon=True)
        self._child.start()
        theirs.close()

    def _try(self, request: tuple) -> Any:
        for silent in (SILENT_SECONDS, SILENT_SECONDS * SECOND_TRY):
            try:
                return self._ask(request, FEED_SECONDS, silent)
            except (EOFError, OSError):
                self._replace()
        raise EarError("The speech recogniser stopped working.", "Keys and typed requests work. Start again to listen.")

    def _ask(self, request: tuple, seconds: float, silent: float | None = None) -> Any:
        """silent: the seconds within which a sign of life has to come (None: `seconds`)."""
        self._pipe.send(request)
        until, kind, answer = time.monotonic() + seconds, BEAT, None
        while kind == BEAT:
            left = until - time.monotonic()
            if left <= 0 or not self._pipe.poll(left if silent is None else min(silent, left)):
                raise EOFError
            kind, answer = self._pipe.recv()
        if kind == FAULT:
            raise EarError(*answer)
        return answer

    def _replace(self) -> None:
        self._kill()
        self._start()
        try:
            self._ask(("name",), START_SECONDS)
            if self._grammar is not None:
                self._ask(("listen_for", self._grammar), START_SECONDS)
        except (EOFError, OSError):
            pass  # the next try finds out

    def _kill(self) -> None:
        if self._child.is_alive():
            self._child.kill()
        self._child.join()
        self._pipe.close()


def _serve(pipe: Connection, open_ear: Callable[[], Ear]) -> None:
    """The child: answers (kind, result) to each request until its pipe is closed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the coach
    busy, sending = threading.Event(), threading.Lock()

    def tell(kind: str, what: object = None) -> None:
        with sending:
            pipe.send((kind, what))

    def beat() -> None:
        with suppress(OSError):  # the coach is gone
            while True:
                busy.wait()
                time.sleep(BEAT_SECONDS)
                if busy.is_set():
                    tell(BEAT)

    threading.Thread(target=beat, name="signs of life", daemon=True).start()
    ear: Ear | None = None
    with suppress(EOFError, OSError):  # the coach is gone
        while True:
            name, *arguments = pipe.recv()
            busy.set()
            try:
                ear = ear or open_ear()
                part = getattr(ear, name)
                answer = ANSWER, part(*arguments) if callable(part) else part
            except SoundError as fault:
                answer = FAULT, (fault.message, fault.hint)
            busy.clear()
            tell(*answer)
