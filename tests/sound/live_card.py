"""A whole live session over a simulated card, whose clock a test moves: real stage, real voice, real threads.

After each block of sound the session has done all that waited for it, so what is measured is measured in the samples of
the device, and a slow machine changes nothing.
"""

from __future__ import annotations

import io
import queue
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from simulated_card import LOUDSPEAKER, MICROPHONE, SimulatedCard

from coach import fabric, notation
from coach.attention import Attention
from coach.events import Save, TimePassed
from coach.language.phrasebook import load
from coach.live import Ended, LiveStage, Paper
from coach.sound.mouth import EngineMouth
from coach.sound.player import LivePlayer
from coach.sources import Lines, Listening
from coach.topics import Working
from coach.voices import PlayedVoice

ENGLISH = load("en")
BUOY = fabric.work(notation.read((Path(__file__).parents[2] / "patterns/buoy.md").read_text("utf-8")))
RATE = 48_000
BLOCK = 0.02  # seconds
PATIENCE = 60.0  # seconds of the real clock that a machine may take for what a test waits for


class Reached(TimePassed):
    """No time passes; it tells that the session has come to it."""

    def __init__(self) -> None:
        object.__setattr__(self, "flag", threading.Event())

    @property
    def seconds(self) -> float:
        self.flag.set()
        return 0.0


class Silent:
    """An ear that hears nothing."""

    name, fault = "silent", ""

    def listen_for(self, grammar) -> None: ...

    def feed(self, samples) -> list:
        return []

    finish = missing_words = lambda self, *_: []

    def close(self) -> None: ...


class Evening:
    """The session. `saved`: the requests that were done; `shown`: what was printed."""

    def __init__(self, monkeypatch, *, latency: float = 0.1, open_ear: Callable = Silent, attention: Attention | None = None,
                 figures=None) -> None:
        self.card = SimulatedCard(Webcam=MICROPHONE, Desk=LOUDSPEAKER)
        self.card.latency = latency
        monkeypatch.setitem(sys.modules, "sounddevice", self.card)
        self.now = 0.0
        self.inbox: queue.SimpleQueue = queue.SimpleQueue()
        self.out = io.StringIO()
        self.saved: list[Save] = []
        self.mouth = EngineMouth("en-us")
        self.mouth.say("Ready.")
        self.voice = PlayedVoice(self.mouth, lambda tell: LivePlayer(tell, clock=lambda: self.now), self.inbox.put, ENGLISH)
        self.ear = Listening(open_ear, ENGLISH, clock=lambda: self.now)
        self.topic = Working(BUOY, ENGLISH)
        self._typed: queue.SimpleQueue = queue.SimpleQueue()
        sources = [self.ear, Lines(iter(self._typed.get, None))]
        self.stage = LiveStage(self.inbox, self.voice, Paper(self.out), sources, attention, ear=self.ear, figures=figures)
        self.ended: Ended | None = None
        self._thread = threading.Thread(target=self._hold, daemon=True)
        self._thread.start()
        self.settle()  # it has begun to speak

    def _hold(self) -> None:
        self.ended = self.stage.hold(self.topic, self._keep)

    def _keep(self, save: Save) -> tuple[str, ...]:
        self.saved.append(save)
        return ()

    @property
    def shown(self) -> list[str]:
        return self.out.getvalue().splitlines()

    @property
    def asked(self) -> list[str]:
        return [save.request.name for save in self.saved]

    def post(self, event) -> None:
        """Something happens, and the session does all that it leads to."""
        self.inbox.put(event)
        self.settle()

    def type(self, line: str) -> None:
        """A typed line, and what it leads to."""
        done = len(self.saved)
        self._typed.put(line)
        self.until(lambda: len(self.saved) > done)
        self.settle()

    def settle(self) -> None:
        reached = Reached()
        self.inbox.put(reached)
        assert reached.flag.wait(PATIENCE), "the session hangs"

    def go_on(self, seconds: float, maker: np.ndarray | None = None, *, paced: bool = False) -> np.ndarray:
        """Time passes at the card; gives what is heard from the loudspeaker (RATE). maker: what the microphone hears;
        paced: no faster than it does elsewhere, where a real ear listens."""
        heard = [np.zeros(0, np.int16)]
        size = round(BLOCK * RATE)
        said = np.zeros(round(seconds / BLOCK) * size, np.int16)
        if maker is not None:
            said[: len(maker)] = maker[: len(said)]
        for at in range(0, len(said), size):
            self.card.hear(said[at : at + size, np.newaxis])
            heard.append(self.card.audible(BLOCK))
            self.now += BLOCK
            self.settle()
            if paced:
                time.sleep(BLOCK)
        return np.concatenate(heard)

    def until(self, what: Callable[[], bool], longest: float = 120.0) -> np.ndarray:
        """Time passes until something is so; the card waits where the real clock is needed (a process computes)."""
        heard, gone = [np.zeros(0, np.int16)], time.monotonic()
        while not what():
            heard.append(self.go_on(BLOCK))
            assert time.monotonic() - gone < longest, f"still not: {self.shown}"
            time.sleep(0.001)
        return np.concatenate(heard)

    def wait(self, what: Callable[[], bool]) -> None:
        """The card stands still until a process has done something."""
        gone = time.monotonic()
        while not what():
            self.settle()
            assert time.monotonic() - gone < PATIENCE, f"still not: {self.shown}"
            time.sleep(BLOCK)

    def until_quiet(self) -> None:
        self.until(lambda: not self.voice.speaking)
        self.go_on(0.4)

    def until_it_speaks(self) -> None:
        """Until the coach is heard, and has been for a while."""
        self.until(lambda: self.voice.speaking and bool(np.abs(self.card.audible(BLOCK)).max(initial=0) > 500))
        self.go_on(0.4)

    def close(self) -> None:
        self.card.freed.set()
        self._typed.put(None)
        self.voice.silence()
        self.ear.running = False
        for _ in range(500):  # the session ends when its last words are spoken
            self.inbox.put(None)
            self.card.audible(BLOCK)
            self.now += BLOCK
            self._thread.join(0.01)
            if not self._thread.is_alive():
                break
        self.stage.close()
        self.mouth.close()
