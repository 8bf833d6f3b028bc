"""What all ears with a recogniser share: the gate in front, complete phrases only, and when an utterance is over.

    sound ─ quiet for SHORT_PAUSE ─▶ recognised once ─ a sure phrase that can't go on? ─▶ told at once
                     │                                └ any other ─▶ told when the gate's own pause is over
                     └ sound again: what was recognised is forgotten, the segment goes on

A recogniser that can tell while the sound goes on that a phrase has been said (`_said_so_far`) needs no quiet: the
segment is recognised then, and a sure phrase that can't go on is told at once. So a noisy room doesn't keep a request
waiting.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable, Sequence

import numpy as np

from coach.language.model import Grammar
from coach.sound.errors import EarError
from coach.sound.gate import Gate, GateSettings, Segment
from coach.sound.model import HEARING_RATE, Utterance
from coach.sound.phrases import Phrases

SHORT_PAUSE = 0.16
"""Seconds of quiet after which a segment is recognised. Stops inside words are shorter (p, t and k: up to 0.12)."""


REST = 0.5
"""Seconds of sound that are let pass by behind a phrase that was told before it was quiet: they may be its own end."""


class GatedEar(ABC):
    """An ear that recognises one gated segment after the other."""

    name = ""
    fault = ""

    def __init__(self, settings: GateSettings = GateSettings()) -> None:
        self._gate = Gate(settings)
        self._phrases = Phrases(Grammar(()))
        self._wanted: Grammar | None = None
        self._recognised = False  # the open segment, as far as it goes
        self._heard: Utterance | None = None  # in it

    def listen_for(self, grammar: Grammar) -> None:
        """Replace what can be heard, from the next utterance on."""
        self._wanted = grammar
        if not self._gate.is_open:
            self._take_grammar()

    def feed(self, samples: np.ndarray) -> list[Utterance]:
        """Take the next samples (16 kHz, int16, any number); give the utterances that ended in them."""
        return self._listen(self._gate.frames(samples))

    def finish(self) -> list[Utterance]:
        """The recording is over: give what is left."""
        found = self._listen(self._gate.last_frames())
        if (segment := self._gate.close()) is not None:
            self._end(segment, found)
        return found

    def restart(self) -> None:
        """Another recording begins: forget the sound of this one."""
        self._gate = Gate(self._gate.settings)
        self._recognised, self._heard = False, None
        self._take_grammar()

    def learn(self, text: str, examples: Sequence[np.ndarray]) -> str:
        """Raises EarError: a recogniser by itself learns no word."""
        raise EarError("This ear can't learn a word.", "Type it, like: my word onward means next.")

    def forget(self) -> str:
        """No word was learned."""
        return ""

    def close(self) -> None:
        """Give back what the ear holds."""

    def _listen(self, frames: Iterable[np.ndarray]) -> list[Utterance]:
        found: list[Utterance] = []
        for frame in frames:
            was_open = self._gate.is_open
            segment = self._gate.step(frame)
            if segment is not None:
                self._end(segment, found)
                continue
            said = self._said_so_far(frame, not was_open) if self._gate.is_open else ""
            goes_on = self._gate.quiet_for < SHORT_PAUSE
            if goes_on:
                self._recognised = False
                if not said or not self._is_over(said):
                    continue
            if not self._recognised:
                self._recognise(self._gate.so_far())
                if self._heard and self._heard.sure and self._is_over(self._heard.text):
                    self._end(self._gate.close(), found)
                    if goes_on:
                        self._gate.pass_by(REST)
        return found

    def _end(self, segment: Segment, found: list[Utterance]) -> None:
        if not segment.too_long:
            if not self._recognised:
                self._recognise(segment)
            if self._heard is not None:
                found.append(self._heard)
        self._recognised, self._heard = False, None
        self._take_grammar()

    def _recognise(self, segment: Segment) -> None:
        heard = self._hear(segment)
        self._heard = heard if heard is not None and heard.text in self._phrases else None
        self._recognised = True

    def _take_grammar(self) -> None:
        if self._wanted is not None:
            self._phrases, self._wanted = Phrases(self._prepare(self._wanted)), None

    def _is_over(self, text: str) -> bool:
        """Whether this is a complete phrase that can't go on."""
        return self._phrases.is_over(text)

    # ---- what a recogniser has to bring

    @abstractmethod
    def missing_words(self, grammar: Grammar) -> list[str]:
        """The words of a grammar that can't be heard, because the recogniser has no pronunciation for them."""

    @abstractmethod
    def _prepare(self, grammar: Grammar) -> Grammar:
        """Make the recogniser hear this; give what it can hear of it."""

    def _said_so_far(self, frame: np.ndarray, first: bool) -> str:
        """The phrase that has been said while the sound goes on, told once; "" for none. frame: of the open segment;
        first: it has just opened (`self._gate.so_far()` is what it begins with)."""
        return ""

    @abstractmethod
    def _hear(self, segment: Segment) -> Utterance | None:
        """The words of a whole segment."""


def spoken_part(segment: Segment, first: float, last: float) -> tuple[float, float]:
    """Start and end of words in seconds since the first sample fed; first, last: seconds since the segment's start."""
    length = len(segment.samples) / HEARING_RATE
    return segment.start + max(0.0, first), segment.start + min(length, last)
