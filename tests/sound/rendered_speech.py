"""Speech for the ears' tests: rendered by the coach's own speech engine in voices that are not the coach's.

Synthetic voices flatter a recogniser; they show that the parts fit together. How well people are heard is measured on
recordings of people, see test_hearing_people.py.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from coach.sound.errors import MouthError
from coach.sound.model import HEARING_RATE
from coach.sound.resample import resample

VOICES = ("en-us+m1", "en-us+f1", "en-us+edward", "en-us+klatt3")
SHARED = Path(__file__).parents[3] / "shared" / "speech"


@cache
def _mouth(voice: str):
    from coach.sound.mouth import EngineMouth

    return EngineMouth(voice)


@cache
def spoken(text: str, voice: str = VOICES[0], rate: int = 145) -> np.ndarray:
    """A text as int16 samples at HEARING_RATE, no pauses around it."""
    try:
        speech = _mouth(voice).say(text, rate)
    except MouthError as fault:
        pytest.skip(f"no speech engine: {fault}")
    return resample(speech.samples, speech.rate, HEARING_RATE)


def silence(seconds: float, level: float = 6.0, seed: int = 1) -> np.ndarray:
    """A quiet room: noise of `level` (root mean square, of 32767)."""
    return noise(seconds, level, seed)


def noise(seconds: float, level: float, seed: int = 1) -> np.ndarray:
    values = np.random.default_rng(seed).normal(0, level, round(seconds * HEARING_RATE))
    return np.clip(values, -32_767, 32_767).astype(np.int16)


def session(*texts: str, voice: str = VOICES[0], pause: float = 0.7, rate: int = 145) -> np.ndarray:
    """Requests one after the other, with pauses in a quiet room around them."""
    pieces = [silence(pause)]
    for number, text in enumerate(texts):
        pieces += [spoken(text, voice, rate), silence(pause, seed=number + 2)]
    return np.concatenate(pieces)


def in_pieces(samples: np.ndarray, sizes: list[int]) -> list[np.ndarray]:
    """The samples cut up: sizes are repeated until all is cut."""
    pieces, at, number = [], 0, 0
    while at < len(samples):
        size = max(1, sizes[number % len(sizes)])
        pieces.append(samples[at : at + size])
        at, number = at + size, number + 1
    return pieces
