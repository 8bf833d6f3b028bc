"""What all ears with a recogniser share: the gate in front, whole frames, complete phrases, and a new grammar only
between two utterances."""

from __future__ import annotations

from abc import ABC, abstractmethod

import numpy as np

from coach.language.model import Grammar
from coach.sound.gate import Gate, GateSettings, Segment
from coach.sound.model import HEARING_RATE, Utterance
from coach.sound.phrases import Phrases

SHORT_PAUSE = 0.16  # seconds of quiet that end a phrase which can't go on; any other waits for the gate's own pause


class GatedEar(ABC):
    """An ear that recognises one gated segment after the other."""

    name = ""

    def __init__(self, settings: GateSettings = GateSettings()) -> None:
        self._gate = Gate(settings)
        self._phrases = Phrases(Grammar(()))
        self._wanted: Grammar | None = None

    def listen_for(self, grammar: Grammar) -> None:
        """Replace what can be heard, from the next utterance on."""
        self._wanted = grammar

    def feed(self, samples: np.ndarray) -> list[Utterance]:
        """Take the next samples (16 kHz, int16, any number); give the utterances that ended in them."""
        found: list[Utterance] = []
        for frame in self._gate.frames(samples):
            self._step(frame, found)
        return found

    def finish(self) -> list[Utterance]:
        """The recording is over: give what is left."""
        found: list[Utterance] = []
        for frame in self._gate.last_frames():
            self._step(frame, found)
        if (segment := self._gate.close()) is not None:
            self._end(segment, found)
        return found

    def close(self) -> None:
        """Give back what the ear holds."""

    def _step(self, frame: np.ndarray, found: list[Utterance]) -> None:
        was_open = self._gate.is_open
        segment = self._gate.step(frame)
        if segment is not None:
            self._end(segment, found)
        elif self._gate.is_open:
            if not was_open:
                self._take_grammar()
                self._begin()
            self._follow(self._gate.taken() if not was_open else frame)
            if self._gate.quiet_for >= SHORT_PAUSE and self._phrases.is_over(self._so_far()):
                self._end(self._gate.close(), found)

    def _end(self, segment: Segment, found: list[Utterance]) -> None:
        heard = None if segment.too_long else self._recognise(segment)
        if heard is not None and heard.text in self._phrases:
            found.append(heard)

    def _take_grammar(self) -> None:
        if self._wanted is not None:
            self._phrases, self._wanted = Phrases(self._prepare(self._wanted)), None

    # ---- what a recogniser has to bring

    @abstractmethod
    def missing_words(self, grammar: Grammar) -> list[str]:
        """The words of a grammar that can't be heard, because the recogniser has no pronunciation for them."""

    @abstractmethod
    def _prepare(self, grammar: Grammar) -> Grammar:
        """Make the recogniser hear this; give what it can hear of it."""

    def _begin(self) -> None:
        """A segment begins."""

    def _follow(self, samples: np.ndarray) -> None:
        """The open segment goes on."""

    def _so_far(self) -> str:
        """The words of the open segment, as far as they can be told."""
        return ""

    @abstractmethod
    def _recognise(self, segment: Segment) -> Utterance | None:
        """The words of a whole segment."""


def spoken_part(segment: Segment, first: float, last: float) -> tuple[float, float]:
    """Start and end of words in seconds since the first sample fed; first, last: seconds since the segment's start."""
    length = len(segment.samples) / HEARING_RATE
    return segment.start + max(0.0, first), segment.start + min(length, last)
