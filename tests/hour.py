"""An evening in virtual time: a maker who asks something every now and then, for as long as a test likes.

Used with an ear that knows what is asked (tests/test_hour.py), and with the real one (tests/bench/bench_hour.py).
"""

from __future__ import annotations

import io
import resource
import sys
from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import cycle
from pathlib import Path

import numpy as np

from coach import fabric, notation
from coach.events import Save
from coach.guide.model import State
from coach.language.phrasebook import load
from coach.live import Paper
from coach.memory.journal import Journal
from coach.sound.model import HEARING_RATE, Ear
from coach.sound.mouth import EngineMouth
from coach.tape import TapeStage, TapeVoice
from coach.topics import Working

ROOT = Path(__file__).parents[1]
SEAL = fabric.work(notation.read((ROOT / "patterns/seal.md").read_text("utf-8")))
ASKED = ("next step", "next step", "count so far", "where am i", "next step", "undo that", "how many left", "next step",
         "go back one", "recap this round", "pause a moment", "carry on", "what is this stitch", "next step")
EVERY = 18.0  # seconds that the maker works between two requests


@dataclass(frozen=True, slots=True)
class Moment:
    """How it is after so many minutes: requests done, blocks that Python holds, the most memory so far in megabytes."""

    minutes: float
    done: int
    blocks: int
    peak: float


class Maker:
    """A source: the room's noise, and every EVERY seconds one of the clips, in turn. Patient while the coach speaks."""

    def __init__(self, clips: list[np.ndarray], minutes: float) -> None:
        self.over = False
        self.asked = 0
        self.samples = 0
        self._clips = cycle(clips)
        self._length = round(minutes * 60 * HEARING_RATE)
        self._noise = np.rint(np.random.default_rng(3).normal(0, 8, 10 * HEARING_RATE)).astype(np.int16)
        self._saying = np.zeros(0, np.int16)

    def next(self, seconds: float, speaking: bool) -> np.ndarray:
        if speaking:
            return self._noise[:0]
        size = round(seconds * HEARING_RATE)
        at = self.samples % (len(self._noise) - size)
        sound = self._noise[at : at + size].copy()
        if self.samples // round(EVERY * HEARING_RATE) > self.asked:
            self.asked += 1
            self._saying = next(self._clips)
        taken, self._saying = self._saying[:size], self._saying[size:]
        sound[: len(taken)] += taken
        self.samples += size
        self.over = self.samples >= self._length
        return sound


def evening(ear: Ear, clips: list[np.ndarray], minutes: float, folder: Path, every: float = 10.0) -> Iterator[Moment]:
    """Hold it, with a small cache of sentences. Gives a moment for each `every` minutes that the maker was heard, and the last one. Closes the ear."""
    maker, inbox, moments = Maker(clips, minutes), deque(), []
    voice = TapeVoice(EngineMouth("en-us", cached=8), folder / "coach.wav", inbox.append)
    with Journal.open(folder / "journal.db") as journal:
        work = journal.begin("Seal", SEAL.pattern.text, "seal.md")
        done = 0

        def keep(save: Save) -> tuple[str, ...]:
            nonlocal done
            done += 1
            journal.record(work, save.request, save.answer.state, save.heard, save.answer.said)
            return journal.news()

        def looked(heard: np.ndarray, said: np.ndarray) -> None:
            if maker.samples >= (len(moments) + 1) * every * 60 * HEARING_RATE:
                peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
                moments.append(Moment(maker.samples / HEARING_RATE / 60, done, sys.getallocatedblocks(), peak))

        class Nowhere(io.StringIO):
            def write(self, text: str) -> int:
                return len(text)

        stage = TapeStage(maker, ear, voice, Paper(Nowhere()), inbox, mixed=looked)
        stage.hold(Working(SEAL, load("en"), State()), keep)
        stage.close()
    yield from moments
