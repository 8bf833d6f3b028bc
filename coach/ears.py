"""An ear and what it is fed with: what it hears, how long ago that began, and the sounds that a word is taught with."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coach.events import Forget, Forgotten, Heard, Learn, Learned, Sound
from coach.language.model import Grammar
from coach.sound.errors import EarError
from coach.sound.gate import Gate
from coach.sound.model import HEARING_RATE, Ear, Utterance


class Ears:
    """An ear that is fed by a source, and tells a conversation in its own events."""

    def __init__(self, ear: Ear) -> None:
        self.ear = ear
        self.fed = 0  # samples
        self._gate: Gate | None = None  # while sounds are wanted
        self._since = 0  # samples fed before its first

    def listen_for(self, grammar: Grammar) -> None:
        """What can be said now."""
        self.ear.listen_for(grammar)
        if not grammar.sounds:
            self._gate = None
        elif self._gate is None:
            self._gate, self._since = Gate(), self.fed

    def feed(self, samples: np.ndarray) -> list[Heard | Sound]:
        """What was heard by the end of these samples."""
        self.fed += len(samples)
        return [*self._told(self.ear.feed(samples)), *self._sounds(samples)]

    def finish(self) -> list[Heard]:
        """What was left."""
        return self._told(self.ear.finish())

    def perform(self, action: Learn | Forget) -> Learned | Forgotten:
        """What a conversation wants the ear to learn or to forget, and what came of it."""
        try:
            if isinstance(action, Forget):
                return Forgotten(self.ear.forget())
            fault = self.ear.learn(action.meaning, action.sounds)
        except EarError as told:
            meaning = action.meaning if isinstance(action, Learn) else ""
            return Learned(meaning, str(told))
        return Learned(action.meaning, fault, again=bool(fault))

    def _told(self, utterances: list[Utterance]) -> list[Heard]:
        now = self.fed / HEARING_RATE
        return [Heard(u.text, u.sure, u.confidence, began=now - u.start, lasted=u.end - u.start) for u in utterances]

    def _sounds(self, samples: np.ndarray) -> Iterator[Sound]:
        if self._gate is None:
            return
        margin = self._gate.settings.margin
        for segment in self._gate.feed(samples):
            if not segment.too_long:
                began = (self.fed - self._since) / HEARING_RATE - segment.start - margin
                yield Sound(segment.samples, began, segment.end - segment.start - 2 * margin)
