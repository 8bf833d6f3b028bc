"""An ear in a process of its own. A recogniser computes for a tenth of a second without letting go of Python's lock;
in the coach's own process the loudspeaker would run dry meanwhile.

    feed(samples) ── bytes ──▶ child: the real ear ── utterances ──▶ feed's result

Whoever calls waits for the child, and lets other threads run. A child that died is replaced; what it was hearing is lost.
"""

from __future__ import annotations

import multiprocessing
import signal
from collections.abc import Callable
from multiprocessing.connection import Connection

import numpy as np

from coach.language.model import Grammar
from coach.sound.errors import EarError, SoundError
from coach.sound.model import Ear, Utterance

START_SECONDS = 30.0  # for a child to load its model; a big one on a slow disk takes most of it
FEED_SECONDS = 10.0  # for the answer to one piece of sound; the recognisers need 0.3 at most
TRIES = 2  # children that may fail one after another


class EarProcess:
    """The ear that `open_ear` makes, in a child. To be used by one thread."""

    def __init__(self, open_ear: Callable[[], Ear]) -> None:
        """open_ear: must be picklable (a function of a module, a `functools.partial`). Raises EarError."""
        self._open_ear = open_ear
        self._grammar: Grammar | None = None
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
        return self._try(("feed", samples))

    def finish(self) -> list[Utterance]:
        """The recording is over: give what is left."""
        return self._try(("finish",))

    def missing_words(self, grammar: Grammar) -> list[str]:
        """The words of a grammar that can't be heard."""
        return self._try(("missing_words", grammar))

    def close(self) -> None:
        """End the child."""
        self._pipe.close()  # the child ends with it
        self._child.join(timeout=2)
        self._kill()

    def _start(self) -> None:
        self._pipe, theirs = self._context.Pipe()
        self._child = self._context.Process(target=_serve, args=(theirs, self._open_ear), name="ear", daemon=True)
        self._child.start()
        theirs.close()

    def _try(self, request: tuple) -> list:
        for _ in range(TRIES):
            try:
                return self._ask(request, FEED_SECONDS)
            except (EOFError, OSError):
                self._replace()
        raise EarError("The speech recogniser stopped working.", "Keys and typed requests work. Start again to listen.")

    def _ask(self, request: tuple, seconds: float):
        self._pipe.send(request)
        if not self._pipe.poll(seconds):
            raise EOFError
        failed, answer = self._pipe.recv()
        if failed:
            raise EarError(*answer)
        return answer

    def _replace(self) -> None:
        self._kill()
        self._start()
        try:
            self._ask(("name",), START_SECONDS)
            if self._grammar is not None:
                self._ask(("listen_for", self._grammar), FEED_SECONDS)
        except (EOFError, OSError):
            pass  # the next try finds out

    def _kill(self) -> None:
        if self._child.is_alive():
            self._child.kill()
        self._child.join()
        self._pipe.close()


def _serve(pipe: Connection, open_ear: Callable[[], Ear]) -> None:
    """The child: answers (failed, result) to each request until its pipe is closed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the coach
    ear: Ear | None = None
    while True:
        try:
            name, *arguments = pipe.recv()
        except EOFError:
            return
        try:
            ear = ear or open_ear()
            part = getattr(ear, name)
            pipe.send((False, part(*arguments) if callable(part) else part))
        except SoundError as fault:
            pipe.send((True, (fault.message, fault.hint)))
        except OSError:
            return  # the coach is gone
