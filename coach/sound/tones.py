"""The four short tones: signs that need no language. Rising is good, falling is closing, low is no.

heard             one short high note            the request was taken (said only where no sentence answers it)
unsure            one low note                   something was heard, nothing was done
ears closed       two notes, falling             nothing is listened to until the ears are opened
microphone lost   three low notes                the microphone gives nothing; keys go on working
"""

from __future__ import annotations

import numpy as np

from coach.sound.model import Speech

TONE_RATE = 22_050  # samples a second
LOUDNESS = 0.25  # of full scale: about as loud as speech
EDGE_SECONDS = 0.008  # each note fades in and out, or it would click

# name: notes as (hertz, seconds); 0 hertz is a pause
TONES: dict[str, tuple[tuple[float, float], ...]] = {
    "heard": ((988, 0.07),),
    "unsure": ((220, 0.16),),
    "ears closed": ((659, 0.09), (0, 0.02), (440, 0.12)),
    "microphone lost": ((247, 0.11), (0, 0.05), (247, 0.11), (0, 0.05), (185, 0.2)),
}


def tone(name: str) -> Speech:
    """One of `TONES`, to be played like speech. Raises KeyError for another name."""
    return Speech(np.concatenate([_note(hertz, seconds) for hertz, seconds in TONES[name]]), TONE_RATE)


def _note(hertz: float, seconds: float) -> np.ndarray:
    times = np.arange(round(seconds * TONE_RATE)) / TONE_RATE
    edge = np.clip(np.minimum(times, seconds - times) / EDGE_SECONDS, 0, 1)
    wave = np.sin(2 * np.pi * hertz * times) * np.sin(edge * np.pi / 2) ** 2
    return np.rint(wave * LOUDNESS * 32_767).astype(np.int16)
