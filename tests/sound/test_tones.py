"""The four tones can be told apart, and are short and soft."""

from __future__ import annotations

import numpy as np
import pytest

from coach.sound.tones import TONES, tone


def notes(name: str) -> list[float]:
    """The pitches in hertz, heard from the samples: one for each stretch between silences or changes."""
    speech = tone(name)
    size = round(0.03 * speech.rate)
    heard: list[float] = []
    for at in range(0, len(speech.samples) - size, size):
        frame = speech.samples[at : at + size].astype(float)
        if np.abs(frame).max() < 2_000:
            heard.append(0)
            continue
        spectrum = np.abs(np.fft.rfft(frame * np.hanning(size), 8 * size))
        heard.append(float(spectrum.argmax()) * speech.rate / (8 * size))
    return [h for h, before in zip(heard, [0, *heard], strict=False) if h and abs(h - before) > 60]


def test_heard_is_one_high_note():
    assert notes("heard") == [pytest.approx(988, abs=20)]


def test_unsure_is_one_low_note():
    assert notes("unsure") == [pytest.approx(220, abs=20)]


def test_closing_falls():
    first, second = notes("ears closed")
    assert first > second + 100


def test_a_lost_microphone_is_three_low_notes():
    assert len(notes("microphone lost")) == 3 and max(notes("microphone lost")) < 300


@pytest.mark.parametrize("name", TONES)
def test_short_soft_and_without_a_click(name):
    speech = tone(name)
    samples = speech.samples.astype(int)
    assert speech.seconds < 0.6
    assert 5_000 < np.abs(samples).max() < 12_000
    assert abs(samples[0]) < 10 and abs(samples[-1]) < 400
    assert np.abs(np.diff(samples)).max() < 3_000
    assert abs(samples.mean()) < 50


def test_another_name_is_no_tone():
    with pytest.raises(KeyError):
        tone("fanfare")
