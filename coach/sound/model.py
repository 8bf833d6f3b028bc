"""The small interfaces of the sound room. Samples are 16-bit mono numpy arrays (`int16`, shape (n,)).

An `Ear` turns samples into utterances and knows no device; a `Mouth` turns text into samples and plays nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from coach.language.model import Grammar

HEARING_RATE = 16_000  # samples a second that every ear is fed with


@dataclass(frozen=True, slots=True)
class Utterance:
    """Words heard. start, end: seconds since the first sample fed; confidence: 0 to 1, None where the ear has none;
    sure: whether it is good enough to be obeyed (an unsure one only makes the coach say so)."""

    start: float
    end: float
    text: str
    confidence: float | None = None
    sure: bool = True


class Ear(Protocol):
    """Hears only what its grammar allows: a list of phrases, and numbers where a phrase says so.

    The same samples give the same utterances whatever the size of the pieces they come in.
    """

    name: str
    fault: str  # why it is less than it could be, a sentence; "" where it is not

    def listen_for(self, grammar: Grammar) -> None:
        """Replace what can be heard, from the next utterance on."""

    def feed(self, samples: np.ndarray) -> list[Utterance]:
        """Take the next samples (16 kHz, int16, any number); give the utterances that ended in them."""

    def missing_words(self, grammar: Grammar) -> list[str]:
        """The words of a grammar that can't be heard, because there is no pronunciation for them."""

    def learn(self, text: str, examples: Sequence[np.ndarray]) -> str:
        """Take a word of the maker's, which is heard as `text` from now on; gives why other examples (int16,
        HEARING_RATE) are needed, "" where they aren't. Raises EarError where it can't be learned at all."""

    def forget(self) -> str:
        """Forget the word that was learned last, and give its text; "" where there is none."""

    def finish(self) -> list[Utterance]:
        """The recording is over: give what is left."""

    def close(self) -> None:
        """Give back what the ear holds."""


@dataclass(frozen=True, slots=True)
class Speech:
    """Rendered speech: int16 mono samples at `rate` samples a second."""

    samples: np.ndarray
    rate: int

    @property
    def seconds(self) -> float:
        return len(self.samples) / self.rate


class Mouth(Protocol):
    """Renders text as speech."""

    def say(self, text: str, rate: int = 175) -> Speech:
        """Speech for a text at `rate` words a minute. Raises coach.sound.errors.MouthError when it can't be had."""

    def close(self) -> None:
        """End the worker behind it."""
