"""Other sample rates: the tone stays, the length stays, and the pieces don't matter."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.sound.resample import Resampler, resample, to_float, to_int16

RATES = [8_000, 11_025, 16_000, 22_050, 44_100, 48_000, 96_000]


def sine(hertz: float, seconds: float, rate: int, height: float = 10_000) -> np.ndarray:
    return np.rint(height * np.sin(2 * np.pi * hertz * np.arange(round(seconds * rate)) / rate)).astype(np.int16)


@pytest.mark.parametrize("source", RATES)
@pytest.mark.parametrize("target", [16_000, 44_100, 48_000])
def test_a_tone_keeps_its_pitch_length_and_loudness(source, target):
    out = resample(sine(440, 1, source), source, target)
    assert out.dtype == np.int16 and len(out) == target
    middle = out[target // 4 : -target // 4].astype(float)
    spectrum = np.abs(np.fft.rfft(middle * np.hanning(len(middle))))
    assert spectrum.argmax() * target / len(middle) == pytest.approx(440, abs=3)
    assert np.sqrt(np.mean(middle**2)) == pytest.approx(10_000 / np.sqrt(2), rel=0.01)


def test_what_the_ears_cannot_take_does_not_come_back_as_another_tone():
    out = resample(sine(15_000, 1, 48_000), 48_000, 16_000)  # would be heard as 1 kHz
    assert np.abs(out[800:-800].astype(int)).max() < 100


def test_it_is_in_step_with_its_input():
    impulse = np.zeros(48_000, np.int16)
    impulse[24_000] = 20_000
    assert np.abs(resample(impulse, 48_000, 16_000).astype(int)).argmax() == pytest.approx(8_000, abs=1)


def test_the_same_rate_is_left_alone():
    samples = sine(440, 0.1, 16_000)
    assert resample(samples, 16_000, 16_000) is samples


@pytest.mark.parametrize("size", [0, 1, 7, 441, 442])
def test_short_and_empty(size):
    assert len(resample(np.ones(size, np.int16), 44_100, 16_000)) == round(size * 16_000 / 44_100)


@settings(max_examples=40, deadline=None)
@given(
    source=st.sampled_from(RATES),
    cuts=st.lists(st.integers(0, 6_000), max_size=12),
    seed=st.integers(0, 2**32 - 1),
)
def test_the_pieces_do_not_matter(source, cuts, seed):
    samples = np.random.default_rng(seed).integers(-20_000, 20_000, 6_000).astype(np.int16)
    stream = Resampler(source, 16_000)
    pieces = [stream.feed(piece) for piece in np.split(samples, sorted(cuts))]
    assert np.array_equal(np.concatenate([*pieces, stream.finish()]), resample(samples, source, 16_000))


def test_samples_come_without_waiting_for_the_end():
    stream = Resampler(48_000, 16_000)
    ready = sum(len(stream.feed(sine(300, 0.02, 48_000))) for _ in range(50))
    assert ready > 16_000 * (1 - 0.03)


@given(st.lists(st.integers(-32_768, 32_767), max_size=50))
def test_int16_survives_float(values):
    samples = np.array(values, np.int16)
    assert np.array_equal(to_int16(to_float(samples)), samples)


def test_too_loud_is_clipped_and_not_wrapped():
    assert list(to_int16(np.array([2.0, -2.0, 1.0]))) == [32_767, -32_768, 32_767]
